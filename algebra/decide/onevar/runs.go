package onevar

import (
	"math/big"
	"math/bits"
	"slices"
	"strings"

	"squaremark/algebra/budget"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/poly/uni"
)

// Run is a block of consecutive integers from Lo to Hi, both included; a nil
// end is unbounded.
type Run struct{ Lo, Hi *big.Int }

// Len is the number of integers in the run; nil when there are infinitely
// many.
func (r Run) Len() *big.Int {
	if r.Lo == nil || r.Hi == nil {
		return nil
	}
	n := new(big.Int).Sub(r.Hi, r.Lo)
	return n.Add(n, big.NewInt(1))
}

// Runs is a set of integers: rising runs, none empty, with at least one
// integer missing between neighbours. Equal sets have equal runs.
type Runs []Run

// Integers is the set of integers in s.
func (s Set) Integers() Runs {
	var runs Runs
	for _, span := range s.spans {
		var r Run
		if !span.Lo.Unbounded {
			r.Lo = span.Lo.At.Ceil()
			if !span.Lo.Closed && span.Lo.At.isInteger(r.Lo) {
				r.Lo.Add(r.Lo, one)
			}
		}
		if !span.Hi.Unbounded {
			r.Hi = span.Hi.At.Floor()
			if !span.Hi.Closed && span.Hi.At.isInteger(r.Hi) {
				r.Hi.Sub(r.Hi, one)
			}
		}
		runs = append(runs, r)
	}
	return Normal(runs)
}

var one = big.NewInt(1)

// IntegersWhere is the set of integers at which f Rel 0 holds, exactly. Cost:
// one integer square root up to degree 2, otherwise root isolation.
func IntegersWhere(f uni.Uni, rel poly.Rel, m *budget.Meter) (Runs, bool) {
	if f.Degree() <= 2 && whole(f) {
		if !m.Spend(2 * budget.CostCandidate) {
			return nil, false
		}
		switch minus := f.Neg(); rel {
		case poly.Le:
			return atMostZero(f), true
		case poly.Ge:
			return atMostZero(minus), true
		case poly.Gt:
			return atMostZero(f).Complement(), true
		case poly.Lt:
			return atMostZero(minus).Complement(), true
		case poly.Eq:
			return atMostZero(f).Intersect(atMostZero(minus)), true
		default:
			return atMostZero(f).Intersect(atMostZero(minus)).Complement(), true
		}
	}
	l, err := cutAt([]uni.Uni{f}, m)
	if err != nil {
		return nil, false
	}
	in := make([]bool, 2*len(l.at)+1)
	for i := range in {
		in[i] = rel.Holds(l.sign(i, 0))
	}
	return cut(l.at, in).Integers(), !m.Exhausted()
}

func whole(f uni.Uni) bool {
	return !slices.ContainsFunc(f, func(c number.Num) bool { return !c.IsInteger() })
}

// atMostZero is the integers x with a·x² + b·x + c ≤ 0, for integers a, b, c:
// with a > 0 and r = ⌊√(b² − 4ac)⌋ those with −r ≤ 2ax + b ≤ r.
func atMostZero(f uni.Uni) Runs {
	if runs, ok := atMostZeroWord(f); ok {
		return runs
	}
	a, b, c := f.Coef(2).Floor(), f.Coef(1).Floor(), f.Coef(0).Floor()
	switch a.Sign() {
	case -1: // where −f < 0 does not hold, that is −f + 1 <= 0
		return atMostZero(f.Neg().Add(uni.Ints(1))).Complement()
	case 0:
		minus := new(big.Int).Neg(c)
		switch b.Sign() {
		case 1:
			return Runs{{nil, minus.Div(minus, b)}}
		case -1: // x >= -c/b, Div rounds to +∞ for a negative divisor
			return Runs{{minus.Div(minus, b), nil}}
		}
		if c.Sign() > 0 {
			return nil
		}
		return Runs{{}}
	}
	d := new(big.Int).Mul(a, c)
	d.Sub(new(big.Int).Mul(b, b), d.Lsh(d, 2))
	if d.Sign() < 0 {
		return nil
	}
	d.Sqrt(d)
	a.Lsh(a, 1)
	hi := new(big.Int).Sub(d, b)
	lo := new(big.Int).Add(d, b)
	lo.Neg(floorDiv(lo, a))
	return Normal([]Run{{lo, floorDiv(hi, a)}})
}

// atMostZeroWord is atMostZero in machine words for a > 0 and coefficients
// below 2^30 in size, so that b² − 4ac fits.
func atMostZeroWord(f uni.Uni) (Runs, bool) {
	const most = 1 << 30
	var k [3]int64
	for i := range k {
		n, ok := f.Coef(i).Int64()
		if !ok || n >= most || n <= -most {
			return nil, false
		}
		k[i] = n
	}
	a, b := k[2], k[1]
	if a <= 0 {
		return nil, false
	}
	d := b*b - 4*a*k[0]
	if d < 0 {
		return nil, true
	}
	root := int64(0)
	for bit := int64(1) << (bits.Len64(uint64(d)) / 2); bit > 0; bit >>= 1 {
		if r := root | bit; r <= d/r {
			root = r
		}
	}
	lo, hi := -floorWord(root+b, 2*a), floorWord(root-b, 2*a)
	if lo > hi {
		return nil, true
	}
	return Runs{{big.NewInt(lo), big.NewInt(hi)}}, true
}

