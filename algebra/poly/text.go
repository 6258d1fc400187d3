package poly

import (
	"strconv"
	"strings"

	"squaremark/algebra/number"
)

// String writes f in graded order as plain text that can be read back:
// x^2 - 2*x*y + 3/2. A coefficient of several terms stands in brackets:
// (1 + sqrt(2))*x.
func (r *Ring) String(f Poly) string {
	if f.IsZero() {
		return "0"
	}
	var b strings.Builder
	for k, c := range f.coefs {
		sum := !c.IsRational() && strings.Contains(c.String(), " ")
		if !sum && c.Sign() < 0 {
			c = c.Neg()
			b.WriteString([]string{"-", " - "}[min(k, 1)])
		} else if k > 0 {
			b.WriteString(" + ")
		}
		m := r.monomialText(r.at(f, k))
		switch {
		case m != "" && c.IsOne():
			b.WriteString(m)
			continue
		case sum && f.Len() > 1 || sum && m != "":
			b.WriteString("(" + c.String() + ")")
		default:
			b.WriteString(number.Num.String(c))
		}
		if m != "" {
			b.WriteString("*" + m)
		}
	}
	return b.String()
}

func (r *Ring) monomialText(m []uint64) string {
	var parts []string
	for i, name := range r.names {
		switch e := exponent(m, i); {
		case e == 1:
			parts = append(parts, name)
		case e > 1:
			parts = append(parts, name+"^"+strconv.Itoa(e))
		}
	}
	return strings.Join(parts, "*")
}
