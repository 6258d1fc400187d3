package number

import (
	"errors"
	"fmt"
	"math/big"
)

// Canonical names the rule of the representation that a breaks.
func Canonical(a Num) error {
	if a.w == nil {
		return canonicalSmall(a)
	}
	switch {
	case a.n != 0 || a.e != 0:
		return errors.New("words are not 0 beside a pointer")
	case (a.w.rat == nil) == (a.w.sum == nil):
		return errors.New("not exactly one of rational and sum")
	case a.w.rat != nil:
		if a.w.rat.Num().IsInt64() && a.w.rat.Denom().IsInt64() {
			return errors.New("large rational fits machine words")
		}
		return lowest(a.w.rat)
	case len(a.w.sum) == 1 && a.w.sum[0].d.IsOne():
		return errors.New("sum is a rational")
	}
	for i, t := range a.w.sum {
		if i > 0 && t.d.Cmp(a.w.sum[i-1].d) <= 0 {
			return fmt.Errorf("radicand %v out of order", t.d)
		}
		if t.c.IsZero() || !t.c.IsRational() || !t.d.IsInteger() || t.d.Sign() <= 0 {
			return fmt.Errorf("term %v*sqrt(%v) is not allowed", t.c, t.d)
		}
		if err := errors.Join(Canonical(t.c), Canonical(t.d)); err != nil {
			return err
		}
		for p := int64(2); p < 100; p++ {
			if new(divider).remainder(t.d, p*p) == 0 {
				return fmt.Errorf("radicand %v has the square factor %d", t.d, p*p)
			}
		}
	}
	return nil
}

func canonicalSmall(a Num) error {
	if a.e < 0 || a.e+1 < 1 {
		return fmt.Errorf("denominator %d+1", a.e)
	}
	if a.n == 0 && a.e != 0 {
		return errors.New("zero with a denominator")
	}
	if g := gcd(magnitude(a.n), uint64(a.e+1)); g > 1 {
		return fmt.Errorf("common factor %d", g)
	}
	return nil
}

func lowest(r *big.Rat) error {
	g := new(big.Int).GCD(nil, nil, new(big.Int).Abs(r.Num()), r.Denom())
	if g.IsInt64() && g.Int64() == 1 {
		return nil
	}
	return fmt.Errorf("common factor %v", g)
}