// floorWord is ⌊n/d⌋ for d > 0.
func floorWord(n, d int64) int64 {
	q := n / d
	if n%d < 0 {
		q--
	}
	return q
}

// floorDiv is ⌊n/d⌋ for d > 0.
func floorDiv(n, d *big.Int) *big.Int { return new(big.Int).Div(n, d) }

// Normal brings any list of runs into the form that Runs demands; runs that
// end before they start hold nothing.
func Normal(list []Run) Runs {
	list = slices.DeleteFunc(slices.Clone(list), func(r Run) bool {
		return r.Lo != nil && r.Hi != nil && r.Lo.Cmp(r.Hi) > 0
	})
	slices.SortStableFunc(list, func(a, b Run) int {
		switch {
		case a.Lo == nil && b.Lo == nil:
			return 0
		case a.Lo == nil:
			return -1
		case b.Lo == nil:
			return 1
		}
		return a.Lo.Cmp(b.Lo)
	})
	var out Runs
	for _, r := range list {
		if k := len(out) - 1; k >= 0 && touches(out[k], r) {
			if out[k].Hi != nil && (r.Hi == nil || r.Hi.Cmp(out[k].Hi) > 0) {
				out[k].Hi = r.Hi
			}
			continue
		}
		out = append(out, r)
	}
	return out
}

// touches reports that b, which does not start before a, starts within a or
// right behind it.
func touches(a, b Run) bool {
	if a.Hi == nil || b.Lo == nil {
		return true
	}
	return b.Lo.Cmp(new(big.Int).Add(a.Hi, one)) <= 0
}

// IsFinite reports that every run has two ends.
func (s Runs) IsFinite() bool {
	return !slices.ContainsFunc(s, func(r Run) bool { return r.Lo == nil || r.Hi == nil })
}

// Len is the number of members of a finite set; nil for an infinite one.
func (s Runs) Len() *big.Int {
	n := new(big.Int)
	for _, r := range s {
		k := r.Len()
		if k == nil {
			return nil
		}
		n.Add(n, k)
	}
	return n
}

// Contains reports that k is a member.
func (s Runs) Contains(k *big.Int) bool {
	return slices.ContainsFunc(s, func(r Run) bool {
		return (r.Lo == nil || r.Lo.Cmp(k) <= 0) && (r.Hi == nil || k.Cmp(r.Hi) <= 0)
	})
}

// Equal reports the same members.
func (s Runs) Equal(t Runs) bool {
	return slices.EqualFunc(s, t, func(a, b Run) bool { return sameEnd(a.Lo, b.Lo) && sameEnd(a.Hi, b.Hi) })
}

func sameEnd(a, b *big.Int) bool {
	if a == nil || b == nil {
		return a == nil && b == nil
	}
	return a.Cmp(b) == 0
}

// Complement is the integers that are not members.
func (s Runs) Complement() Runs {
	out := Runs{}
	low, open := (*big.Int)(nil), true // the next gap starts at low
	for _, r := range s {
		if r.Lo != nil {
			out = append(out, Run{low, new(big.Int).Sub(r.Lo, one)})
		}
		if r.Hi == nil {
			open = false
			break
		}
		low = new(big.Int).Add(r.Hi, one)
	}
	if open {
		out = append(out, Run{low, nil})
	}
	return Normal(out)
}

// Union holds what s or t holds.
func (s Runs) Union(t Runs) Runs { return Normal(append(slices.Clone(s), t...)) }

// Intersect holds what both hold.
func (s Runs) Intersect(t Runs) Runs {
	var out Runs
	for len(s) > 0 && len(t) > 0 {
		a, b := s[0], t[0]
		r := Run{a.Lo, a.Hi}
		if r.Lo == nil || b.Lo != nil && b.Lo.Cmp(r.Lo) > 0 {
			r.Lo = b.Lo
		}
		// The one that ends first is used up.
		if a.Hi != nil && (b.Hi == nil || a.Hi.Cmp(b.Hi) <= 0) {
			s = s[1:]
		} else {
			r.Hi, t = b.Hi, t[1:]
		}
		if r.Lo == nil || r.Hi == nil || r.Lo.Cmp(r.Hi) <= 0 {
			out = append(out, r)
		}
	}
	return out
}

// Minus holds what s holds and t does not.
func (s Runs) Minus(t Runs) Runs { return s.Intersect(t.Complement()) }

// Text describes the integers in the named variable: "x <= 1 or x >= 3",
// "x = -1 or 2 <= x <= 5", "x is any integer", "none".
func (s Runs) Text(name string) string {
	if len(s) == 0 {
		return "none"
	}
	if len(s.Complement()) == 0 {
		return name + " is any integer"
	}
	parts := make([]string, len(s))
	for i, r := range s {
		switch {
		case r.Lo == nil:
			parts[i] = name + " <= " + r.Hi.String()
		case r.Hi == nil:
			parts[i] = name + " >= " + r.Lo.String()
		case r.Lo.Cmp(r.Hi) == 0:
			parts[i] = name + " = " + r.Lo.String()
		default:
			parts[i] = r.Lo.String() + " <= " + name + " <= " + r.Hi.String()
		}
	}
	return strings.Join(parts, " or ")
}
