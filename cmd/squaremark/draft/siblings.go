package draft

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"

	"squaremark/algebra"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// For one sibling so many sets of numbers are looked at, and so many worked
// out.
const (
	triesEach = 120
	worksEach = 15
)

// siblings makes n further questions of the same kind and shape: as many
// squares, as many lines, numbers of the same size. The same seed gives the
// same questions. err tells how many were not found; those that were are
// returned with it.
func siblings(q *question, n int, rng *rand.Rand) (list []*question, err error) {
	if n == 0 {
		return nil, nil
	}
	if q.kind != "integers" && !q.parts.cofactor.IsZero() {
		return nil, errors.New("no siblings are made of a claim whose squares have a factor beside them")
	}
	seen := map[string]bool{squeezed(q.text): true}
	works := 0
	for tries := 0; len(list) < n && tries < n*triesEach && works < (n+1)*worksEach; tries++ {
		text, ok := q.another(rng)
		if !ok || seen[squeezed(text)] {
			continue
		}
		seen[squeezed(text)] = true
		var declared []string
		for _, v := range q.vars {
			declared = append(declared, v.Name+": "+v.Range)
		}
		works++
		s, bad := newSetting(text, q.kind, declared, q.givens)
		if bad != nil {
			continue
		}
		next, bad := s.work()
		if bad != nil || !q.like(next) {
			continue
		}
		if works < n*worksEach/2 && (next.rootsKey() == q.rootsKey() || slices.ContainsFunc(list, func(o *question) bool { return o.rootsKey() == next.rootsKey() })) {
			continue // prefer other brackets to the same ones with another number
		}
		list = append(list, next)
	}
	if len(list) < n {
		err = fmt.Errorf("found %d siblings of %d", len(list), n)
	}
	return list, err
}

// another is the text of a question with other numbers; whether it is a good
// one is seen later.
func (q *question) another(rng *rand.Rand) (string, bool) {
	if q.kind == "integers" {
		return q.otherNumbers(rng)
	}
	d := q.parts
	terms := make([]term, len(d.terms))
	sum := d.ring.Const(otherConstant(d.constant, rng))
	for i, t := range d.terms {
		terms[i] = term{q.otherFactor(t.coef, rng), q.otherRoot(t.root, rng)}
		sum = d.ring.Add(sum, d.ring.Scale(d.ring.Square(terms[i].root), terms[i].coef))
	}
	if !q.friendly(sum) || d.ring.Equal(sum, d.whole) {
		return "", false
	}
	if q.kind == "square-form" {
		return polyText(d.ring, sum), true
	}
	return q.arranged(sum)
}

// otherFactor keeps 1, signs and denominators, but varies the weights of plain
// differences, whose roots stay.
func (q *question) otherFactor(c number.Num, rng *rand.Rand) number.Num {
	switch {
	case q.plainDifferences():
		return sized(c, 1, rng)
	case c.Numerator().Abs().IsOne():
		return c
	}
	return sized(c, 2, rng)
}

// otherConstant keeps zero and the sign.
func otherConstant(c number.Num, rng *rand.Rand) number.Num {
	if c.IsZero() {
		return c
	}
	return sized(c, 1, rng)
}

// otherRoot changes the coefficients behind the first one; the first one only
// where it is not 1. In an expression signs change too.
func (q *question) otherRoot(root poly.Poly, rng *rand.Rand) poly.Poly {
	ring, out, first := q.parts.ring, poly.Poly{}, true
	plain := q.plainDifferences()
	ring.Each(root, func(exps []uint8, c number.Num) bool {
		switch {
		case plain || first && c.IsOne():
		case first:
			c = sized(c, 2, rng)
		default:
			c = sized(c, 1, rng)
			if q.kind == "square-form" && rng.IntN(2) == 0 {
				c = c.Neg()
			}
		}
		first = false
		out = ring.Add(out, ring.Monomial(c, exponents(exps)))
		return true
	})
	return out
}

// plainDifferences reports that every root is a difference of two variables in
// a claim with three or more, which is then varied by its weights alone.
func (q *question) plainDifferences() bool {
	ring := q.parts.ring
	_, ok := differences(ring, q.parts.whole)
	return ok
}

// sized is a number with the sign and the denominator of c and a numerator
// from least to a bit beyond that of c.
func sized(c number.Num, least int64, rng *rand.Rand) number.Num {
	size, small := c.Numerator().Abs().Int64()
	if !small || size > 1_000_000 {
		return c
	}
	top := max(size+size/2, size+3, 5)
	out := number.Int(least + rng.Int64N(top-least+1))
	inverse, _ := c.Denominator().Inv()
	if out = out.Mul(inverse); c.Sign() < 0 {
		return out.Neg()
	}
	return out
}

