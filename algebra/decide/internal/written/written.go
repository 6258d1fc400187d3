// Package written reads conditions from short plain text for the tests of the
// decision procedures: "a/b + b/a < 2; a*b > 0". It is no part of the service:
// pupils' texts are read by packages syntax and formula.
package written

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"squaremark/algebra/budget"
	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// Conjunction reads relations separated by ";". Names are single letters;
// the letters i to n are integers, all others real. A fraction N/D compared
// with 0 becomes the sign condition on N·D together with D ≠ 0. The meter has
// work units. Errors name the place in the text.
func Conjunction(text string, work int64) (*evidence.Conjunction, error) {
	var names []string
	for _, c := range text {
		if unicode.IsLetter(c) && !slices.Contains(names, string(c)) {
			names = append(names, string(c))
		}
	}
	slices.Sort(names)
	limits := budget.Default()
	limits.Work = work
	c := &evidence.Conjunction{Ring: poly.NewRing(names, budget.New(limits))}
	for i, name := range names {
		if name >= "i" && name <= "n" {
			if c.Whole == nil {
				c.Whole = make([]bool, len(names))
			}
			c.Whole[i] = true
		}
	}
	r := &reader{ring: c.Ring}
	for part := range strings.SplitSeq(text, ";") {
		r.text = strings.ReplaceAll(part, " ", "")
		conds, err := r.relation()
		if err != nil {
			return nil, fmt.Errorf("%q, %d characters before the end: %w", part, len(r.text), err)
		}
		c.Conds = append(c.Conds, conds...)
	}
	return c, c.Ring.Meter().Err()
}

// reader reads from the front of text.
type reader struct {
	ring *poly.Ring
	text string
}

type fraction struct{ num, den poly.Poly }

func (r *reader) take(s string) bool {
	rest, ok := strings.CutPrefix(r.text, s)
	if ok {
		r.text = rest
	}
	return ok
}

func (r *reader) relation() ([]poly.Condition, error) {
	left, err := r.sum()
	if err != nil {
		return nil, err
	}
	rel := slices.IndexFunc([]string{"=", "!=", "<=", "<", ">=", ">"}, r.take)
	if rel < 0 {
		return nil, fmt.Errorf("expected a relation")
	}
	right, err := r.sum()
	if err != nil {
		return nil, err
	}
	if r.text != "" {
		return nil, fmt.Errorf("expected the end")
	}
	cond := poly.Condition{Rel: []poly.Rel{poly.Eq, poly.Ne, poly.Le, poly.Lt, poly.Ge, poly.Gt}[rel]}
	d := r.add(left, fraction{r.ring.Neg(right.num), right.den})
	cond.P = d.num
	if _, constant := d.den.IsConst(); constant {
		return []poly.Condition{cond}, nil
	}
	if cond.Rel != poly.Eq && cond.Rel != poly.Ne {
		cond.P = r.ring.Mul(d.num, d.den)
	}
	return []poly.Condition{{P: d.den, Rel: poly.Ne}, cond}, nil
}

func (r *reader) add(a, b fraction) fraction {
	if r.ring.Equal(a.den, b.den) {
		return fraction{r.ring.Add(a.num, b.num), a.den}
	}
	return fraction{r.ring.Add(r.ring.Mul(a.num, b.den), r.ring.Mul(b.num, a.den)), r.ring.Mul(a.den, b.den)}
}

func (r *reader) sum() (fraction, error) {
	total := fraction{poly.Poly{}, r.ring.Int(1)}
	for first := true; ; first = false {
		minus := r.take("-")
		if !minus && !r.take("+") && !first {
			return total, nil
		}
		f, err := r.product()
		if err != nil {
			return f, err
		}
		if minus {
			f.num = r.ring.Neg(f.num)
		}
		total = r.add(total, f)
	}
}

func (r *reader) product() (fraction, error) {
	f, err := r.power()
	for err == nil {
		var g fraction
		switch {
		case r.take("*"):
			g, err = r.power()
		case r.take("/"):
			g, err = r.power()
			if v, constant := g.num.IsConst(); constant && !v.IsZero() {
				inv, _ := v.Inv()
				g = fraction{r.ring.Scale(g.den, inv), r.ring.Int(1)}
			} else {
				g.num, g.den = g.den, g.num
			}
		default:
			return f, nil
		}
		f = fraction{r.ring.Mul(f.num, g.num), r.ring.Mul(f.den, g.den)}
	}
	return f, err
}

func (r *reader) power() (fraction, error) {
	f, err := r.atom()
	if err != nil || !r.take("^") {
		return f, err
	}
	k, err := r.digits()
	return fraction{r.ring.Pow(f.num, int(k)), r.ring.Pow(f.den, int(k))}, err
}

func (r *reader) atom() (fraction, error) {
	one := r.ring.Int(1)
	if r.take("(") {
		f, err := r.sum()
		if err == nil && !r.take(")") {
			err = fmt.Errorf("expected a closing bracket")
		}
		return f, err
	}
	if r.text != "" && unicode.IsLetter(rune(r.text[0])) {
		i, _ := r.ring.Index(r.text[:1])
		r.text = r.text[1:]
		return fraction{r.ring.Var(i), one}, nil
	}
	k, err := r.digits()
	return fraction{r.ring.Const(number.Int(k)), one}, err
}

func (r *reader) digits() (int64, error) {
	n := len(r.text) - len(strings.TrimLeft(r.text, "0123456789"))
	k, err := strconv.ParseInt(r.text[:n], 10, 64)
	if err != nil {
		return 0, fmt.Errorf("expected a number or a name")
	}
	r.text = r.text[n:]
	return k, nil
}
