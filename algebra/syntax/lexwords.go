package syntax

import (
	"strings"
	"unicode/utf8"
)

// markup is the length of an HTML tag at the start of s, 0 if there is none.
// A tag of one letter is taken for a chain of relations unless it closes.
func markup(s string) int {
	end := strings.IndexByte(s, '>')
	if end < 2 || end > 200 {
		return 0
	}
	if s[1] == '/' && isLetter(s[2]) || s[1] == '!' {
		return end + 1
	}
	n := 1
	for n < end && isLetter(s[n]) {
		n++
	}
	switch strings.ToLower(s[1:n]) {
	case "br", "sup", "sub", "span", "div", "img", "script", "style", "math", "svg", "iframe", "strong", "em", "hr", "table":
		return end + 1
	case "b", "i", "p", "u", "a":
		if n == end || s[n] == ' ' && strings.Contains(s[:end], "=\"") {
			if strings.Contains(s[end:], "</") {
				return end + 1
			}
		}
	}
	return 0
}

// ampersand reads & and && as and. Before a sign of relation or a link it
// only aligns lines and is skipped; &lt; and its like are markup.
func (x *lexer) ampersand() bool {
	n := 1
	for isLetter(x.at(n)) {
		n++
	}
	if n > 2 && x.at(n) == ';' || x.at(1) == '#' {
		return x.fail(codeMarkup, n+1, "")
	}
	size := 1
	if x.at(1) == '&' {
		size = 2
	}
	rest := strings.TrimLeft(x.text[x.pos+size:x.stop], " ")
	if size == 1 && (rest == "" || alignable(rest) || len(x.toks) == 0 || x.broken) {
		x.skip(1, 1)
		return true
	}
	x.emit(tAnd, 0, onLine, size)
	return true
}

// number reads digits, with a decimal point when a digit follows it.
func (x *lexer) number() bool {
	n, digits := 0, 0
	for isDigit(x.at(n)) {
		n++
	}
	digits = n
	switch {
	case x.at(n) == '.' && isDigit(x.at(n+1)):
		for n++; isDigit(x.at(n)); n++ {
			digits++
		}
		if x.at(n) == '.' && isDigit(x.at(n+1)) {
			return x.fail(codeTwoPoints, n+2, "")
		}
	case x.decimal && x.at(n) == ',' && isDigit(x.at(n+1)):
		m := n + 1
		for isDigit(x.at(m)) {
			m++
		}
		if x.at(m) != ',' || !isDigit(x.at(m+1)) {
			x.note(noteDecimalComma, m)
			digits, n = m-1, m
		}
	}
	if digits > x.maxDigits {
		return x.fail(codeDigits, n, "")
	}
	x.emit(tNumber, 0, onLine, n)
	return true
}

// dot reads .5, dots, a range sign, or a full stop.
func (x *lexer) dot() bool {
	n := 1
	for x.at(n) == '.' {
		n++
	}
	switch {
	case n >= 3:
		x.emit(tDots, 0, onLine, n)
	case n == 2:
		x.emit(tRange, 0, onLine, n)
	case isDigit(x.at(1)):
		for isDigit(x.at(n)) {
			n++
		}
		if n-1 > x.maxDigits {
			return x.fail(codeDigits, n, "")
		}
		x.emit(tNumber, 0, onLine, n)
	default:
		x.emit(tPeriod, 0, onLine, 1)
	}
	return true
}

// letters reads a run of ASCII letters: a known word, or a product of
// one-letter names.
func (x *lexer) letters() bool {
	n := 1
	for isLetter(x.at(n)) {
		n++
	}
	if n == 1 {
		x.emit(tName, 0, onLine, 1)
		return true
	}
	run := x.text[x.pos : x.pos+n]
	if k, aux, ok := wordToken(run); ok {
		if k == tName && n == 2 && run != "pi" {
			x.note(noteGreekWord, n)
		}
		x.emit(k, aux, onLine, n)
		return true
	}
	f := endsInFunction(run)
	if f > 0 && !strings.HasPrefix(strings.TrimLeft(x.text[x.pos+n:x.stop], " "), "(") {
		f = 0
	}
	if !likeProduct(run[:n-f]) {
		x.emit(tWord, uint8(wOther), onLine, n)
		return true
	}
	for range n - f {
		x.emit(tName, 0, onLine, 1)
	}
	if f > 0 {
		k, aux, _ := wordToken(run[n-f:])
		x.emit(k, aux, onLine, f)
	}
	return true
}

// beyond reads a character beyond ASCII.
func (x *lexer) beyond() bool {
	r, size := utf8.DecodeRuneInString(x.text[x.pos:x.stop])
	c := charOf(r)
	switch c.class {
	case sign:
		x.emitRunes(c.kind, c.aux, c.level, size, 1)
	case digit:
		x.scriptNumber(c.level)
	case lookalike:
		x.note(noteLookalike, size)
		x.emitRunes(c.kind, c.aux, onLine, size, 1)
	case arrow:
		x.note(noteArrow, size)
		x.emitRunes(c.kind, c.aux, onLine, size, 1)
	case blank:
		x.skip(size, 1)
	case lineBreak: // separates like one, but does not count as a line
		x.skip(size, 1)
		x.broken = true
	case stripped, skipped:
		if c.class == stripped {
			x.note(noteInvisible, size)
		}
		x.pos += size
		x.origin += size - 1
	default:
		return x.badChar(r, size)
	}
	return true
}

// scriptNumber reads a run of raised or lowered digits as one number.
func (x *lexer) scriptNumber(l level) {
	n, runes := 0, 0
	for x.pos+n < x.stop {
		r, size := utf8.DecodeRuneInString(x.text[x.pos+n : x.stop])
		if c := charOf(r); c.class != digit || c.level != l {
			break
		}
		n, runes = n+size, runes+1
	}
	x.emitRunes(tNumber, 0, l, n, runes)
}

// scriptDigits spells raised or lowered digits with ASCII ones.
func scriptDigits(s string) string {
	const digits = "0123456789"
	buf := make([]byte, 0, len(s)/2)
	for _, r := range s {
		buf = append(buf, digits[charOf(r).aux])
	}
	if len(buf) == 1 {
		d := buf[0] - '0'
		return digits[d : d+1]
	}
	return string(buf)
}

// badChar refuses a character, with a hint where the meaning can be guessed.
func (x *lexer) badChar(r rune, size int) bool {
	switch {
	case r == utf8.RuneError && size == 1:
		return x.fail(codeEncoding, 1, "")
	case charOf(r).class == bidi:
		return x.fail(codeBidi, size, "")
	case charOf(r).class == emDash:
		return x.fail(codeEmDash, size, "")
	}
	return x.fail(codeChar, size, charHint(r))
}
