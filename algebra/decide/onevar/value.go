package onevar

import (
	"math/big"

	"squaremark/algebra/number"
	"squaremark/algebra/poly/uni"
)

// Value is a real algebraic number: a Num, or a root of a polynomial that
// square roots do not express. The zero Value is 0.
type Value struct {
	num  number.Num
	root uni.Root
	open bool // root stands for the value
}

// Exactly is x as a Value.
func Exactly(x number.Num) Value { return Value{num: x} }

// Num is the value as a sum of square roots, if it was found to be one.
func (v Value) Num() (number.Num, bool) { return v.num, !v.open }

// Bounds are rationals or sums of square roots lo ≤ v ≤ hi, both v itself
// where Num finds it, otherwise lo < v < hi.
func (v Value) Bounds() (lo, hi number.Num) {
	if v.open {
		return v.root.Lo, v.root.Hi
	}
	return v.num, v.num
}

// Cmp is −1, 0 or 1 as v is less than, equal to or greater than w, exactly.
func (v Value) Cmp(w Value) int {
	switch {
	case v.open && w.open:
		return uni.Compare(v.root, w.root)
	case v.open:
		return v.root.Cmp(w.num)
	case w.open:
		return -w.root.Cmp(v.num)
	}
	return v.num.Cmp(w.num)
}

// Floor is the greatest integer that is not above v. (A root that is not a
// Num is not an integer, as rational roots are found when roots are isolated;
// at an integer the comparison would show it all the same.)
func (v Value) Floor() *big.Int {
	if !v.open {
		return v.num.Floor()
	}
	r := uni.Refine(v.root, number.Int(1))
	k := r.Hi.Floor()
	if r.Cmp(number.FromBigInt(k)) < 0 {
		k.Sub(k, one)
	}
	return k
}

// Ceil is the least integer that is not below v.
func (v Value) Ceil() *big.Int {
	k := v.Floor()
	if !v.isInteger(k) {
		k.Add(k, one)
	}
	return k
}

func (v Value) isInteger(k *big.Int) bool { return v.Cmp(Exactly(number.FromBigInt(k))) == 0 }

// String is the text of the Num, or the polynomial with the interval:
// "(root of x^3 - 2 between 1 and 3/2)".
func (v Value) String() string {
	if !v.open {
		return v.num.String()
	}
	r := uni.Refine(v.root, number.Frac(1, 64))
	return "(root of " + r.Poly().String() + " between " + r.Lo.String() + " and " + r.Hi.String() + ")"
}

// simplified is v as a Num where it is one.
func (v Value) simplified() Value {
	if v.open {
		if x, ok := v.root.ExactValue(); ok {
			return Exactly(x)
		}
	}
	return v
}

// degree is that of the polynomial that stands behind v, 1 for a Num.
func (v Value) degree() int {
	if v.open {
		return v.root.Poly().Degree()
	}
	return 1
}
