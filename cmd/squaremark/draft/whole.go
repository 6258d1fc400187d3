package draft

import (
	"fmt"
	"math/big"

	"squaremark/algebra"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// maxListed bounds the solutions of a question that is asked for a list.
const maxListed = 40

// integers solves a condition on whole numbers.
func (s *setting) integers() (*question, error) {
	q := &question{setting: s}
	for _, v := range s.vars {
		q.unknowns = append(q.unknowns, v.Name)
	}
	out := s.engine.Integers([]string{s.text}, q.unknowns, nil)
	switch {
	case out.Unreadable != nil:
		return nil, fmt.Errorf("%s: %s", out.Unreadable.Field, out.Unreadable.Diag.Message)
	case out.Reason != "" && out.Infinite == "" && len(out.Solutions) == 0:
		return nil, fmt.Errorf("the solutions cannot be found: %s", out.Reason)
	case len(out.Solutions) > maxListed:
		return nil, fmt.Errorf("there are %d solutions; a question should have at most %d", len(out.Solutions), maxListed)
	}
	model := out.Infinite
	switch {
	case model != "":
	case len(out.Solutions) == 0:
		model = "none"
	default:
		model = tuplesText(out.Solutions)
	}
	if s.engine.Integers([]string{s.text}, q.unknowns, &model).Verdict != algebra.Holds {
		return nil, fmt.Errorf("the solution set %s could not be confirmed", model)
	}
	q.model = []algebra.Line{{Text: model}}
	bracket, centre, ok := s.bracket(out, model)
	q.worked = append([]line{{"", s.text}}, bracket...)
	q.worked = append(q.worked, line{"<=>", answerText(q.unknowns, model, out)})
	if !ok {
		centre = number.Num{}
	}
	q.mistakes = q.wrongSets(out, centre)
	return q, nil
}

// answerText is a solution set as the last line of a solution.
func answerText(unknowns []string, model string, out algebra.IntegersOutcome) string {
	switch {
	case out.Infinite != "" || len(out.Solutions) == 0:
		return model
	case len(unknowns) == 1:
		return unknowns[0] + " = " + model
	}
	name := "("
	for i, u := range unknowns {
		if i > 0 {
			name += ", "
		}
		name += u
	}
	return name + ") = " + model
}

// bracket writes a quadratic condition in one unknown as a square compared
// with a number, and the bracket between whole bounds: (n - 4)^2 <= 12, then
// -3 <= n - 4 <= 3. centre is the number in the bracket.
func (s *setting) bracket(out algebra.IntegersOutcome, model string) (lines []line, centre number.Num, ok bool) {
	if len(s.vars) != 1 || s.root.Kind != syntax.Relation || len(s.root.Kids) != 2 {
		return nil, centre, false
	}
	left, right, rel, err := s.inequality()
	if err != nil {
		return nil, centre, false
	}
	sd, err := s.sidesOf(left, right, rel)
	if err != nil {
		return nil, centre, false
	}
	ring := s.scope.Ring
	d, isSquare := squaresOf(ring, ring.Sub(sd.left, sd.right))
	if !isSquare || len(d.terms) != 1 {
		return nil, centre, false
	}
	t := d.terms[0]
	scale, lead := t.root, ring.Coeffs(t.root, 0)
	slope, _ := lead[len(lead)-1].IsConst()
	inverse, _ := slope.Inv()
	root := ring.Scale(scale, inverse)
	over, _ := t.coef.Mul(slope).Mul(slope).Inv()
	bound := d.constant.Neg().Mul(over)
	if t.coef.Sign() < 0 {
		rel = rel.Flip()
	}
	square := squareText(ring, root) + " " + rel.String() + " " + bound.String()
	if squeezed(square) != squeezed(s.text) {
		lines = append(lines, line{"<=>", square})
	}
	centre = root0(ring, root).Neg()
	if rel != poly.Lt && rel != poly.Le || bound.Sign() < 0 || !centre.IsInteger() || centre.IsZero() || len(out.Solutions) == 0 {
		return lines, centre, true
	}
	most := out.Solutions[len(out.Solutions)-1]
	top, _ := new(big.Int).SetString(most[0], 10)
	reach := number.FromBigInt(top).Sub(centre)
	between := reach.Neg().String() + " <= " + polyText(ring, root) + " <= " + reach.String()
	if s.engine.Integers([]string{between}, []string{s.vars[0].Name}, &model).Verdict == algebra.Holds {
		lines = append(lines, line{"<=>", between})
	}
	return lines, centre, true
}

// root0 is the value of a polynomial in one variable at zero.
func root0(ring *poly.Ring, p poly.Poly) number.Num {
	return ring.EvalAll(p, make([]number.Num, ring.Len()))
}
