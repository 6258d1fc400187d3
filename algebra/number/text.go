package number

import (
	"math/big"
	"strconv"
	"strings"
)

// String is the canonical text, one for each number: 3/2, -1, 2*sqrt(3),
// 1 + 1/2*sqrt(5), -sqrt(2).
func (a Num) String() string {
	if a.w == nil {
		text := strconv.FormatInt(a.n, 10)
		if a.e != 0 {
			text += "/" + strconv.FormatInt(a.e+1, 10)
		}
		return text
	}
	if a.w.rat != nil {
		return a.w.rat.RatString()
	}
	var b strings.Builder
	for i, t := range a.w.sum {
		c := t.c
		if c.Sign() < 0 {
			c = c.Neg()
			b.WriteString([]string{"-", " - "}[min(i, 1)])
		} else if i > 0 {
			b.WriteString(" + ")
		}
		switch {
		case t.d.IsOne():
			b.WriteString(c.String())
			continue
		case !c.IsOne():
			b.WriteString(c.String() + "*")
		}
		b.WriteString("sqrt(" + t.d.String() + ")")
	}
	return b.String()
}

// Parse reads a signed sum of terms, each a fraction of unsigned decimals
// ("2", "0.75", "3/2"), the root of an integer ("sqrt(5)") or their product
// ("1/2*sqrt(5)"). Spaces are allowed between parts.
//
// It reads back what String prints. The one exception is a radicand that only
// a product can reach, whose square factors Sqrt does not find out; that, a
// zero denominator and any other text give false. The length of the text is
// the caller's to bound.
func Parse(text string) (Num, bool) {
	p := reader{rest: strings.TrimSpace(text)}
	var sum Num
	for first := true; first || p.rest != ""; first = false {
		negative := p.take("-")
		if !negative && !p.take("+") && !first {
			return Num{}, false
		}
		t, ok := p.term()
		if !ok {
			return Num{}, false
		}
		if negative {
			t = t.Neg()
		}
		sum = sum.Add(t)
	}
	return sum, true
}

// reader holds what is not yet read, without leading spaces.
type reader struct{ rest string }

func (p *reader) take(word string) bool {
	rest, ok := strings.CutPrefix(p.rest, word)
	if ok {
		p.rest = strings.TrimLeft(rest, " \t")
	}
	return ok
}

func (p *reader) term() (Num, bool) {
	if p.take("sqrt") {
		return p.root()
	}
	c, ok := p.decimal()
	if !ok {
		return Num{}, false
	}
	if p.take("/") {
		d, ok := p.decimal()
		if !ok {
			return Num{}, false
		}
		if c, ok = c.Div(d); !ok {
			return Num{}, false
		}
	}
	if !p.take("*") {
		return c, true
	}
	if !p.take("sqrt") {
		return Num{}, false
	}
	r, ok := p.root()
	return c.Mul(r), ok
}

func (p *reader) root() (Num, bool) {
	if !p.take("(") {
		return Num{}, false
	}
	d, ok := p.decimal()
	if !ok || !d.IsInteger() || !p.take(")") {
		return Num{}, false
	}
	return d.Sqrt()
}

// decimal reads digits with an optional part after a point.
func (p *reader) decimal() (Num, bool) {
	whole := p.digits()
	fraction := ""
	if whole != "" && strings.HasPrefix(p.rest, ".") {
		p.rest = p.rest[1:]
		if fraction = p.digits(); fraction == "" {
			return Num{}, false
		}
	}
	p.take("") // spaces
	if n := len(whole) + len(fraction); n == 0 {
		return Num{}, false
	} else if n <= 18 {
		k, err := strconv.ParseInt(whole+fraction, 10, 64)
		d := int64(1)
		for range fraction {
			d *= 10
		}
		return Frac(k, d), err == nil
	}
	k, ok := new(big.Int).SetString(whole+fraction, 10)
	if !ok {
		return Num{}, false
	}
	d := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(len(fraction))), nil)
	return fromRat(new(big.Rat).SetFrac(k, d)), true
}

func (p *reader) digits() string {
	n := 0
	for n < len(p.rest) && '0' <= p.rest[n] && p.rest[n] <= '9' {
		n++
	}
	word := p.rest[:n]
	p.rest = p.rest[n:]
	return word
}
