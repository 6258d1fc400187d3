package decide

import (
	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly/uni"
)

// halvings bounds how far an interval around a root is narrowed in order to
// see that no integer lies in it.
const halvings = 64

// betweenIntegers refutes conditions in one integer variable that have real
// solutions but no integer one: the sign table, with every interval so narrow
// that the kernel sees the integers outside.
func betweenIntegers(c *evidence.Conjunction, v int, use []int) evidence.Refutation {
	product := uni.Ints(1)
	for _, k := range use {
		f, ok := c.Ring.ToUni(c.Conds[k].P, v)
		if !ok {
			return nil
		}
		if f.Degree() > 0 {
			product = product.Mul(f)
		}
	}
	roots, err := uni.Isolate(product, c.Ring.Meter())
	if err != nil {
		return nil
	}
	table := &evidence.OneVariable{Var: v, Use: use}
	for _, r := range roots {
		width := number.Frac(1, 2)
		for range halvings {
			if r.Exact() || !integerBetween(r.Lo, r.Hi) {
				break
			}
			r = uni.Refine(r, width)
			width = width.Mul(number.Frac(1, 2))
		}
		table.Roots = append(table.Roots, evidence.Isolated{Lo: r.Lo, Hi: r.Hi})
	}
	return table
}

// integerBetween reports that an integer lies strictly between lo and hi.
func integerBetween(lo, hi number.Num) bool {
	return number.FromBigInt(lo.Floor()).Add(number.Int(1)).Cmp(hi) < 0
}
