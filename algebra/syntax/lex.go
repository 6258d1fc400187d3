package syntax

import (
	"strings"
	"unicode/utf8"

	"squaremark/algebra/source"
)

// lexer cuts a text into tokens. One pass, no allocation beyond the token
// slice; the first problem stops it.
type lexer struct {
	text      string
	pos, stop int // byte offsets
	line      int
	origin    int // pos - origin + 1 is the column of pos
	spaced    bool
	broken    bool
	inText    bool // inside \text{...}
	decimal   bool // 0,75 is one number
	maxDigits int
	toks      []token
	notes     notes
	err       *source.Diag
}

// lex reads everything up to stop and appends the end token.
func (x *lexer) lex() bool {
	for x.pos < x.stop {
		ok := false
		if c := x.text[x.pos]; c < utf8.RuneSelf {
			ok = x.ascii(c)
		} else {
			ok = x.beyond()
		}
		if !ok {
			return false
		}
	}
	x.emit(tEnd, 0, onLine, 0)
	return true
}

// emit appends a token of size ASCII bytes that starts at pos, and moves on.
func (x *lexer) emit(k kind, aux uint8, l level, size int) {
	x.emitRunes(k, aux, l, size, size)
}

// emitRunes is emit for a token of size bytes and runes runes.
func (x *lexer) emitRunes(k kind, aux uint8, l level, size, runes int) {
	col := x.pos - x.origin + 1
	x.toks = append(x.toks, token{kind: k, level: l, aux: aux, spaced: x.spaced, broken: x.broken,
		start: int32(x.pos), end: int32(x.pos + size), line: int32(x.line), col: int32(col)})
	x.pos += size
	x.origin += size - runes
	x.spaced, x.broken = false, false
}

// skip passes over size bytes that make runes runes of white space.
func (x *lexer) skip(size, runes int) {
	x.pos += size
	x.origin += size - runes
	x.spaced = true
}

func (x *lexer) newline(size int) {
	x.pos += size
	x.origin = x.pos
	x.line++
	x.spaced, x.broken = true, true
}

// has reports that the text goes on with s.
func (x *lexer) has(s string) bool {
	return len(s) <= x.stop-x.pos && x.text[x.pos:x.pos+len(s)] == s
}

// at is the byte i places ahead, 0 beyond the end.
func (x *lexer) at(i int) byte {
	if x.pos+i < x.stop {
		return x.text[x.pos+i]
	}
	return 0
}

func isDigit(c byte) bool  { return c >= '0' && c <= '9' }
func isLetter(c byte) bool { return c|0x20 >= 'a' && c|0x20 <= 'z' }

func (x *lexer) ascii(c byte) bool {
	switch c {
	case ' ', '\t', '\v', '\f':
		x.skip(1, 1)
	case '\n':
		x.newline(1)
	case '\r':
		if x.at(1) == '\n' {
			x.newline(2)
		} else {
			x.newline(1)
		}
	case '0', '1', '2', '3', '4', '5', '6', '7', '8', '9':
		return x.number()
	case '.':
		return x.dot()
	case '\\':
		return x.command()
	case '$':
		x.skip(1, 1)
	case '+':
		if x.has("+/-") {
			x.emit(tPlusMinus, 0, onLine, 3)
		} else {
			x.emit(tPlus, 0, onLine, 1)
		}
	case '-':
		switch {
		case x.has("-->"):
			x.arrow(Forward, 3)
		case x.has("->"):
			x.arrow(Forward, 2)
		default:
			x.emit(tMinus, 0, onLine, 1)
		}
	case '*':
		if x.at(1) == '*' {
			x.emit(tPower, 0, onLine, 2)
		} else {
			x.emit(tTimes, 0, onLine, 1)
		}
	case '/':
		if x.at(1) == '=' {
			x.emit(tRelation, uint8(Ne), onLine, 2)
		} else {
			x.emit(tDivide, 0, onLine, 1)
		}
	case '^':
		x.emit(tPower, 0, onLine, 1)
	case '_':
		x.emit(tUnder, 0, onLine, 1)
	case '(':
		x.emit(tLParen, 0, onLine, 1)
	case ')':
		x.emit(tRParen, 0, onLine, 1)
	case '[':
		x.emit(tLBracket, 0, onLine, 1)
	case ']':
		x.emit(tRBracket, 0, onLine, 1)
	case '{':
		x.emit(tLBrace, 0, onLine, 1)
	case '}':
		if x.inText {
			x.inText = false
			x.skip(1, 1)
		} else {
			x.emit(tRBrace, 0, onLine, 1)
		}
	case '|':
		x.emit(tBar, 0, onLine, 1)
	case ',':
		x.emit(tComma, 0, onLine, 1)
	case ';':
		x.emit(tSemicolon, 0, onLine, 1)
	case ':':
		x.emit(tColon, 0, onLine, 1)
	case '=', '<', '>', '!':
		return x.relation(c)
	case '&':
		return x.ampersand()
	default:
		if isLetter(c) {
			return x.letters()
		}
		return x.badChar(rune(c), 1)
	}
	return true
}

// relation reads the signs made of = < > !.
func (x *lexer) relation(c byte) bool {
	rel := func(r Rel, size int) bool {
		if strings.HasPrefix(x.text[x.pos+size:x.stop], "\u0338") { // a combining stroke: not
			x.emitRunes(tRelation, uint8(Ne), onLine, size+2, size+1)
		} else {
			x.emit(tRelation, uint8(r), onLine, size)
		}
		return true
	}
	link := func(l Link, size int) bool { x.emit(tLink, uint8(l), onLine, size); return true }
	switch c {
	case '=':
		switch {
		case x.has("==>"):
			return link(Forward, 3)
		case x.has("=>"):
			return link(Forward, 2)
		case x.has("=/="):
			return rel(Ne, 3)
		case x.has("=<"):
			return rel(Le, 2)
		case x.has("=="):
			return rel(Eq, 2)
		}
		return rel(Eq, 1)
	case '<':
		switch {
		case x.has("<==>"):
			return link(TwoWay, 4)
		case x.has("<=>"):
			return link(TwoWay, 3)
		case x.has("<->"):
			x.arrow(TwoWay, 3)
			return true
		case x.has("<=="):
			return link(Backward, 3)
		case x.has("<="):
			return rel(Le, 2)
		case x.has("<>"):
			return rel(Ne, 2)
		}
		if n := markup(x.text[x.pos:x.stop]); n > 0 {
			return x.fail(codeMarkup, n, "")
		}
		return rel(Lt, 1)
	case '>':
		if x.has(">=") {
			return rel(Ge, 2)
		}
		return rel(Gt, 1)
	}
	if x.has("!=") {
		return rel(Ne, 2)
	}
	return x.badChar('!', 1)
}

func (x *lexer) arrow(l Link, size int) {
	x.note(noteArrow, size)
	x.emit(tLink, uint8(l), onLine, size)
}

// fail stops the lexer because of the next size bytes.
func (x *lexer) fail(code string, size int, hint string) bool {
	t := x.here(size)
	x.err = lexError(code, span(x.text, &t, &t), x.text, hint)
	return false
}

// here is the token that the next size bytes would be.
func (x *lexer) here(size int) token {
	col := int32(x.pos - x.origin + 1)
	size = min(size, x.stop-x.pos)
	return token{start: int32(x.pos), end: int32(x.pos + size), line: int32(x.line), col: col}
}

func (x *lexer) note(code string, size int) {
	t := x.here(size)
	x.notes.add(code, span(x.text, &t, &t), x.text)
}