// friendly reports coefficients that are whole where those of the original
// are, and not much larger.
func (q *question) friendly(p poly.Poly) bool {
	ring := q.parts.ring
	most, whole := number.Int(12), true
	ring.Each(q.parts.whole, func(_ []uint8, c number.Num) bool {
		whole = whole && c.IsInteger()
		if c.Abs().Cmp(most) > 0 {
			most = c.Abs()
		}
		return true
	})
	ok := p.Len() == q.parts.whole.Len()
	ring.Each(p, func(_ []uint8, c number.Num) bool {
		ok = ok && (c.IsInteger() || !whole) && c.Abs().Cmp(most.Mul(number.Int(2))) <= 0
		return ok
	})
	return ok
}

// arranged puts the terms of a polynomial on the sides on which the original
// claim has them, over the same denominator.
func (q *question) arranged(p poly.Poly) (string, bool) {
	ring, sd := q.parts.ring, q.sides
	if _, rel := sd.difference(ring); rel != sd.sign() {
		p = ring.Neg(p) // the claim reads left < right
	}
	left, right, fits := poly.Poly{}, poly.Poly{}, true
	ring.Each(p, func(exps []uint8, c number.Num) bool {
		inLeft, inRight := !ring.Coef(sd.left, exponents(exps)).IsZero(), !ring.Coef(sd.right, exponents(exps)).IsZero()
		switch {
		case inLeft && !inRight:
			left = ring.Add(left, ring.Monomial(c, exponents(exps)))
		case inRight && !inLeft:
			right = ring.Sub(right, ring.Monomial(c, exponents(exps)))
		default:
			fits = false
		}
		return fits
	})
	l, okL := overMonomial(ring, left, sd.den)
	r, okR := overMonomial(ring, right, sd.den)
	return l + " " + sd.rel.String() + " " + r, fits && okL && okR
}

// overMonomial writes p over a denominator of one term, each term by itself:
// 4a/b + 9b/a.
func overMonomial(ring *poly.Ring, p, den poly.Poly) (string, bool) {
	if _, constant := den.IsConst(); constant {
		return polyText(ring, p), true
	}
	if den.Len() != 1 || !den.LeadCoef().IsOne() {
		return "", false
	}
	under, _ := ring.Lead(den)
	var b strings.Builder
	ring.Each(p, func(exps []uint8, c number.Num) bool {
		up, down := make([]int, len(exps)), make([]int, len(exps))
		for i, e := range exps {
			up[i], down[i] = max(int(e)-int(under[i]), 0), max(int(under[i])-int(e), 0)
		}
		join(&b, c.Sign() < 0)
		b.WriteString(polyText(ring, ring.Monomial(c.Abs(), up)))
		if slices.Max(down) > 0 {
			text := polyText(ring, ring.Monomial(number.Int(1), down))
			if len([]rune(text)) > 1 {
				text = "(" + text + ")"
			}
			b.WriteString("/" + text)
		}
		return true
	})
	if b.Len() == 0 {
		return "0", true
	}
	return b.String(), true
}

// like reports that another question is as hard: as many lines and squares, or
// solution sets of the same kind and about the same size.
func (q *question) like(next *question) bool {
	if q.kind == "integers" {
		return q.alike(next)
	}
	if len(next.model) != len(q.model) || len(next.parts.terms) != len(q.parts.terms) ||
		next.parts.constant.IsZero() != q.parts.constant.IsZero() || q.evidentAtOnce(next) {
		return false
	}
	if q.plainDifferences() {
		return next.plainDifferences()
	}
	for i, t := range q.parts.terms {
		other := next.parts.terms[i]
		if t.coef.IsOne() != other.coef.IsOne() || t.root.Len() != other.root.Len() || next.parts.ones(other.root) > q.parts.ones(t.root) {
			return false
		}
	}
	return true
}

// ones counts coefficients of 1 and -1, which make a bracket easier.
func (d *decomposition) ones(root poly.Poly) int {
	n := 0
	d.ring.Each(root, func(_ []uint8, c number.Num) bool {
		if c.Abs().IsOne() {
			n++
		}
		return true
	})
	return n
}

// rootsKey tells questions with the same brackets; those with numbers, and
// plain differences, have none in common.
func (q *question) rootsKey() string {
	if q.kind == "integers" || q.plainDifferences() {
		return squeezed(q.text)
	}
	var b strings.Builder
	for _, t := range q.parts.terms {
		b.WriteString(rootText(q.parts.ring, t.root) + ";")
	}
	return b.String()
}

// evidentAtOnce reports a claim that its first line proves, where that of the
// original does not.
func (q *question) evidentAtOnce(next *question) bool {
	alone := func(x *question) bool {
		return x.kind == "steps" && x.engine.Steps(x.text, []algebra.Line{{Text: x.text}}, algebra.StartClaim).Correct
	}
	return alone(next) && !alone(q)
}
