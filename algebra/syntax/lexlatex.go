package syntax

import (
	"strings"
	"unicode/utf8"
)

// command reads what starts with a backslash. Commands are a closed list and
// are never run; any other is refused.
func (x *lexer) command() bool {
	n := 1
	for isLetter(x.at(n)) {
		n++
	}
	if n == 1 {
		return x.controlSign()
	}
	name := x.text[x.pos+1 : x.pos+n]
	k, aux, ok := command(name)
	switch {
	case !ok:
		return x.fail(codeCommand, n, "")
	case k == tEnd:
		x.skip(n, n)
	case k == tOther:
		return x.styled(name, n)
	default:
		if name == "rightarrow" || name == "to" || name == "leftrightarrow" {
			x.note(noteArrow, n)
		}
		x.emit(k, aux, onLine, n)
	}
	return true
}

// withoutSet reports the backslash of x ∈ R \ {0}: after the set that follows
// ∈, and before a brace.
func (x *lexer) withoutSet() bool {
	n := len(x.toks)
	after := n > 0 && x.toks[n-1].kind == tStandard ||
		n > 1 && x.toks[n-2].kind == tIn && x.toks[n-1].kind == tName
	return after && strings.HasPrefix(strings.TrimLeft(x.text[x.pos+1:x.stop], " "), "{")
}

// controlSign reads a backslash before a sign: \{, \, and so on.
func (x *lexer) controlSign() bool {
	if x.withoutSet() {
		x.emit(tWithout, 0, onLine, 1)
		return true
	}
	switch x.at(1) {
	case '{':
		x.emit(tLSet, 0, onLine, 2)
	case '}':
		x.emit(tRSet, 0, onLine, 2)
	case ',', ';', ':', '!', ' ', '>', '(', ')', '[', ']':
		x.skip(2, 2)
	case '\\':
		x.skip(2, 2)
		x.broken = true
	default:
		size := 1
		if r, s := utf8.DecodeRuneInString(x.text[x.pos+1 : x.stop]); s > 0 && r > ' ' {
			size = 1 + s
		}
		return x.fail(codeCommand, size, "")
	}
	return true
}

// styled reads commands that change only the look of what follows: sizes of
// brackets, text, upright and blackboard letters.
func (x *lexer) styled(name string, n int) bool {
	switch name {
	case "mathbb", "mathbf":
		if size, letter := x.setLetter(n); size > 0 {
			x.emit(tStandard, letter, onLine, size)
			return true
		}
		if name == "mathbb" {
			return x.fail(codeCommand, n, "")
		}
		fallthrough
	case "text", "textrm", "mathrm", "mbox", "textbf", "textit", "mathit":
		if x.inText {
			return x.fail(codeCommand, n, "")
		}
		x.skip(n, n)
		for x.at(0) == ' ' {
			x.skip(1, 1)
		}
		if x.at(0) == '{' {
			x.skip(1, 1)
			x.inText = true
		}
		return true
	}
	// A size: only a bar needs to know on which side it stands.
	x.skip(n, n)
	for x.at(0) == ' ' {
		x.skip(1, 1)
	}
	k := tBar
	switch {
	case name == "left" || strings.HasSuffix(name, "l"):
		k = tLBar
	case name == "right" || strings.HasSuffix(name, "r"):
		k = tRBar
	}
	switch {
	case x.at(0) == '|':
		x.emit(k, 0, onLine, 1)
	case x.has(`\vert`) && !isLetter(x.at(5)):
		x.emit(k, 0, onLine, 5)
	}
	return true
}

// setLetter is the size of `\mathbb{R}` or `\mathbb R` when the letter names
// a standard set; n is the size of the command alone.
func (x *lexer) setLetter(n int) (size int, letter byte) {
	for x.at(n) == ' ' {
		n++
	}
	braced := x.at(n) == '{'
	if braced {
		n++
	}
	letter = x.at(n)
	n++
	if letter != 'R' && letter != 'Z' && letter != 'N' && letter != 'Q' {
		return 0, 0
	}
	if braced {
		if x.at(n) != '}' {
			return 0, 0
		}
		n++
	}
	return n, letter
}

// startsWithRelation reports that s begins with a sign of relation that is
// not a link (<= at the start of a line is a link).
func startsWithRelation(s string) bool {
	if s == "" {
		return false
	}
	switch c := s[0]; {
	case c == '=':
		return !strings.HasPrefix(s, "=>") && !strings.HasPrefix(s, "==>")
	case c == '<':
		return !strings.HasPrefix(s, "<=") && !strings.HasPrefix(s, "<->")
	case c == '>':
		return true
	case c == '!':
		return strings.HasPrefix(s, "!=")
	case c == '\\':
		n := 1
		for n < len(s) && isLetter(s[n]) {
			n++
		}
		k, _, _ := command(s[1:n])
		return k == tRelation
	case c >= utf8.RuneSelf:
		r, _ := utf8.DecodeRuneInString(s)
		ch := charOf(r)
		return ch.kind == tRelation && ch.level == onLine
	}
	return false
}

// alignable reports that s begins with a sign that lines are aligned at.
func alignable(s string) bool {
	if startsWithRelation(s) || s[0] == '=' || s[0] == '<' {
		return true
	}
	r, _ := utf8.DecodeRuneInString(s)
	return r >= utf8.RuneSelf && charOf(r).kind == tLink ||
		strings.HasPrefix(s, `\iff`) || strings.HasPrefix(s, `\implies`) || strings.HasPrefix(s, `\Rightarrow`) ||
		strings.HasPrefix(s, `\Leftrightarrow`)
}
