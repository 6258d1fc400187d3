package onevar

import (
	"slices"

	"squaremark/algebra/budget"
	"squaremark/algebra/number"
	"squaremark/algebra/poly/uni"
)

// Roots lists the real roots of f, rising, each once; every number is a root
// of the zero polynomial, for which the error is uni.ErrZero.
func Roots(f uni.Uni, m *budget.Meter) ([]Value, error) {
	if f.IsZero() {
		return nil, uni.ErrZero
	}
	return roots(f, m)
}

// roots lists the real roots of f ≠ 0, rising, each once: by the formula for
// degree 1, 2 and ax⁴ + bx² + c where the square roots are found, otherwise by
// isolation.
func roots(f uni.Uni, m *budget.Meter) ([]Value, error) {
	switch f.Degree() {
	case 0:
		return nil, nil
	case 1:
		if x, ok := f[0].Neg().Div(f[1]); ok {
			return []Value{Exactly(x)}, nil
		}
	case 2:
		if list, ok := quadraticRoots(f[2], f[1], f[0]); ok {
			m.Spend(budget.CostRootStep)
			return list, nil
		}
	case 4:
		if list, ok := biquadraticRoots(f); ok {
			m.Spend(2 * budget.CostRootStep)
			return list, nil
		}
	}
	isolated, err := uni.Isolate(f, m)
	if err != nil {
		return nil, err
	}
	list := make([]Value, len(isolated))
	for i, r := range isolated {
		if list[i] = (Value{root: r, open: true}); r.Exact() {
			list[i] = Exactly(r.Lo)
		}
	}
	return list, nil
}

func quadraticRoots(a, b, c number.Num) ([]Value, bool) {
	d := b.Mul(b).Sub(a.Mul(c).Mul(number.Int(4)))
	if d.Sign() < 0 {
		return nil, true
	}
	inv, ok1 := a.Add(a).Inv()
	s, ok2 := d.Sqrt()
	if !ok1 || !ok2 {
		return nil, false
	}
	x, y := b.Neg().Sub(s).Mul(inv), s.Sub(b).Mul(inv)
	switch {
	case s.IsZero():
		return []Value{Exactly(x)}, true
	case a.Sign() < 0:
		x, y = y, x
	}
	return []Value{Exactly(x), Exactly(y)}, true
}

// biquadraticRoots takes the roots of those of a·y² + b·y + c.
func biquadraticRoots(f uni.Uni) ([]Value, bool) {
	if !f[1].IsZero() || !f[3].IsZero() {
		return nil, false
	}
	squares, ok := quadraticRoots(f[4], f[2], f[0])
	if !ok {
		return nil, false
	}
	var list []Value
	for _, y := range squares {
		if y.num.Sign() < 0 {
			continue
		}
		x, ok := y.num.Sqrt()
		if !ok {
			return nil, false
		}
		if list = append(list, Exactly(x)); !x.IsZero() {
			list = append(list, Exactly(x.Neg()))
		}
	}
	slices.SortFunc(list, Value.Cmp)
	return list, true
}

// line is the real line cut at the roots of several polynomials: at[i] is a
// root of those k with zero[i][k]; signs[j][k] is the sign of polynomial k
// between at[j−1] and at[j].
type line struct {
	at     []Value
	zero   [][]bool
	sample []*number.Num // found when asked for
	signs  [][]int
}

// cutAt finds all roots of the polynomials and their signs between them. A
// zero polynomial has sign 0 everywhere and no root of its own.
func cutAt(fs []uni.Uni, m *budget.Meter) (*line, error) {
	type entry struct {
		v Value
		k int
	}
	var all []entry
	for k, f := range fs {
		if f.IsZero() {
			continue
		}
		list, err := roots(f, m)
		if err != nil {
			return nil, err
		}
		for _, v := range list {
			all = append(all, entry{v, k})
		}
	}
	if len(fs) > 1 {
		slices.SortStableFunc(all, func(a, b entry) int { return a.v.Cmp(b.v) })
	}
	l := &line{}
	for i, e := range all {
		if last := len(l.at) - 1; i == 0 || len(fs) == 1 || l.at[last].Cmp(e.v) != 0 {
			l.at = append(l.at, e.v)
			l.zero = append(l.zero, make([]bool, len(fs)))
		} else if !e.v.open {
			l.at[last] = e.v
		}
		l.zero[len(l.at)-1][e.k] = true
	}
	l.separate()
	l.sample = make([]*number.Num, len(l.at)+1)
	l.signs = make([][]int, len(l.at)+1)
	for j := range l.signs {
		l.signs[j] = make([]int, len(fs))
	}
	for k, f := range fs {
		l.signsOf(k, f, m)
	}
	return l, m.Err()
}

