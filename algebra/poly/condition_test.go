package poly_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"squaremark/algebra/poly"
)

func TestRelations(t *testing.T) {
	for _, row := range []struct {
		rel              poly.Rel
		sign             string
		below, at, above bool
	}{
		{poly.Eq, "=", false, true, false},
		{poly.Ne, "!=", true, false, true},
		{poly.Lt, "<", true, false, false},
		{poly.Le, "<=", true, true, false},
		{poly.Gt, ">", false, false, true},
		{poly.Ge, ">=", false, true, true},
	} {
		require.Equal(t, row.sign, row.rel.String())
		require.Equal(t, !row.at, row.rel.Strict(), row.sign)
		for sign, want := range map[int]bool{-1: row.below, 0: row.at, 1: row.above} {
			require.Equal(t, want, row.rel.Holds(sign), "%d %s 0", sign, row.sign)
			require.Equal(t, !want, row.rel.Not().Holds(sign), "not %d %s 0", sign, row.sign)
			require.Equal(t, want, row.rel.Flip().Holds(-sign), "%d %s 0 flipped", sign, row.sign)
		}
	}
	r := letters("x")
	c := poly.Condition{P: r.Var(0), Rel: poly.Gt}
	require.Equal(t, poly.Condition{P: r.Var(0), Rel: poly.Le}, c.Not())
}
