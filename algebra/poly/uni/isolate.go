package uni

import (
	"errors"
	"math/big"
	"slices"

	"squaremark/algebra/budget"
	"squaremark/algebra/number"
)

// ErrZero says that every number is a root.
var ErrZero = errors.New("the zero polynomial has every number for a root")

// Isolate lists the real roots of f, rising, each once however often it is
// repeated. A rational root is exact, with Lo = Hi; any other has an open
// interval with rational ends, at which the square-free part of f is not 0,
// and which holds no other root. Different intervals may share an end.
//
// Domain: any f but 0, which gives ErrZero; a constant has no roots. The
// other error is that of the meter. Refining the roots later spends on the
// same meter.
//
// Source: for rational coefficients Descartes' rule of signs with bisection
// (G. E. Collins, A. G. Akritas, Polynomial real root isolation using
// Descartes' rule of signs, SYMSAC 1976), for others Sturm's theorem (S. Basu,
// R. Pollack, M.-F. Roy, Algorithms in Real Algebraic Geometry, chapters 2
// and 10) (from memory).
func Isolate(f Uni, m *budget.Meter) ([]Root, error) {
	if f.IsZero() {
		return nil, ErrZero
	}
	t := &target{f: SquareFreePart(f, m), m: m}
	var roots []Root
	if z, ok := toInts(t.f); ok {
		t.z = z
		roots = t.isolateInts()
	} else {
		roots = t.isolateSturm()
	}
	t.roots = slices.Clone(roots)
	return roots, m.Err()
}

// target is what the roots of one polynomial have in common.
type target struct {
	f     Uni  // square-free
	z     ints // the same over the integers, nil when f is irrational
	m     *budget.Meter
	roots []Root // as isolated first
}

// isolateInts finds the roots of t.z: 0, the positive ones, and the negative
// ones as the positive roots of z(−x).
func (t *target) isolateInts() []Root {
	z := t.z
	var zero []Root
	if len(z) > 1 && z[0].Sign() == 0 {
		zero = []Root{{t: t}}
		z = z[1:]
	}
	if len(z) < 2 {
		return zero
	}
	mirror := z.clone()
	for k := 1; k < len(mirror); k += 2 {
		mirror[k].Neg(mirror[k])
	}
	var roots []Root
	for _, c := range positiveRoots(mirror, t.m) {
		lo, hi := c.ends()
		roots = append(roots, Root{Lo: hi.Neg(), Hi: lo.Neg(), t: t})
	}
	slices.Reverse(roots)
	roots = append(roots, zero...)
	for _, c := range positiveRoots(z, t.m) {
		lo, hi := c.ends()
		roots = append(roots, Root{Lo: lo, Hi: hi, t: t})
	}
	rational := z.mayHaveRationalRoot()
	for k, r := range roots {
		if k > 0 && roots[k-1].isAt(r.Lo) || k+1 < len(roots) && roots[k+1].isAt(r.Hi) {
			r = r.offRoots()
		}
		if rational {
			r = r.findRational()
		}
		roots[k] = r
	}
	return roots
}

// isAt reports that r is exact and is x.
func (r Root) isAt(x number.Num) bool { return r.Lo.Equal(x) && r.Hi.Equal(x) }

// offRoots moves the ends of an interval off other roots: just inside an end
// the sign is that of the slope there.
func (r Root) offRoots() Root {
	if r.Exact() {
		return r
	}
	slope := r.t.f.Derivative()
	low, high := r.t.signAt(r.Lo), r.t.signAt(r.Hi)
	inside := low
	if low == 0 {
		inside = slope.SignAt(r.Lo)
	}
	for (low == 0 || high == 0) && r.t.step() {
		mid := r.Lo.Add(r.Hi).Mul(half)
		switch s := r.t.signAt(mid); s {
		case 0:
			return Root{mid, mid, r.t}
		case inside:
			r.Lo, low = mid, s
		default:
			r.Hi, high = mid, s
		}
	}
	return r
}

var half = number.Frac(1, 2)

// findRational makes a rational root exact. With leading coefficient L it is
// an integer divided by L, of which an interval no wider than 1/L has at most
// one inside.
func (r Root) findRational() Root {
	if r.Exact() {
		return r
	}
	lead := r.t.f.Lead()
	width, _ := lead.Inv()
	r = Refine(r, width)
	if r.Exact() {
		return r
	}
	k := r.Lo.Mul(lead).Floor()
	x, _ := number.FromBigInt(k.Add(k, big.NewInt(1))).Div(lead)
	if x.Cmp(r.Hi) < 0 && r.t.signAt(x) == 0 {
		return Root{x, x, r.t}
	}
	return r
}

// signAt is the sign of the square-free polynomial at x: for integers and
// x = p/q by Horner's rule on the numerator.
func (t *target) signAt(x number.Num) int {
	if t.z == nil || !x.IsRational() {
		return t.f.SignAt(x)
	}
	p, q := x.Numerator(), x.Denominator()
	sum, power := number.Num{}, number.Int(1)
	for k := len(t.f) - 1; k >= 0; k-- {
		sum = sum.Mul(p).Add(t.f[k].Mul(power))
		power = power.Mul(q)
	}
	return sum.Sign()
}

// step pays for one evaluation of the polynomial.
func (t *target) step() bool {
	return t.m.Spend(int64(budget.CostRootStep * (1 + len(t.f)/8)))
}

// Samples are rational points in the gaps that the roots leave, rising, one
// more than there are roots: on each gap the polynomial has one sign, which it
// shows there. Domain: the roots as Isolate lists them, refined or not.
func Samples(roots []Root) []number.Num {
	if len(roots) == 0 {
		return []number.Num{{}}
	}
	unit := number.Int(1)
	first, last := Refine(roots[0], unit), Refine(roots[len(roots)-1], unit)
	points := []number.Num{number.FromBigInt(first.Lo.Floor()).Sub(unit)}
	for k, r := range roots[1:] {
		lo, hi := roots[k].Hi, r.Lo
		if lo.Cmp(hi) < 0 {
			lo = number.Between(lo, hi)
		}
		points = append(points, lo)
	}
	return append(points, number.FromBigInt(last.Hi.Ceil()).Add(unit))
}
