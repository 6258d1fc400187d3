package uni

import (
	"squaremark/algebra/budget"
	"squaremark/algebra/number"
)

// chain is the Sturm sequence of t.f: f, f' and the negated remainders, each
// scaled by a positive number.
func (t *target) chain() []Uni {
	out := []Uni{t.f, t.f.Derivative()}
	for len(out[len(out)-1]) > 1 {
		n := len(out)
		if !t.m.Spend(int64(len(out[n-2]) * len(out[n-1]) * budget.CostBigMul)) {
			break
		}
		_, rest, ok := out[n-2].DivRem(out[n-1])
		if !ok {
			t.m.Exceed("bits")
			break
		}
		if rest.IsZero() {
			break
		}
		rest = rest.Neg()
		scaled := monic(rest, t.m)
		if rest.Lead().Sign() < 0 {
			scaled = scaled.Neg()
		}
		out = append(out, scaled)
	}
	return out
}

// variations counts the sign changes of the sequence at x.
func variations(chain []Uni, x number.Num) int {
	n, last := 0, 0
	for _, f := range chain {
		if s := f.SignAt(x); s != 0 {
			if s == -last {
				n++
			}
			last = s
		}
	}
	return n
}

// isolateSturm bisects until each interval has one root by Sturm's theorem:
// the sign changes lost between a and b are the roots in (a, b].
func (t *target) isolateSturm() []Root {
	if len(t.f) < 2 {
		return nil
	}
	chain := t.chain()
	bound := t.cauchyBound()
	type span struct {
		lo, hi   number.Num
		vlo, vhi int
	}
	whole := span{lo: bound.Neg(), hi: bound}
	whole.vlo, whole.vhi = variations(chain, whole.lo), variations(chain, whole.hi)
	var roots []Root
	for todo := []span{whole}; len(todo) > 0; {
		s := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if s.lo.Equal(s.hi) {
			roots = append(roots, Root{s.lo, s.hi, t})
			continue
		}
		inside := s.vlo - s.vhi
		if t.f.SignAt(s.hi) == 0 {
			inside--
		}
		if inside <= 0 {
			continue
		}
		if inside == 1 {
			roots = append(roots, Root{s.lo, s.hi, t}.offRoots())
			continue
		}
		if !t.m.Spend(int64(budget.CostRootStep * len(chain) * len(t.f))) {
			return nil
		}
		mid := s.lo.Add(s.hi).Mul(half)
		v := variations(chain, mid)
		todo = append(todo, span{mid, s.hi, v, s.vhi})
		if t.f.SignAt(mid) == 0 {
			todo = append(todo, span{lo: mid, hi: mid})
		}
		todo = append(todo, span{s.lo, mid, s.vlo, v})
	}
	return t.markRational(roots)
}

// cauchyBound is a rational that every root is below in size: 1 + Σ|a_k| for
// leading coefficient 1, rounded up.
func (t *target) cauchyBound() number.Num {
	sum := number.Int(1)
	for _, c := range t.f[:len(t.f)-1] {
		sum = sum.Add(number.FromBigInt(c.Abs().Ceil()))
	}
	return sum
}

// markRational makes the rational roots exact. As the square roots are
// independent over Q, a rational root of f = Σ f_d·√d is one of every f_d.
func (t *target) markRational(roots []Root) []Root {
	var common Uni
	for _, part := range rationalParts(t.f) {
		common = GCD(common, part, t.m)
	}
	exact, err := Isolate(common, t.m)
	if err != nil {
		return roots
	}
	for k, r := range roots {
		for _, e := range exact {
			if e.Exact() && r.Lo.Cmp(e.Lo) < 0 && e.Lo.Cmp(r.Hi) < 0 {
				roots[k] = Root{e.Lo, e.Lo, t}
			}
		}
	}
	return roots
}

// rationalParts are the f_d of f = Σ f_d·√d.
func rationalParts(f Uni) []Uni {
	radicands := []number.Num{number.Int(1)}
	seen := map[string]bool{}
	for _, c := range f {
		for _, d := range c.Radicands() {
			if !seen[d.String()] {
				seen[d.String()] = true
				radicands = append(radicands, number.FromBigInt(d))
			}
		}
	}
	var parts []Uni
	for _, d := range radicands {
		part := make(Uni, len(f))
		for k, c := range f {
			part[k] = c.Coefficient(d)
		}
		if part = trim(part); !part.IsZero() {
			parts = append(parts, part)
		}
	}
	return parts
}
