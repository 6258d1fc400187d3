package integer_test

import (
	"fmt"
	"math/big"
	"testing"

	"github.com/stretchr/testify/require"

	"squaremark/algebra/budget"
	"squaremark/algebra/integer"
)

// count is the number of solutions that Solve lists and that trying every
// tuple of a box finds, which must agree.
func count(t *testing.T, names, text string, inBox func(reach int64) int, reach int64) int {
	t.Helper()
	scope, f, unknowns, m := question(t, names, text, 100*budget.Default().Work)
	s, err := integer.Solve(scope, f, unknowns, m)
	require.NoError(t, err, text)
	require.True(t, s.Finite)
	require.Equal(t, inBox(reach), len(s.Tuples), text)
	return len(s.Tuples)
}

// tried2 and tried3 count in a box, sharing nothing with the search.
func tried2(holds func(x, y int64) bool) func(int64) int {
	return func(reach int64) int {
		n := 0
		for x := -reach; x <= reach; x++ {
			for y := -reach; y <= reach; y++ {
				if holds(x, y) {
					n++
				}
			}
		}
		return n
	}
}

// Lattice points in discs of radius n: OEIS A000328. Lattice points with
// x² + y² ≤ n: OEIS A057655. With x² + y² + z² ≤ n: OEIS A117609. The values
// are from memory and counted again here by trying every point of a box.
func TestLatticePointsInDiscsAndBalls(t *testing.T) {
	for n, want := range []int{1, 5, 13, 29, 49, 81, 113, 149, 197, 253} {
		n := int64(n)
		got := count(t, "x, y", fmt.Sprintf("x^2 + y^2 <= %d", n*n), tried2(func(x, y int64) bool { return x*x+y*y <= n*n }), n+1)
		require.Equal(t, want, got, "A000328(%d)", n)
	}
	for n, want := range []int{1, 5, 9, 9, 13, 21, 21, 21, 25, 29, 37} {
		n := int64(n)
		got := count(t, "x, y", fmt.Sprintf("x^2 + y^2 <= %d", n), tried2(func(x, y int64) bool { return x*x+y*y <= n }), n+1)
		require.Equal(t, want, got, "A057655(%d)", n)
	}
	for n, want := range []int{1, 7, 19, 27, 33, 57, 81, 81, 93, 123} {
		n := int64(n)
		tried := func(reach int64) int {
			sum := 0
			for z := -reach; z <= reach; z++ {
				sum += tried2(func(x, y int64) bool { return x*x+y*y+z*z <= n })(reach)
			}
			return sum
		}
		require.Equal(t, want, count(t, "x, y, z", fmt.Sprintf("x^2 + y^2 + z^2 <= %d", n), tried, 4), "A117609(%d)", n)
	}
}

// The number of ways to write n as a sum of two squares, order and signs
// counted, is four times the number of divisors 1 modulo 4 less those 3
// modulo 4 (Jacobi; G. H. Hardy, E. M. Wright, An Introduction to the Theory
// of Numbers, theorem 278). OEIS A004018.
func TestSumsOfTwoSquares(t *testing.T) {
	for n := int64(1); n <= 130; n++ {
		want := 0
		for d := int64(1); d <= n; d++ {
			switch {
			case n%d != 0:
			case d%4 == 1:
				want += 4
			case d%4 == 3:
				want -= 4
			}
		}
		got := count(t, "x, y", fmt.Sprintf("x^2 + y^2 = %d", n), tried2(func(x, y int64) bool { return x*x+y*y == n }), 12)
		require.Equal(t, want, got, "r2(%d)", n)
	}
}

// x² + xy + y² = n: six times the divisors 1 modulo 3 less those 2 modulo 3.
// OEIS A004016 (from memory; the box counts again).
func TestLoeschianForm(t *testing.T) {
	for n := int64(1); n <= 60; n++ {
		want := 0
		for d := int64(1); d <= n; d++ {
			if n%d == 0 {
				want += 6 * int([]int64{0, 1, -1}[d%3])
			}
		}
		got := count(t, "x, y", fmt.Sprintf("x^2 + x*y + y^2 = %d", n), tried2(func(x, y int64) bool { return x*x+x*y+y*y == n }), 12)
		require.Equal(t, want, got, "n = %d", n)
	}
}

