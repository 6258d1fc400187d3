package poly

import (
	"slices"

	"squaremark/algebra/budget"
	"squaremark/algebra/number"
)

// Ring is a list of variables with the meter that its operations spend on.
// Like the meter it is for one goroutine.
type Ring struct {
	names  []string
	stride int
	m      *budget.Meter
	table  table // room of hash.go, used again
	narrow wordTable
}

// NewRing is the ring with these variables, the first of them the highest in
// the order. Domain: names distinct; m not nil.
func NewRing(names []string, m *budget.Meter) *Ring {
	return &Ring{names: slices.Clone(names), stride: len(names)/8 + 1, m: m}
}

// With is the same ring spending on another meter.
func (r *Ring) With(m *budget.Meter) *Ring {
	return &Ring{names: r.names, stride: r.stride, m: m}
}

// Names lists the variables in order.
func (r *Ring) Names() []string { return slices.Clone(r.names) }

// Name is the name of variable i.
func (r *Ring) Name(i int) string { return r.names[i] }

// Index is the place of a variable.
func (r *Ring) Index(name string) (int, bool) {
	i := slices.Index(r.names, name)
	return max(i, 0), i >= 0
}

// Len is the number of variables.
func (r *Ring) Len() int { return len(r.names) }

// Meter is what the operations of r spend on.
func (r *Ring) Meter() *budget.Meter { return r.m }

// Const is the polynomial without variables of value c.
func (r *Ring) Const(c number.Num) Poly {
	if c.IsZero() {
		return Poly{}
	}
	return r.fit(Poly{make([]uint64, r.stride), []number.Num{c}})
}

// Int is Const of a machine integer.
func (r *Ring) Int(k int64) Poly { return r.Const(number.Int(k)) }

// Var is variable i. Domain: 0 ≤ i < Len.
func (r *Ring) Var(i int) Poly {
	m := make([]uint64, r.stride)
	shiftExponent(m, i, 1)
	return Poly{m, []number.Num{number.Int(1)}}
}

// Monomial is c times the product of the variables to the powers exps;
// missing powers are 0. Domain: len(exps) ≤ Len, powers ≥ 0; a degree beyond
// the limit exhausts the meter.
func (r *Ring) Monomial(c number.Num, exps []int) Poly {
	m := make([]uint64, r.stride)
	for i, e := range exps {
		if e < 0 || !r.degreeFits(int(m[0]>>56)+e) {
			r.m.Exceed("degree")
			return Poly{}
		}
		shiftExponent(m, i, e)
	}
	if c.IsZero() {
		return Poly{}
	}
	return r.fit(Poly{m, []number.Num{c}})
}

// at is the monomial of term k.
func (r *Ring) at(f Poly, k int) []uint64 {
	return f.mons[k*r.stride : (k+1)*r.stride : (k+1)*r.stride]
}

// pay spends n units of work.
func (r *Ring) pay(n int) bool { return r.m.Spend(int64(n)) }

// degreeFits reports that a total degree may be worked with.
func (r *Ring) degreeFits(d int) bool { return d <= min(r.m.Limits.Degree, maxDegree) }

// fit passes f on if it is within the limits on terms and bits.
func (r *Ring) fit(f Poly) Poly {
	if len(f.coefs) > r.m.Limits.Terms {
		r.m.Exceed("terms")
		return Poly{}
	}
	for _, c := range f.coefs {
		if !c.Small() && c.Bits() > r.m.Limits.Bits {
			r.m.Exceed("bits")
			return Poly{}
		}
	}
	return f
}

// divNum is a/b for b ≠ 0. A quotient that is not found because b has too
// many independent roots exhausts the meter.
func (r *Ring) divNum(a, b number.Num) number.Num {
	q, ok := a.Div(b)
	if !ok {
		r.m.Exceed("bits")
	}
	return q
}
