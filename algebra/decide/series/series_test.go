package series

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/algebra/budget"
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/syntax"
)

func problem(t *testing.T, cyclic bool, statement string, every ...string) *Problem {
	t.Helper()
	m := budget.New(budget.Default())
	vars := []formula.Variable{{Name: "a_i"}, {Name: "b_i"}, {Name: "n", Range: formula.PositiveInteger}}
	read := func(text string) *syntax.Node {
		r, bad := syntax.Read(text, m)
		require.Nil(t, bad)
		return r.Root
	}
	sums := formula.NewSums(vars, "n", cyclic, m)
	now, err := sums.Rewrite(read(statement))
	require.NoError(t, err)
	later, err := sums.Rewrite(formula.Shifted(read(statement), "n", 1))
	require.NoError(t, err)
	for _, e := range every {
		require.NoError(t, sums.ForEvery(read(e), "i"))
	}
	scope, err := sums.Outer(now, later, sums.SizeTree())
	require.NoError(t, err)
	p := &Problem{Sums: sums, Scope: scope, From: max(1, sums.Min)}
	p.Given = sums.AtLeast(scope, p.From)
	body, _, err := scope.Core(now)
	require.NoError(t, err)
	next, _, err := scope.Core(later)
	require.NoError(t, err)
	p.Goals = []Goal{{Now: body, Later: next}}
	return p
}

// Each way to a claim, with what holds and a false neighbour of it.
var ways = []struct {
	name          string
	cyclic        bool
	holds, fails  string
	every         []string
	withoutClaims bool
}{
	{name: "one index", holds: "sum(i=1..n, a_i^2 + 1) >= 2sum(i=1..n, a_i)", fails: "sum(i=1..n, a_i^2) >= 2sum(i=1..n, a_i)"},
	{name: "open chain", holds: "sum(i=1..n, a_i^2) >= sum(i=1..n-1, a_i*a_{i+1}) + 1/2*a_1^2", fails: "sum(i=1..n, a_i^2) >= sum(i=1..n-1, a_i*a_{i+1}) + 2a_1^2"},
	{name: "round", cyclic: true, holds: "sum(i=1..n, a_i^2) >= sum(i=1..n, a_i*a_{i+1})", fails: "sum(i=1..n, a_i^2) > sum(i=1..n, a_i*a_{i+1})"},
	{name: "three neighbours", cyclic: true, holds: "sum(i=1..n, 3a_i^2 + 4a_i*a_{i+1} + 2a_i*a_{i+2}) >= 0", fails: "sum(i=1..n, 3a_i^2 + 5a_i*a_{i+1} + a_i*a_{i+2}) >= 0"},
	{name: "stationary", cyclic: true, every: []string{"a_i > 0"}, holds: "sum(i=1..n, a_i^2/a_{i+1}) >= sum(i=1..n, a_i)", fails: "sum(i=1..n, a_i^2/a_{i+1}) >= 2sum(i=1..n, a_i)"},
	{name: "pairs", holds: "n*sum(i=1..n, a_i^2) >= sum(i=1..n, a_i)^2", fails: "n*sum(i=1..n, a_i^2) >= 2sum(i=1..n, a_i)^2"},
	{name: "triples", every: []string{"a_i > 0"}, holds: "n^2*sum(i=1..n, a_i^3) >= sum(i=1..n, a_i)^3", fails: "n^2*sum(i=1..n, a_i^3) > sum(i=1..n, a_i)^3"},
	{name: "order", every: []string{"a_i >= a_{i+1}", "b_i >= b_{i+1}"}, holds: "n*sum(i=1..n, a_i*b_i) >= sum(i=1..n, a_i)*sum(i=1..n, b_i)", fails: "n*sum(i=1..n, a_i*b_i) > sum(i=1..n, a_i)*sum(i=1..n, b_i)"},
	{name: "differences", every: []string{"a_i >= i"}, holds: "2sum(i=1..n, a_i) >= n(n + 1)", fails: "2sum(i=1..n, a_i) >= n(n + 1) + 1"},
	{name: "roots", holds: "sqrt(n*sum(i=1..n, a_i^2)) >= sum(i=1..n, a_i)", fails: "sqrt(sum(i=1..n, a_i^2)) >= sum(i=1..n, a_i)"},
	{name: "induction", withoutClaims: true, holds: "n*sum(i=1..n, 1/i^2) <= 2n - 1", fails: "n^2*sum(i=1..n, 1/i^2) <= 2n^2 - 1"},
	{name: "stronger", withoutClaims: true, holds: "sum(i=1..n, 1/i^2) < 2", fails: "sum(i=1..n, 1/i^2) < 3/2"},
}

// TestProofsAreRechecked proves, checks the claims for several n, and sees
// that no claim passes when it is changed in one place.
func TestProofsAreRechecked(t *testing.T) {
	for _, w := range ways {
		proof, ok := Prove(problem(t, w.cyclic, w.holds, w.every...))
		require.True(t, ok, w.name)
		assert.NotEmpty(t, proof.Cases, w.name)
		assert.NotEmpty(t, proof.Steps, w.name)
		assert.Equal(t, w.withoutClaims, len(proof.claims) == 0, w.name)
		for n := proof.From; n < proof.From+3; n++ {
			assert.NoError(t, proof.Recheck(n, budget.New(budget.Default())), "%s for n = %d", w.name, n)
		}
		n := proof.From + 2
		for i := range proof.claims {
			c := proof.claims[i]
			changes := []claim{c, c, c}
			changes[0].p = c.scope.Ring.Add(c.p, c.scope.Ring.Int(1))
			changes[1].parts = append([]part(nil), c.parts...)
			q := &changes[1].parts[0]
			q.f = q.win.Plus(q.f, one(q.win.Ring, q.win.Ring.Const(number.Frac(1, 3))))
			changes[2].e = c.ends.Plus(c.e, one(c.ends.Ring, c.ends.Ring.Int(2)))
			for k, changed := range changes {
				bad := *proof
				bad.claims = []claim{changed}
				assert.ErrorIs(t, bad.Recheck(n, budget.New(budget.Default())), errClaim, "%s, claim %d, change %d", w.name, i, k)
			}
		}
	}
}

func TestFalseNeighboursAreNotProved(t *testing.T) {
	for _, w := range ways {
		proof, ok := Prove(problem(t, w.cyclic, w.fails, w.every...))
		assert.False(t, ok, "%s: %v", w.name, proof)
	}
}

func TestMeterBoundsTheSearch(t *testing.T) {
	p := problem(t, false, "n*sum(i=1..n, a_i^2) >= sum(i=1..n, a_i)^2")
	p.Scope.Ring = p.Scope.Ring.With(budget.New(budget.Limits{Terms: 1000, Degree: 100, Bits: 1000, Work: 50}))
	_, ok := Prove(p)
	assert.False(t, ok)
}
