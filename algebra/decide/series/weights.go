package series

import (
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// placings lists the ways to spread the monomials over the window that are
// tried: evenly; evenly over the places where only members stand that the
// widest monomials mention; evenly and then stationary at equal members; for
// a quadratic form in one family over three neighbours the best one; each monomial at one place
// of two; evenly without the first or last places where p mentions members there.
func (l *line) placings() []placing {
	width := l.form.width
	even := placing{width: width, weights: map[int][]number.Num{}}
	for _, k := range l.form.atoms {
		places := width - l.Sums.Atoms[k].Width + 1
		if l.Sums.Atoms[k].Weighted {
			places = 1 // the index in the body tells the place
		}
		row := make([]number.Num, width-l.Sums.Atoms[k].Width+1)
		for h := range places {
			row[h] = number.Frac(1, int64(places))
		}
		even.weights[k] = row
	}
	list := []placing{even}
	if p, ok := l.aligned(even); ok {
		list = append([]placing{p}, list...)
	}
	if width > 0 && l.Sums.Cyclic {
		moved := even
		moved.telescope = true
		list = append(list, moved)
	}
	if p, ok := l.quadratic(even); ok {
		list = append([]placing{p}, list...)
	}
	list = append(list, l.apart(even)...)
	if !l.Sums.Cyclic && l.nearEnds() {
		list = append(list, even.without(1, 0), even.without(0, 1), even.without(1, 1))
	}
	return list
}

// maxApart is for how many atoms of one place every way is tried to put each
// on either side of a window of two places.
const maxApart = 3

func (l *line) apart(even placing) []placing {
	var single []int
	for _, k := range l.form.atoms {
		if len(even.weights[k]) == 2 && !l.Sums.Atoms[k].Weighted {
			single = append(single, k)
		}
	}
	if even.width != 1 || len(single) > maxApart {
		return nil
	}
	var list []placing
	for mask := range 1 << len(single) {
		p := placing{width: 1, weights: map[int][]number.Num{}}
		for k, row := range even.weights {
			p.weights[k] = row
		}
		for i, k := range single {
			row := make([]number.Num, 2)
			row[mask>>i&1] = number.Int(1)
			p.weights[k] = row
		}
		list = append(list, p)
	}
	return list
}

// nearEnds reports that p mentions single members.
func (l *line) nearEnds() bool {
	for _, v := range l.Scope.Ring.Vars(l.form.rest) {
		if _, _, ok := l.Sums.EndOf(l.Scope, v); ok {
			return true
		}
	}
	return false
}

// without leaves the first and the last places of all atoms to the end terms:
// a wider window of which only the middle is used.
func (p placing) without(first, last int) placing {
	out := placing{width: p.width + first + last, weights: map[int][]number.Num{}}
	for k, row := range p.weights {
		wide := make([]number.Num, len(row)+first+last)
		copy(wide[first:], row)
		out.weights[k] = wide
	}
	return out
}

// aligned keeps of an even placing the places at which an atom mentions only
// members that occur in atoms as wide as the window. ok is false when that
// changes nothing.
func (l *line) aligned(even placing) (placing, bool) {
	if even.width == 0 {
		return placing{}, false
	}
	type spot struct {
		family string
		offset int
	}
	members := func(k, shift int) []spot {
		w, _, err := l.Sums.Window(1, even.width, []formula.Use{{Atom: k, Shift: shift}}, nil, false)
		if err != nil {
			return nil
		}
		var list []spot
		for v := range w.Vars {
			if family, _, offset, ok := w.MemberName(v); ok {
				list = append(list, spot{family, offset})
			}
		}
		return list
	}
	widest := map[spot]bool{}
	for _, k := range l.form.atoms {
		if l.Sums.Atoms[k].Width == even.width {
			for _, m := range members(k, 0) {
				widest[m] = true
			}
		}
	}
	out := placing{width: even.width, weights: map[int][]number.Num{}}
	changed := false
	for _, k := range l.form.atoms {
		row := even.weights[k]
		var places []int
		for h := range row {
			fits := !row[h].IsZero()
			for _, m := range members(k, h) {
				fits = fits && widest[m]
			}
			if fits {
				places = append(places, h)
			}
		}
		if len(places) == 0 || len(places) == len(row) {
			out.weights[k] = row
			continue
		}
		changed = true
		next := make([]number.Num, len(row))
		for _, h := range places {
			next[h] = number.Frac(1, int64(len(places)))
		}
		out.weights[k] = next
	}
	return out, changed
}

// quadratic places the squares of a form Σ p a_i² + q a_i a_{i+1} + r a_i a_{i+2}
// so that the window's matrix is positive semidefinite whenever some placing
// makes it so. With x, p - 2x, x on the diagonal it splits, by its symmetry,
// into x ≥ r/2 and (x + r/2)(p - 2x) ≥ q²/8, whose left side is greatest at
// x = (p - r)/4; symmetric placings suffice, for a placing and its mirror
// image may be averaged.
//
// Source: elementary; that a window as wide as the form suffices is the
// theorem of Fejér and Riesz on non-negative trigonometric polynomials (from
// memory).
func (l *line) quadratic(even placing) (placing, bool) {
	if l.form.width != 2 || len(l.form.atoms) > 3 {
		return placing{}, false
	}
	p, r, square := number.Num{}, number.Num{}, -1
	for _, k := range l.form.atoms {
		c, ok := l.coefs[k].IsConst()
		if !ok {
			return placing{}, false
		}
		switch l.Sums.Atoms[k].Width {
		case 0:
			if square >= 0 {
				return placing{}, false
			}
			p, square = c, k
		case 2:
			r = c
		}
	}
	inv, ok := p.Inv()
	if !ok {
		return placing{}, false
	}
	x := p.Sub(r).Mul(number.Frac(1, 4))
	if half := r.Mul(number.Frac(1, 2)); x.Cmp(half) < 0 {
		x = half
	}
	share := x.Mul(inv)
	out := placing{width: 2, weights: map[int][]number.Num{}}
	for k, row := range even.weights {
		out.weights[k] = row
	}
	out.weights[square] = []number.Num{share, number.Int(1).Sub(share).Sub(share), share}
	return out, true
}

// stationary adds telescoping terms c·(x_h^d - x_{h+1}^d) to a summand round a
// cycle, one for each degree d of its homogeneous parts, so that its
// derivatives vanish where all members are equal. ok is false when there is
// nothing to add.
func (l *line) stationary(w *formula.Window, f *formula.Fraction) bool {
	r := w.Ring
	family, members := "", make([]int, w.Width+1)
	for h := range members {
		members[h] = -1
	}
	for v := range w.Vars {
		name, _, offset, ok := w.MemberName(v)
		if !ok {
			continue
		}
		if family != "" && name != family || offset < 0 || offset > w.Width {
			return false
		}
		family, members[offset] = name, v
	}
	for _, v := range members {
		if v < 0 {
			return false
		}
	}
	// On the diagonal each derivative of num/den is a sum of multiples of
	// powers of t, where den is a multiple of one power.
	t := r.Var(members[0])
	diagonal := func(p poly.Poly) poly.Poly {
		for _, v := range members[1:] {
			p = r.Subst(p, v, t)
		}
		return p
	}
	added := false
	last := map[int]number.Num{}
	for h, v := range members[:w.Width] {
		num := r.Sub(r.Mul(r.Derivative(f.Num, v), f.Den), r.Mul(f.Num, r.Derivative(f.Den, v)))
		num, den := diagonal(num), diagonal(r.Mul(f.Den, f.Den))
		q, ok := r.DivExact(num, den)
		if !ok {
			return false
		}
		parts := r.Coeffs(q, members[0])
		for e := range max(len(parts), maxStationary) {
			slope := number.Num{}
			if e < len(parts) {
				c, constant := parts[e].IsConst()
				if !constant {
					return false
				}
				slope = c
			}
			// d/dx_h of c_h·x_h^d - c_{h-1}·x_h^d, with d = e + 1, is to cancel it.
			d := e + 1
			c := last[d].Sub(slope.Mul(number.Frac(1, int64(d))))
			last[d] = c
			if !c.IsZero() {
				added = true
				move := r.Sub(r.Pow(r.Var(v), d), r.Pow(r.Var(members[h+1]), d))
				*f = w.Plus(*f, one(r, r.Scale(move, c)))
			}
		}
	}
	return added
}

// maxStationary bounds the degrees looked at without a derivative of their own.
const maxStationary = 8
