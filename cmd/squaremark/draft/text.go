package draft

import (
	"regexp"
	"strings"

	"squaremark/algebra"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// polyText is a polynomial as people write it: 2x^2 - 12xy + 3/2*y.
func polyText(ring *poly.Ring, p poly.Poly) string { return juxtaposed(ring, ring.String(p)) }

var afterFraction = regexp.MustCompile(`/\d+\*`)

// juxtaposed leaves multiplication signs out where all names have one letter,
// except behind a fraction.
func juxtaposed(ring *poly.Ring, text string) string {
	for _, name := range ring.Names() {
		if len(name) > 1 {
			return text
		}
	}
	kept := afterFraction.ReplaceAllStringFunc(text, func(s string) string { return strings.TrimSuffix(s, "*") + "\x00" })
	return strings.ReplaceAll(strings.ReplaceAll(kept, "*", ""), "\x00", "*")
}

// sumText writes squares and a rest as one sum.
func (d *decomposition) sumText(terms []term, rest poly.Poly) string {
	var b strings.Builder
	for _, t := range terms {
		join(&b, t.coef.Sign() < 0)
		b.WriteString(factorText(t.coef.Abs()))
		b.WriteString(squareText(d.ring, t.root))
	}
	if !rest.IsZero() || b.Len() == 0 {
		text := polyText(d.ring, rest)
		tail, negative := strings.CutPrefix(text, "-")
		join(&b, negative)
		b.WriteString(tail)
	}
	if d.cofactor.IsZero() {
		return b.String()
	}
	return b.String() + "(" + polyText(d.ring, d.cofactor) + ")"
}

func join(b *strings.Builder, negative bool) {
	switch {
	case b.Len() > 0 && negative:
		b.WriteString(" - ")
	case b.Len() > 0:
		b.WriteString(" + ")
	case negative:
		b.WriteString("-")
	}
}

// factorText is a positive factor in front of a bracket.
func factorText(c number.Num) string {
	switch {
	case c.IsOne():
		return ""
	case c.IsInteger():
		return c.String()
	}
	return c.String() + "*"
}

// squareText is the square of a polynomial: x^2 for x, else a bracket.
func squareText(ring *poly.Ring, root poly.Poly) string {
	if exps, c := ring.Lead(root); root.Len() == 1 && c.IsOne() {
		sum := 0
		for _, e := range exps {
			sum += int(e)
		}
		if sum == 1 {
			return ring.String(root) + "^2"
		}
	}
	return "(" + rootText(ring, root) + ")^2"
}

// rootText is a polynomial with its positive terms in front: 4 - x.
func rootText(ring *poly.Ring, root poly.Poly) string {
	var positive, negative poly.Poly
	ring.Each(root, func(exps []uint8, c number.Num) bool {
		one := ring.Monomial(c, exponents(exps))
		if c.Sign() > 0 {
			positive = ring.Add(positive, one)
		} else {
			negative = ring.Add(negative, ring.Neg(one))
		}
		return true
	})
	if root.LeadCoef().Sign() > 0 || positive.IsZero() {
		return polyText(ring, root)
	}
	return polyText(ring, positive) + " - " + strings.ReplaceAll(polyText(ring, negative), " + ", " - ")
}

func exponents(exps []uint8) []int {
	whole := make([]int, len(exps))
	for i, e := range exps {
		whole[i] = int(e)
	}
	return whole
}

// formText is the finished decomposition.
func (d *decomposition) formText() string {
	if d.inner == nil {
		return d.sumText(d.terms, d.ring.Const(d.constant))
	}
	squares := *d
	squares.cofactor = poly.Poly{}
	return squares.sumText(d.terms, poly.Poly{}) + "(" + d.inner.formText() + ")"
}

var power = regexp.MustCompile(`\^(\d+)`)

// printed is a formula with raised exponents and single signs, as a class reads it.
func printed(text string) string {
	raised := strings.NewReplacer("0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴", "5", "⁵", "6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹")
	text = power.ReplaceAllStringFunc(text, func(s string) string { return raised.Replace(s[1:]) })
	return strings.NewReplacer(">=", "≥", "<=", "≤", "!=", "≠").Replace(text)
}

// tuplesText is a list of whole numbers or tuples.
func tuplesText(list []algebra.Tuple) string {
	parts := make([]string, len(list))
	for i, t := range list {
		parts[i] = strings.Join(t, ", ")
		if len(t) > 1 {
			parts[i] = "(" + parts[i] + ")"
		}
	}
	return strings.Join(parts, ", ")
}

// plainLines is a chain as text, one line in each.
func plainLines(lines []algebra.Line) string {
	text := ""
	for i, l := range lines {
		if i > 0 {
			text += "\n"
		}
		if l.Link != "" {
			text += l.Link + " "
		}
		text += l.Text
	}
	return text
}
