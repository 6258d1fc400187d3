package written_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"squaremark/algebra/decide/internal/written"
)

func TestConjunction(t *testing.T) {
	c, err := written.Conjunction("a/b + b/a < 2; (a-1)^2 >= 3/4; n = 2", 1<<20)
	require.NoError(t, err)
	var lines []string
	for _, cond := range c.Conds {
		lines = append(lines, c.Ring.String(cond.P)+" "+cond.Rel.String()+" 0")
	}
	require.Equal(t, []string{"a*b != 0", "a^3*b - 2*a^2*b^2 + a*b^3 < 0", "a^2 - 2*a + 1/4 >= 0", "n - 2 = 0"}, lines)
	require.Equal(t, []bool{false, false, true}, c.Whole)
}

func TestMistakes(t *testing.T) {
	for _, text := range []string{"", "x", "x >", "(x > 0", "x > 0)", "x^y > 0", "x $ 1"} {
		_, err := written.Conjunction(text, 1<<20)
		require.Error(t, err, text)
	}
}
