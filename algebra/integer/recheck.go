package integer

import (
	"fmt"
	"math/big"
)

// maxChecked bounds the tuples that Recheck evaluates.
const maxChecked = 2_000_000

// Recheck goes the slow way, sharing nothing with the search: every member
// of a finite set is put into the question again, and so is every tuple of
// the box around the members (around 0 where there are none) widened by
// margin, which must not be a solution unless it is listed. For an infinite
// set it demands a solution in the box around 0. It is for tests and doubts;
// the scope's meter pays for it.
func (s *Set) Recheck(margin int64) error {
	lo, hi := make([]int64, len(s.Unknowns)), make([]int64, len(s.Unknowns))
	count := int64(1)
	for i := range s.Unknowns {
		for k, t := range s.Tuples {
			if !t[i].IsInt64() {
				return fmt.Errorf("the member %s is too large to be rechecked", TupleText(t))
			}
			if v := t[i].Int64(); k == 0 {
				lo[i], hi[i] = v, v
			} else {
				lo[i], hi[i] = min(lo[i], v), max(hi[i], v)
			}
		}
		lo[i], hi[i] = lo[i]-margin, hi[i]+margin
		if count *= hi[i] - lo[i] + 1; count > maxChecked {
			return fmt.Errorf("the box has more than %d points", maxChecked)
		}
	}
	solutions := 0
	err := box(lo, hi, func(tuple []*big.Int) error {
		holds, ok := s.condition.holds(tuple)
		if !ok {
			return fmt.Errorf("the question could not be evaluated at %s", TupleText(tuple))
		}
		if holds {
			solutions++
		}
		if member, _ := s.Contains(tuple); member != holds {
			return fmt.Errorf("%s: listed %t, a solution %t", TupleText(tuple), member, holds)
		}
		return nil
	})
	if err == nil && !s.Finite && solutions == 0 {
		err = fmt.Errorf("no solution of an infinite set within %d of 0", margin)
	}
	return err
}

// box calls visit with every integer tuple between lo and hi.
func box(lo, hi []int64, visit func([]*big.Int) error) error {
	at := append([]int64(nil), lo...)
	for {
		tuple := make([]*big.Int, len(at))
		for i, k := range at {
			tuple[i] = big.NewInt(k)
		}
		if err := visit(tuple); err != nil {
			return err
		}
		i := len(at) - 1
		for ; i >= 0; i-- {
			if at[i]++; at[i] <= hi[i] {
				break
			}
			at[i] = lo[i]
		}
		if i < 0 {
			return nil
		}
	}
}
