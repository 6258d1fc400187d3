package squares_test

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"squaremark/algebra/budget"
	"squaremark/algebra/decide/internal/written"
	"squaremark/algebra/decide/squares"
	"squaremark/algebra/decide/witness"
	"squaremark/algebra/evidence"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// work is what a row may cost: about 10 ms, most take less than 1 ms.
const work = 1_000_000

type row struct{ name, text string }

// rows reads a table of testdata: one "name | conditions" on a line.
func rows(t testing.TB, file string) []row {
	data, err := os.ReadFile("testdata/" + file)
	require.NoError(t, err)
	var out []row
	for line := range strings.Lines(string(data)) {
		line = strings.TrimSpace(line)
		if line == "" || line[0] == '#' {
			continue
		}
		name, text, ok := strings.Cut(line, " | ")
		require.True(t, ok, line)
		out = append(out, row{name, text})
	}
	return out
}

func read(t require.TestingT, text string) *evidence.Conjunction {
	c, err := written.Conjunction(text, 1<<40)
	require.NoError(t, err)
	return c
}

func part(units int64) *budget.Meter { return budget.New(budget.Default()).Part(units) }

func TestKnownInequalities(t *testing.T) {
	for _, row := range rows(t, "impossible.txt") {
		t.Run(row.name, func(t *testing.T) {
			c := read(t, row.text)
			m := part(work)
			start := time.Now()
			r, ok := squares.Refute(c, m)
			took := time.Since(start)
			require.True(t, ok, "not refuted in %s, %d units left", took, m.Left())
			start = time.Now()
			require.NoError(t, evidence.CheckRefutation(c, r))
			t.Logf("%d units, %s, kernel %s", work-m.Left(), took, time.Since(start))
		})
	}
}

// A false neighbour is not refuted, and has a point.
func TestFalseNeighbours(t *testing.T) {
	for _, row := range rows(t, "possible.txt") {
		t.Run(row.name, func(t *testing.T) {
			c := read(t, row.text)
			_, ok := squares.Refute(c, part(work))
			require.False(t, ok)
			p, ok := witness.Find(c, part(work))
			require.True(t, ok, "no point")
			require.NoError(t, evidence.CheckPoint(c, p))
		})
	}
}

func TestTheMeterBounds(t *testing.T) {
	for _, row := range append(rows(t, "impossible.txt"), rows(t, "possible.txt")...) {
		c := read(t, row.text)
		for _, units := range []int64{0, 10, 300, 5000, 60_000} {
			m := part(units)
			start := time.Now()
			r, ok := squares.Refute(c, m)
			require.Less(t, time.Since(start), 300*time.Millisecond, row.name)
			if ok {
				require.NoError(t, evidence.CheckRefutation(c, r), row.name)
			}
		}
	}
}

// Damage to the conditions: what was refuted with a condition dropped or
// weakened is accepted by the kernel only when a refutation of the weaker
// conditions comes out, never from the old one reused.
func TestRefutationsAreForTheirOwnConditions(t *testing.T) {
	for _, row := range rows(t, "impossible.txt") {
		c := read(t, row.text)
		for k := range c.Conds {
			weaker := &evidence.Conjunction{Ring: c.Ring, Whole: c.Whole}
			weaker.Conds = append(append(weaker.Conds, c.Conds[:k]...), c.Conds[k+1:]...)
			if r, ok := squares.Refute(weaker, part(100_000)); ok {
				require.NoError(t, evidence.CheckRefutation(weaker, r), "%s without condition %d", row.name, k)
				_, found := witness.Find(weaker, part(20_000))
				require.False(t, found, "%s without condition %d", row.name, k)
			}
		}
	}
}

// randomConjunction draws a few conditions of low degree with small
// coefficients, some of them on squares so that refutations come up.
func randomConjunction(t *rapid.T) *evidence.Conjunction {
	r := poly.NewRing([]string{"x", "y", "z"}, budget.New(budget.Limits{Bits: 1 << 12, Terms: 1 << 12, Degree: 64, Work: 1 << 40}))
	small := rapid.Int64Range(-2, 2)
	form := func(constant bool) poly.Poly {
		f := poly.Poly{}
		for i := range r.Len() {
			f = r.Add(f, r.Scale(r.Var(i), number.Int(small.Draw(t, "a"))))
		}
		if constant {
			f = r.Add(f, r.Int(small.Draw(t, "c")))
		}
		return f
	}
	c := &evidence.Conjunction{Ring: r}
	for range rapid.IntRange(1, 4).Draw(t, "conditions") {
		f := form(rapid.Bool().Draw(t, "affine"))
		for range rapid.IntRange(0, 2).Draw(t, "factors") {
			f = r.Mul(f, form(true))
		}
		if rapid.Bool().Draw(t, "square") {
			f = r.Add(f, r.Square(form(true)))
		}
		c.Conds = append(c.Conds, poly.Condition{P: f, Rel: poly.Rel(rapid.IntRange(0, 5).Draw(t, "rel"))})
	}
	return c
}

func TestRandomConditions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := randomConjunction(t)
		r, refuted := squares.Refute(c, part(200_000))
		if refuted {
			require.NoError(t, evidence.CheckRefutation(c, r))
		}
		p, found := witness.Find(c, part(50_000))
		if found {
			require.NoError(t, evidence.CheckPoint(c, p))
		}
		require.False(t, refuted && found)
	})
}

func TestManyVariablesAreGivenUp(t *testing.T) {
	names := make([]string, 40)
	for i := range names {
		names[i] = fmt.Sprintf("v%d", i)
	}
	r := poly.NewRing(names, budget.New(budget.Default()))
	sum := r.Int(-1)
	for i := range names {
		sum = r.Add(sum, r.Pow(r.Var(i), 4))
	}
	start := time.Now()
	_, ok := squares.Refute(&evidence.Conjunction{Ring: r, Conds: []poly.Condition{{P: sum, Rel: poly.Lt}}}, r.Meter().Part(work))
	require.False(t, ok)
	require.Less(t, time.Since(start), 300*time.Millisecond)
}

func BenchmarkRefute(b *testing.B) {
	for _, row := range rows(b, "impossible.txt") {
		b.Run(row.name, func(b *testing.B) {
			c := read(b, row.text)
			for b.Loop() {
				if _, ok := squares.Refute(c, part(work)); !ok {
					b.Fatal("not refuted")
				}
			}
		})
	}
}
