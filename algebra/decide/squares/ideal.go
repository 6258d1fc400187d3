package squares

import (
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// generator is a polynomial that the equations make zero: Σ from[k]·equation k.
type generator struct {
	p    poly.Poly
	from []poly.Poly
}

// Bounds on the completion of equations.
const (
	maxGenerators      = 8
	maxGeneratorDegree = 8
)

// generators reduces the equations by each other and adds what pairs of them
// give, within bounds: often a Gröbner basis, always combinations of the
// equations.
//
// Source: D. Cox, J. Little, D. O'Shea, Ideals, Varieties, and Algorithms,
// chapter 2, sections 6 and 7 (Buchberger).
func generators(r *poly.Ring, equations []equation) []generator {
	gs := make([]generator, len(equations))
	for k, e := range equations {
		gs[k] = generator{e.p, make([]poly.Poly, len(equations))}
		gs[k].from[k] = r.Int(1)
	}
	if len(gs) < 2 {
		return gs
	}
	gs = interreduced(r, gs)
	for grown := true; grown && !r.Meter().Exhausted(); {
		grown = false
		for i := range gs {
			for j := range i {
				s, ok := pair(r, gs[i], gs[j])
				if !ok {
					continue
				}
				if s = reduceBy(r, s, gs); !s.p.IsZero() && s.p.Degree() <= maxGeneratorDegree && len(gs) < maxGenerators {
					gs, grown = append(gs, s), true
				}
			}
			if grown {
				gs = interreduced(r, gs)
				break
			}
		}
	}
	return gs
}

// interreduced reduces each generator by the others and drops zeros.
func interreduced(r *poly.Ring, gs []generator) []generator {
	for changed := true; changed && !r.Meter().Exhausted(); {
		changed = false
		for i := range gs {
			others := append(append([]generator(nil), gs[:i]...), gs[i+1:]...)
			g := reduceBy(r, gs[i], others)
			if g.p.IsZero() {
				gs, changed = others, true
				break
			}
			if !r.Equal(g.p, gs[i].p) {
				gs[i], changed = g, true
			}
		}
	}
	return gs
}

// reduceBy is g minus multiples of the others.
func reduceBy(r *poly.Ring, g generator, others []generator) generator {
	qs, rest := r.Reduce(g.p, polys(others))
	out := generator{rest, append([]poly.Poly(nil), g.from...)}
	for k, q := range qs {
		if q.IsZero() {
			continue
		}
		for i, f := range others[k].from {
			out.from[i] = r.Sub(out.from[i], r.Mul(q, f))
		}
	}
	return out
}

func polys(gs []generator) []poly.Poly {
	out := make([]poly.Poly, len(gs))
	for i, g := range gs {
		out[i] = g.p
	}
	return out
}

// pair is the combination of two generators in which their leading terms
// cancel; false where they have no variable in common, as it reduces to zero
// then.
func pair(r *poly.Ring, a, b generator) (generator, bool) {
	ea, ca := r.Lead(a.p)
	eb, cb := r.Lead(b.p)
	up, down := make([]int, len(ea)), make([]int, len(ea))
	common := false
	for i := range ea {
		most := max(ea[i], eb[i])
		up[i], down[i] = int(most-ea[i]), int(most-eb[i])
		common = common || ea[i] > 0 && eb[i] > 0
	}
	ratio, ok := ca.Div(cb)
	if !common || !ok {
		return generator{}, false
	}
	x, y := r.Monomial(number.Int(1), up), r.Monomial(ratio, down)
	out := generator{r.Sub(r.Mul(x, a.p), r.Mul(y, b.p)), make([]poly.Poly, len(a.from))}
	for i := range out.from {
		out.from[i] = r.Sub(r.Mul(x, a.from[i]), r.Mul(y, b.from[i]))
	}
	return out, true
}
