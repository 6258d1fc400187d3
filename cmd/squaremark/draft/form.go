package draft

import (
	"fmt"

	"squaremark/algebra"
	"squaremark/algebra/budget"
	"squaremark/algebra/syntax"
)

type node = syntax.Node

func readNode(text string) (*node, bool) {
	r, bad := syntax.Read(text, budget.New(limits()))
	if bad != nil {
		return nil, false
	}
	return r.Root, true
}

// squareForm makes the model answer of an expression: multiples of squares,
// all of one sign, plus a number.
func (s *setting) squareForm() (*question, error) {
	f, err := s.fraction(s.root)
	if err != nil {
		return nil, err
	}
	p, ok := s.scope.IsPolynomial(f)
	if !ok {
		return nil, fmt.Errorf("expected a polynomial, found %q", s.text)
	}
	ring := s.scope.Ring
	for _, d := range s.decompositions(p) {
		out := s.engine.SquareForm(s.text, d.formText())
		if out.Verdict != algebra.Holds || !out.IsSquareForm {
			continue
		}
		q := &question{setting: s, parts: d, model: []algebra.Line{{Text: d.formText()}}}
		q.worked = []line{{"", s.text}}
		for i, st := range d.stages {
			text := d.sumText(st.terms, st.rest)
			if i == len(d.stages)-1 {
				text = d.formText()
			}
			if text != q.worked[len(q.worked)-1].text {
				q.worked = append(q.worked, line{"=", text})
			}
		}
		if w := s.least(d); w != nil {
			q.remarks = append(q.remarks, w)
		}
		q.mistakes = q.wrongForms()
		return q, nil
	}
	return nil, fmt.Errorf("%s was not brought to multiples of squares, all of one sign, plus a number", polyText(ring, p))
}

// least tells the least or the greatest value, where it is taken.
func (s *setting) least(d *decomposition) wording {
	if !d.cofactor.IsZero() {
		return nil
	}
	what, sign := "least", " > "
	if d.terms[0].coef.Sign() < 0 {
		what, sign = "greatest", " < "
	}
	k := d.constant.String()
	if s.engine.Truth(polyText(d.ring, d.whole)+sign+k).Verdict != algebra.Fails {
		return nil
	}
	return wording{{words: "The " + what + " value is "}, {formula: k}, {words: "."}}
}