// signsOf fills in the signs of polynomial k: those of a polynomial of degree
// at most 2 follow from its roots, others are looked up in each gap.
func (l *line) signsOf(k int, f uni.Uni, m *budget.Meter) {
	n := len(l.at)
	if f.Degree() > 2 {
		for j := range l.signs {
			l.signs[j][k] = f.SignAt(l.between(j))
			m.Spend(int64(len(f) * budget.CostEvaluate))
		}
		return
	}
	count := 0
	for i := range l.zero {
		if l.zero[i][k] {
			count++
		}
	}
	sign := f.Lead().Sign()
	for j := n; j >= 0; j-- {
		l.signs[j][k] = sign
		if j > 0 && l.zero[j-1][k] && (f.Degree() == 1 || count == 2) {
			sign = -sign
		}
	}
}

// separate refines the intervals of neighbours until they do not overlap and
// no Num lies in or at the end of an interval.
func (l *line) separate() {
	for i := 1; i < len(l.at); i++ {
		a, b := &l.at[i-1], &l.at[i]
		for {
			_, hi := a.Bounds()
			lo, _ := b.Bounds()
			if c := hi.Cmp(lo); c < 0 || c == 0 && a.open && b.open {
				break
			}
			if x, y := a.narrow(), b.narrow(); !x && !y {
				break
			}
		}
	}
}

// narrow halves the interval of a root; false when there is nothing to halve.
func (v *Value) narrow() bool {
	if !v.open {
		return false
	}
	lo, hi := v.Bounds()
	r := uni.Refine(v.root, hi.Sub(lo).Mul(number.Frac(1, 2)))
	if r.Exact() {
		*v = Exactly(r.Lo)
		return true
	}
	if r.Lo.Equal(lo) && r.Hi.Equal(hi) { // the meter is exhausted
		return false
	}
	v.root = r
	return true
}

// between is a simple rational in the open interval before at[j], after the
// last value for j = len(at).
func (l *line) between(j int) number.Num {
	if l.sample[j] == nil {
		x := l.choose(j)
		l.sample[j] = &x
	}
	return *l.sample[j]
}

func (l *line) choose(j int) number.Num {
	n := len(l.at)
	switch {
	case n == 0:
		return number.Num{}
	case j == 0:
		lo, _ := l.at[0].Bounds()
		k := lo.Ceil()
		return least(number.FromBigInt(k.Sub(k, one)), -1)
	case j == n:
		_, hi := l.at[n-1].Bounds()
		k := hi.Floor()
		return least(number.FromBigInt(k.Add(k, one)), 1)
	}
	_, lo := l.at[j-1].Bounds()
	hi, _ := l.at[j].Bounds()
	if lo.Cmp(hi) >= 0 { // two intervals with a common end, which is no root
		return lo
	}
	return number.Between(lo, hi)
}

// least is 0 where the ray from k in the direction of sign allows it.
func least(k number.Num, sign int) number.Num {
	if k.Sign() != sign {
		return number.Num{}
	}
	return k
}

// sign is the sign of polynomial k on cell i: at the value (i−1)/2 for odd i,
// otherwise in the open interval i/2. A polynomial that is not zero at a
// value has there the sign it has beside it.
func (l *line) sign(i, k int) int {
	if i%2 == 1 && l.zero[i/2][k] {
		return 0
	}
	return l.signs[i/2][k]
}
