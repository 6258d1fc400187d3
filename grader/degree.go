package grader

import "math/big"

// degree says how far a finding is met, from 0 to 1. Where something is not
// settled, it lies between low and high and a person decides. Marks are
// arithmetic on degrees: all of several findings are met to the lowest of
// their degrees, one of them to the highest.
type degree struct{ low, high *big.Rat }

var (
	zero = new(big.Rat)
	one  = big.NewRat(1, 1)
	half = big.NewRat(1, 2)

	unmet    = degree{zero, zero}
	met      = degree{one, one}
	withheld = degree{zero, one} // a person decides
)

func partly(v *big.Rat) degree { return degree{v, v} }

func metIf(yes bool) degree {
	if yes {
		return met
	}
	return unmet
}

// open reports that a person decides.
func (d degree) open() bool { return d.low.Cmp(d.high) != 0 }

// full reports that nothing is lost.
func (d degree) full() bool { return d.low.Cmp(one) == 0 }

// lost reports that nothing can be earned.
func (d degree) lost() bool { return d.high.Sign() == 0 }

func lesser(a, b *big.Rat) *big.Rat {
	if a.Cmp(b) <= 0 {
		return a
	}
	return b
}

func greater(a, b *big.Rat) *big.Rat {
	if a.Cmp(b) >= 0 {
		return a
	}
	return b
}

// and is the degree to which both are met.
func (d degree) and(e degree) degree { return degree{lesser(d.low, e.low), lesser(d.high, e.high)} }

// or is the degree to which one of both is met.
func (d degree) or(e degree) degree { return degree{greater(d.low, e.low), greater(d.high, e.high)} }

// times is the degree of work that counts only as far as other work does.
func (d degree) times(e degree) degree {
	return degree{new(big.Rat).Mul(d.low, e.low), new(big.Rat).Mul(d.high, e.high)}
}

// mean is the share of the work that counts; of no work, nothing.
func mean(list []degree) degree {
	if len(list) == 0 {
		return unmet
	}
	low, high := new(big.Rat), new(big.Rat)
	for _, d := range list {
		low.Add(low, d.low)
		high.Add(high, d.high)
	}
	n := big.NewRat(int64(len(list)), 1)
	return degree{low.Quo(low, n), high.Quo(high, n)}
}

// state names a degree: met, in part, not met, or person.
func (d degree) state() string {
	switch {
	case d.open():
		return "person"
	case d.full():
		return "met"
	case d.lost():
		return "not met"
	}
	return "in part"
}