// x·y = n has two solutions for each divisor of n; x² − y² = n has solutions
// exactly unless n is 2 modulo 4 (elementary).
func TestDivisorsAndDifferencesOfSquares(t *testing.T) {
	for n := int64(1); n <= 60; n++ {
		want := 0
		for d := int64(1); d <= n; d++ {
			if n%d == 0 {
				want += 2
			}
		}
		s, err := solve(t, "x, y", fmt.Sprintf("x*y = %d", n))
		require.NoError(t, err)
		require.Len(t, s.Tuples, want)
		s, err = solve(t, "x, y", fmt.Sprintf("x^2 - y^2 = %d", n))
		require.NoError(t, err)
		require.Equal(t, n%4 == 2, s.IsEmpty(), "n = %d", n)
	}
}

// Frobenius: with a = 5 and b = 7 the numbers that 5x + 7y does not reach for
// x, y ≥ 0 are 12 in number, the greatest 23 (J. J. Sylvester 1884: ab − a − b
// and (a − 1)(b − 1)/2, from memory).
func TestCoins(t *testing.T) {
	var unreached []int
	for n := range 60 {
		s, err := solve(t, "x, y", fmt.Sprintf("5x + 7y = %d and x >= 0 and y >= 0", n))
		require.NoError(t, err)
		if s.IsEmpty() {
			unreached = append(unreached, n)
		}
	}
	require.Len(t, unreached, 12)
	require.Equal(t, 23, unreached[len(unreached)-1])
}

func TestRecheckFindsDamage(t *testing.T) {
	damaged := func(change func(s *integer.Set)) error {
		scope, f, unknowns, m := question(t, "x, y", "x^2 + 3y^2 <= 7", 100*budget.Default().Work)
		s, err := integer.Solve(scope, f, unknowns, m)
		require.NoError(t, err)
		change(s)
		return s.Recheck(2)
	}
	require.NoError(t, damaged(func(*integer.Set) {}))
	require.Error(t, damaged(func(s *integer.Set) { s.Tuples = s.Tuples[1:] }))
	require.Error(t, damaged(func(s *integer.Set) { s.Tuples = s.Tuples[:1] }))
	require.Error(t, damaged(func(s *integer.Set) {
		s.Tuples = append(s.Tuples, []*big.Int{big.NewInt(9), big.NewInt(9)})
	}))
}

func TestEvidenceNamesTheBounds(t *testing.T) {
	s, err := solve(t, "x, y", "2x^2 + 2x*y + 5y^2 = 17")
	require.NoError(t, err)
	require.Equal(t, []string{
		"2*x^2 + 2*x*y + 5*y^2 = 17 leaves 3 values: -1 <= y <= 1",
		"x^2 = x + 6 leaves 2 values: x = -2 or x = 3",
		"x^2 + x = 6 leaves 2 values: x = -3 or x = 2",
		"every value that is left was tried: 4 solutions, each put into the question",
	}, s.Evidence)
}

func benchmarkSolve(b *testing.B, names, text string) {
	scope, f, unknowns, m := question(b, names, text, 1<<60)
	for b.Loop() {
		if _, err := integer.Solve(scope, f, unknowns, m); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkQuadraticInOneUnknown(b *testing.B) { benchmarkSolve(b, "x", "2x^2 - 7x <= 30") }
func BenchmarkCircle(b *testing.B)                { benchmarkSolve(b, "x, y", "x^2 + y^2 = 65") }
func BenchmarkDisc(b *testing.B)                  { benchmarkSolve(b, "x, y", "x^2 + x*y + y^2 <= 100") }
func BenchmarkBall(b *testing.B)                  { benchmarkSolve(b, "x, y, z", "x^2 + y^2 + z^2 <= 50") }
func BenchmarkDivisors(b *testing.B)              { benchmarkSolve(b, "x, y", "(x - 3)(y + 2) = 36") }
func BenchmarkUnitFractions(b *testing.B)         { benchmarkSolve(b, "x+, y+, z+", "1/x + 1/y + 1/z = 1") }
