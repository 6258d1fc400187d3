package move

import "squaremark/algebra/poly"

// signByEquation reads a sign off an equation: a side that equals a root, a
// square or a sum of positive terms is not negative. Source: elementary.
var signByEquation = Move{
	ID: "sign-by-equation", Title: "Read a sign off an equation", Family: Using, Since: "0.1.0", Source: "elementary",
	Text: "What equals a root, a square or a sum of terms of known sign has that sign: sqrt(t) = x gives x >= 0.",
	Try: func(p *Pair) Result {
		if p.To.Shape != Single || !inequality(p.To.Atom.Sign) || len(p.To.Atom.Domain) > 0 {
			return refused(CodeShape)
		}
		goal, ok := p.polynomial(p.To.Atom.Diff)
		if !ok || p.signOf(goal) != anySign {
			return refused(CodeShape)
		}
		for _, h := range p.hypotheses() {
			if h.atom.Sign != poly.Eq || h.index != p.Index {
				continue
			}
			for _, f := range [...]poly.Poly{h.diff, p.Ring.Neg(h.diff)} {
				if known := p.Ring.Add(goal, f); known.Degree() > 0 && p.signOf(known).all(p.To.Atom.Sign) {
					return Result{Forward: Way{Status: Proved, Plain: true, Uses: []int{h.index}}}
				}
			}
		}
		return refused(CodeUnequal)
	},
}
