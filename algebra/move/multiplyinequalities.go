package move

import (
	"squaremark/algebra/formula"
	"squaremark/algebra/poly"
)

// multiplyInequalities multiplies two inequalities whose sides are not
// negative: a > b ≥ 0 and c > d ≥ 0 give ac > bd. Source: elementary.
var multiplyInequalities = Move{
	ID: "multiply-inequalities", Title: "Multiply inequalities", Family: Using, Since: "0.1.0", Source: "elementary",
	Text: "Two inequalities that point the same way are multiplied side by side.", Condition: "no side is negative",
	Try: func(p *Pair) Result {
		if p.To.Shape != Single || p.To.Atom.Sign != poly.Gt && p.To.Atom.Sign != poly.Ge {
			return refused(CodeShape)
		}
		hyps := p.hypotheses()
		for i := range hyps {
			for j := i + 1; j < len(hyps); j++ {
				if w, ok := p.multiplyPair(hyps[i], hyps[j]); ok {
					return Result{Forward: w}
				}
			}
		}
		return refused(CodeUnequal)
	},
}

// multiplyPair tries the product of two hypotheses.
func (p *Pair) multiplyPair(x, y hypothesis) (Way, bool) {
	to := p.To.Atom
	a, b := x.atom, y.atom
	if a.Sign != poly.Gt && a.Sign != poly.Ge || b.Sign != poly.Gt && b.Sign != poly.Ge {
		return Way{}, false
	}
	product := p.minus(p.times(a.great(), b.great()), p.times(a.small(), b.small()))
	c, ok := p.proportional(product, to.Diff)
	if !ok || c.Sign() <= 0 {
		return Way{}, false
	}
	// From a ≥ b ≥ 0 and c ≥ d ≥ 0: ac ≥ bc ≥ bd. Strict when both are strict
	// and the first product is of positive numbers, which a > b ≥ 0 gives.
	if to.Sign == poly.Gt && (a.Sign != poly.Gt || b.Sign != poly.Gt) {
		return Way{}, false
	}
	both := formula.And(p.lineOf(nil, a).Body, p.lineOf(nil, b).Body)
	w := p.established([]poly.Condition{p.notNegative(a.small()), p.notNegative(b.small())}, both)
	w = w.both(p.established(to.Domain, both))
	w.Uses = union([]int{x.index}, []int{y.index})
	return w, true
}
