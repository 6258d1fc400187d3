package move

import (
	"squaremark/algebra/formula"
	"squaremark/algebra/poly"
)

// multiplyInequalities multiplies two or three inequalities whose sides are not
// negative: a > b ≥ 0 and c > d ≥ 0 give ac > bd. Source: elementary.
var multiplyInequalities = Move{
	ID: "multiply-inequalities", Title: "Multiply inequalities", Family: Using, Since: "0.1.0", Source: "elementary",
	Text: "Two or three inequalities that point the same way are multiplied side by side.", Condition: "no side is negative",
	Try: func(p *Pair) Result {
		if p.To.Shape != Single || p.To.Atom.Sign != poly.Gt && p.To.Atom.Sign != poly.Ge {
			return refused(CodeShape)
		}
		hyps := p.hypotheses()
		for i := range hyps {
			for j := i + 1; j < len(hyps); j++ {
				if w, ok := p.multiplyAll(hyps[i], hyps[j]); ok {
					return Result{Forward: w}
				}
				for k := j + 1; k < len(hyps); k++ {
					if w, ok := p.multiplyAll(hyps[i], hyps[j], hyps[k]); ok {
						return Result{Forward: w}
					}
				}
			}
		}
		return refused(CodeUnequal)
	},
}

// multiplyAll tries the product of several hypotheses.
//
// From a ≥ b ≥ 0 and c ≥ d ≥ 0: ac ≥ bc ≥ bd. The product is strict when all
// are, for then every greater side is positive.
func (p *Pair) multiplyAll(list ...hypothesis) (Way, bool) {
	to := p.To.Atom
	great, small := p.fraction(p.Ring.Int(1)), p.fraction(p.Ring.Int(1))
	bodies := make([]*formula.Formula, len(list))
	var needs []poly.Condition
	var w Way
	for i, h := range list {
		if !inequality(h.atom.Sign) || to.Sign == poly.Gt && h.atom.Sign != poly.Gt {
			return Way{}, false
		}
		great, small = p.times(great, h.atom.great()), p.times(small, h.atom.small())
		bodies[i] = p.lineOf(nil, h.atom).Body
		needs = append(needs, p.notNegative(h.atom.small()))
		w.Uses = union(w.Uses, []int{h.index})
	}
	c, ok := p.proportional(p.fold(p.minus(great, small)), to.Diff)
	if !ok || c.Sign() <= 0 {
		return Way{}, false
	}
	all := formula.And(bodies...)
	v := p.established(needs, all).both(p.established(to.Domain, all))
	v.Uses = w.Uses
	return v, v.Status != No
}
