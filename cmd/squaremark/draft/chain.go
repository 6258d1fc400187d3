package draft

import (
	"fmt"
	"slices"
	"strings"

	"squaremark/algebra"
	"squaremark/algebra/evidence"
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// sides are the two sides of a claim over one denominator.
type sides struct {
	left, right, den poly.Poly // left/den rel right/den
	rel              poly.Rel
	turned           bool // den is negative under the givens
}

// steps makes a chain from the claim to squares: the denominator multiplied
// up, everything on one side, one square completed a line.
func (s *setting) steps() (*question, error) {
	left, right, rel, err := s.inequality()
	if err != nil {
		return nil, err
	}
	out := s.engine.Truth(s.text)
	switch out.Verdict {
	case algebra.Fails:
		return nil, fmt.Errorf("the claim is false: try %s", pointText(out.Witness))
	case algebra.Unsettled:
		return nil, fmt.Errorf("the engine cannot tell whether the claim is true: %s", out.Reason)
	}
	sd, err := s.sidesOf(left, right, rel)
	if err != nil {
		return nil, err
	}
	q := &question{setting: s, sides: sd}
	ring := s.scope.Ring
	lines := []algebra.Line{{Text: s.text}}
	if _, constant := sd.den.IsConst(); !constant {
		lines = append(lines, algebra.Line{Text: polyText(ring, sd.left) + " " + sd.sign().String() + " " + polyText(ring, sd.right), Link: "<=>"})
	}
	difference, sign := sd.difference(ring)
	for _, d := range s.decompositions(difference) {
		q.parts = d
		for _, chain := range s.chains(lines, d, sign) {
			if proof := s.engine.Steps(s.text, chain, algebra.StartClaim); proof.Correct {
				q.model = chain
				for _, l := range chain {
					q.worked = append(q.worked, line{l.Link, l.Text})
				}
				q.remarks = append(q.remarks, d.reason(sign))
				if w := s.equality(d, sign); w != nil {
					q.remarks = append(q.remarks, w)
				}
				q.mistakes = q.wrongChains()
				return q, nil
			}
		}
	}
	return nil, fmt.Errorf("the claim is true, but no chain was found that brings %s to squares", polyText(ring, difference))
}

// sidesOf brings both sides over one denominator, whose sign the givens must
// settle.
func (s *setting) sidesOf(l, r *node, rel poly.Rel) (*sides, error) {
	left, err := s.fraction(l)
	if err != nil {
		return nil, err
	}
	right, err := s.fraction(r)
	if err != nil {
		return nil, err
	}
	ring := s.scope.Ring
	common := ring.GCD(left.Den, right.Den)
	overLeft, _ := ring.DivExact(left.Den, common)
	overRight, _ := ring.DivExact(right.Den, common)
	sd := &sides{left: ring.Mul(left.Num, overRight), right: ring.Mul(right.Num, overLeft), den: ring.Mul(left.Den, overRight), rel: rel}
	if c, constant := sd.den.IsConst(); constant {
		inverse, _ := c.Inv()
		sd.left, sd.right, sd.den = ring.Scale(sd.left, inverse), ring.Scale(sd.right, inverse), ring.Int(1)
		return sd, nil
	}
	den := polyText(ring, sd.den)
	switch {
	case s.engine.Truth(den+" > 0").Verdict == algebra.Holds:
	case s.engine.Truth(den+" < 0").Verdict == algebra.Holds:
		sd.turned = true
	default:
		return nil, fmt.Errorf("the givens do not tell the sign of the denominator %s: give more, such as --given \"%s > 0\" or --given \"%s != 0\"", den, s.vars[0].Name, s.vars[0].Name)
	}
	return sd, nil
}

// sign is the sign of the claim after multiplying by the denominator.
func (sd *sides) sign() poly.Rel {
	if sd.turned {
		return sd.rel.Flip()
	}
	return sd.rel
}

// difference is the polynomial that is to be > 0 or >= 0.
func (sd *sides) difference(ring *poly.Ring) (poly.Poly, poly.Rel) {
	if rel := sd.sign(); rel == poly.Gt || rel == poly.Ge {
		return ring.Sub(sd.left, sd.right), rel
	}
	return ring.Sub(sd.right, sd.left), sd.sign().Flip()
}

// decompositions of a polynomial that is not negative, the simplest first.
func (s *setting) decompositions(p poly.Poly) []*decomposition {
	ring := s.scope.Ring
	var list []*decomposition
	for _, find := range []func(*poly.Ring, poly.Poly) (*decomposition, bool){squaresOf, repeated, s.fromEvidence} {
		if d, ok := find(ring, p); ok && ring.Equal(d.sum(d.terms, d.constant), p) {
			list = append(list, d)
		}
	}
	return list
}

// fromEvidence takes the squares out of the engine's own proof that a
// polynomial is not negative.
func (s *setting) fromEvidence(ring *poly.Ring, p poly.Poly) (*decomposition, bool) {
	out := s.engine.Truth(polyText(ring, p) + " >= 0")
	if out.Verdict != algebra.Holds || out.Evidence == nil {
		return nil, false
	}
	records, ok := out.Evidence.Data.([]*evidence.Record)
	if !ok || len(records) != 1 || records[0].Proof == nil || records[0].Proof.Kind != "combination" {
		return nil, false
	}
	record := records[0]
	d := &decomposition{ring: ring, whole: p}
	scale := number.Num{}
	for _, t := range record.Proof.Terms {
		coef, okC := number.Parse(t.Coefficient)
		root, okR := s.lower(t.Square)
		value, constant := root.IsConst()
		switch {
		case !okC || !okR || len(t.NonZero) > 0:
			return nil, false
		case constant && len(t.Times) == 1 && t.Times[0] == len(record.Conditions)-1:
			scale = scale.Add(coef.Mul(value).Mul(value))
		case len(t.Times) > 0:
			return nil, false
		case constant:
			d.constant = d.constant.Add(coef.Mul(value).Mul(value))
		default:
			d.terms = append(d.terms, term{coef, root})
		}
	}
	inverse, positive := scale.Inv()
	if !positive || len(d.terms) == 0 {
		return nil, false
	}
	for i := range d.terms {
		d.terms[i].coef = d.terms[i].coef.Mul(inverse)
	}
	d.constant = d.constant.Mul(inverse)
	d.stages = []stage{{d.terms, ring.Const(d.constant)}}
	return d, true
}

// lower is a text as a polynomial of the scope.
func (s *setting) lower(text string) (poly.Poly, bool) {
	n, ok := readNode(text)
	if !ok {
		return poly.Poly{}, false
	}
	t, err := s.scope.Expression(n)
	if err != nil {
		return poly.Poly{}, false
	}
	return s.scope.IsPolynomial(formula.Fraction{Num: t.Num, Den: t.Den})
}

// chains are the ways to write a decomposition down, from the one with the
// most lines to the shortest.
func (s *setting) chains(start []algebra.Line, d *decomposition, sign poly.Rel) [][]algebra.Line {
	rest := " " + sign.String() + " 0"
	side := append(append([]algebra.Line(nil), start...), algebra.Line{Text: polyText(d.ring, d.whole) + rest, Link: "<=>"})
	form := algebra.Line{Text: d.formText() + rest, Link: "<=>"}
	long := append([]algebra.Line(nil), side...)
	for _, st := range d.stages[:max(len(d.stages)-1, 0)] {
		long = append(long, algebra.Line{Text: d.sumText(st.terms, st.rest) + rest, Link: "<=>"})
	}
	var list [][]algebra.Line
	for _, lines := range [][]algebra.Line{append(long, form), append(append([]algebra.Line(nil), side...), form), append(append([]algebra.Line(nil), start...), form)} {
		list = append(list, distinct(lines))
	}
	return list
}

// distinct leaves out lines that repeat the one before.
func distinct(lines []algebra.Line) []algebra.Line {
	var out []algebra.Line
	for i, l := range lines {
		if i == 0 || squeezed(l.Text) != squeezed(lines[i-1].Text) {
			out = append(out, l)
		}
	}
	return out
}

func squeezed(text string) string {
	return strings.ReplaceAll(strings.Join(strings.Fields(text), ""), "*", "")
}

// reason says why the last line of a chain holds.
func (d *decomposition) reason(sign poly.Rel) wording {
	w := wording{{words: "The last line holds because the square of a real number is never negative"}}
	switch {
	case !d.cofactor.IsZero():
		w = append(w, piece{words: ", and neither is the factor beside it"})
	case d.constant.Sign() > 0:
		w = append(w, piece{words: " and "}, piece{formula: d.constant.String()}, piece{words: " is positive"})
	case sign == poly.Gt:
		w = append(w, piece{words: ", and by what is given some square is not zero"})
	}
	return append(w, piece{words: "."})
}

// equality says where both sides are equal, where the engine confirms it.
func (s *setting) equality(d *decomposition, sign poly.Rel) wording {
	if sign == poly.Gt {
		return wording{{words: "The two sides are never equal."}}
	}
	zero := polyText(d.ring, d.whole) + " = 0"
	if d.constant.Sign() > 0 {
		if s.engine.Truth(polyText(d.ring, d.whole)+" > 0").Verdict == algebra.Holds {
			return wording{{words: "The two sides are never equal."}}
		}
		return nil
	}
	var conditions []string
	for _, t := range d.terms {
		conditions = append(conditions, d.equation(t.root))
	}
	same := func(list []string) bool {
		return s.engine.Relation(zero, strings.Join(list, " and ")).Relation == algebra.Equivalent
	}
	if !same(conditions) {
		return nil
	}
	for i := len(conditions) - 1; i >= 0 && len(conditions) > 1; i-- {
		if fewer := slices.Delete(slices.Clone(conditions), i, i+1); same(fewer) {
			conditions = fewer
		}
	}
	w := wording{{words: "The two sides are equal exactly where "}}
	for i, c := range conditions {
		if i > 0 {
			w = append(w, piece{words: " and "})
		}
		w = append(w, piece{formula: c})
	}
	return append(w, piece{words: "."})
}

// equation is root = 0 with its first term alone on the left: 2a = 3b.
func (d *decomposition) equation(root poly.Poly) string {
	exps, c := d.ring.Lead(root)
	first := d.ring.Monomial(c, exponents(exps))
	return polyText(d.ring, first) + " = " + polyText(d.ring, d.ring.Sub(first, root))
}

func pointText(w *algebra.Witness) string {
	if w == nil {
		return "another value"
	}
	parts := make([]string, len(w.Point))
	for i, v := range w.Point {
		parts[i] = v.Name + " = " + v.Value
	}
	return strings.Join(parts, ", ")
}
