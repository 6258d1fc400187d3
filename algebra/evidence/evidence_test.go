package evidence

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"squaremark/algebra/budget"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// bench is a ring in x, y, z with short names for what tests write often.
type bench struct{ *poly.Ring }

func newBench() bench {
	return bench{poly.NewRing([]string{"x", "y", "z"}, budget.New(budget.Default()))}
}

func (b bench) v(i int) poly.Poly   { return b.Var(i) }
func (b bench) k(n int64) poly.Poly { return b.Const(number.Int(n)) }
func num(n int64) number.Num        { return number.Int(n) }
func is(p poly.Poly, r poly.Rel) poly.Condition {
	return poly.Condition{P: p, Rel: r}
}

// x² - 2x + 3 ≤ 0 is refuted by (x - 1)² + 2. Every damage to the proof is
// refused.
func TestDamagedCombinations(t *testing.T) {
	b := newBench()
	x := b.v(0)
	quadratic := b.Add(b.Sub(b.Mul(x, x), b.Scale(x, num(2))), b.k(3))
	c := &Conjunction{Ring: b.Ring, Conds: []poly.Condition{is(quadratic, poly.Le), is(b.Sub(x, b.v(1)), poly.Eq), is(b.v(2), poly.Ne)}}
	one := b.k(1)
	good := func() *Combination {
		return &Combination{Terms: []Term{
			{Coef: num(1), Root: one, Factors: []int{0}},
			{Coef: num(1), Root: b.Sub(x, one)},
			{Coef: num(2), Root: one},
		}}
	}
	require.NoError(t, CheckRefutation(c, good()))
	for _, row := range []struct {
		name   string
		damage func(*Combination)
		says   string
	}{
		{"wrong coefficient", func(p *Combination) { p.Terms[2].Coef = num(3) }, "identity does not hold"},
		{"negative coefficient", func(p *Combination) { p.Terms[1].Coef = num(-1) }, "not positive"},
		{"zero coefficient", func(p *Combination) { p.Terms[1].Coef = num(0) }, "not positive"},
		{"wrong square", func(p *Combination) { p.Terms[1].Root = b.Add(x, one) }, "identity does not hold"},
		{"a term left out", func(p *Combination) { p.Terms = p.Terms[:2] }, "identity does not hold"},
		{"a condition that is not there", func(p *Combination) { p.Terms[0].Factors = []int{7} }, "not there"},
		{"a negative index", func(p *Combination) { p.Terms[0].Factors = []int{-1} }, "not there"},
		{"an equation used as a sign", func(p *Combination) { p.Terms[0].Factors = []int{1} }, "equation as a sign"},
		{"a sign used as an equation", func(p *Combination) { p.Multiples = []Multiple{{Cond: 0, By: one}} }, "not of an equation"},
		{"an unequal used as a sign", func(p *Combination) { p.Terms[0].Factors = []int{2} }, "equation as a sign"},
		{"a sign used as an unequal", func(p *Combination) { p.Terms[0].NonZero = []int{0} }, "does not read"},
		{"nothing", func(p *Combination) { *p = Combination{} }, "no term is positive"},
	} {
		t.Run(row.name, func(t *testing.T) {
			p := good()
			row.damage(p)
			assert.ErrorContains(t, CheckRefutation(c, p), row.says)
		})
	}
	assert.Error(t, CheckRefutation(c, nil))
}

// x² ≤ 0 can hold: an identity without a positive term proves nothing.
func TestStrictnessIsAsked(t *testing.T) {
	b := newBench()
	x := b.v(0)
	square := &Combination{Terms: []Term{{Coef: num(1), Root: b.k(1), Factors: []int{0}}, {Coef: num(1), Root: x}}}
	weak := &Conjunction{Ring: b.Ring, Conds: []poly.Condition{is(b.Mul(x, x), poly.Le)}}
	strict := &Conjunction{Ring: b.Ring, Conds: []poly.Condition{is(b.Mul(x, x), poly.Lt)}}
	assert.ErrorContains(t, CheckRefutation(weak, square), "no term is positive")
	assert.NoError(t, CheckRefutation(strict, square))
	// A factor with a root of its own is only non-negative.
	rooted := &Combination{Terms: []Term{{Coef: num(1), Root: x, Factors: []int{0}}, {Coef: num(1), Root: b.Mul(x, x)}}}
	assert.ErrorContains(t, CheckRefutation(strict, rooted), "no term is positive")
	// x ≠ 0 squared is positive: x ≠ 0 and x = 0.
	both := &Conjunction{Ring: b.Ring, Conds: []poly.Condition{is(x, poly.Ne), is(x, poly.Eq)}}
	assert.NoError(t, CheckRefutation(both, &Combination{
		Terms:     []Term{{Coef: num(1), Root: b.k(1), NonZero: []int{0}}},
		Multiples: []Multiple{{Cond: 1, By: b.Neg(x)}},
	}))
}

// xy = 1 and x = 0, by cases and by substitution; damage to either is refused.
func TestCasesAndSubstitution(t *testing.T) {
	b := newBench()
	x, y := b.v(0), b.v(1)
	c := &Conjunction{Ring: b.Ring, Conds: []poly.Condition{is(b.Sub(b.Mul(x, y), b.k(1)), poly.Eq), is(b.Sub(x, b.k(0)), poly.Eq)}}
	falseAfter := &Combination{Terms: []Term{{Coef: num(1), Root: b.k(1)}}, Multiples: []Multiple{{Cond: 0, By: b.k(1)}}}
	good := &Substitution{Cond: 1, Var: 0, Value: b.k(0), Then: falseAfter}
	require.NoError(t, CheckRefutation(c, good))
	for name, r := range map[string]Refutation{
		"another value":        &Substitution{Cond: 1, Var: 0, Value: b.k(1), Then: falseAfter},
		"another variable":     &Substitution{Cond: 1, Var: 1, Value: b.k(0), Then: falseAfter},
		"not a constant":       &Substitution{Cond: 0, Var: 0, Value: y, Then: falseAfter},
		"the value holds it":   &Substitution{Cond: 1, Var: 0, Value: x, Then: falseAfter},
		"no such equation":     &Substitution{Cond: 5, Var: 0, Value: b.k(0), Then: falseAfter},
		"no such variable":     &Substitution{Cond: 1, Var: 9, Value: b.k(0), Then: falseAfter},
		"nothing after it":     &Substitution{Cond: 1, Var: 0, Value: b.k(0)},
		"a case is left open":  &Cases{P: x, Neg: falseAfter, Zero: good, Pos: nil},
		"the cases are shared": &Cases{P: y, Neg: falseAfter, Zero: falseAfter, Pos: falseAfter},
	} {
		assert.Error(t, CheckRefutation(c, r), name)
	}
	contradiction := &Combination{Terms: []Term{{Coef: num(1), Root: b.k(1), Factors: []int{2}}}, Multiples: []Multiple{{Cond: 1, By: b.k(1)}}}
	opposite := &Combination{Terms: []Term{{Coef: num(1), Root: b.k(1), Factors: []int{2}}}, Multiples: []Multiple{{Cond: 1, By: b.k(-1)}}}
	assert.NoError(t, CheckRefutation(c, &Cases{P: x, Neg: contradiction, Zero: good, Pos: opposite}))
	assert.Error(t, CheckRefutation(c, &Cases{P: x, Neg: opposite, Zero: good, Pos: contradiction}))
	deep := Refutation(good)
	for range 80 {
		deep = &Cases{P: x, Neg: deep, Zero: deep, Pos: deep}
	}
	assert.ErrorContains(t, CheckRefutation(c, deep), "too deep")
}

// x² < 2 and x > 1 and x² > 2: roots ±√2 and 1.
func TestSignTables(t *testing.T) {
	b := newBench()
	x := b.v(0)
	f := b.Sub(b.Mul(x, x), b.k(2))
	c := &Conjunction{Ring: b.Ring, Conds: []poly.Condition{is(f, poly.Lt), is(b.Sub(x, b.k(1)), poly.Gt), is(f, poly.Gt), is(b.Sub(x, b.v(1)), poly.Gt)}}
	good := []Isolated{{num(-2), num(-1)}, {num(1), num(1)}, {number.Frac(5, 4), num(2)}}
	require.NoError(t, CheckRefutation(c, &OneVariable{Var: 0, Use: []int{0, 1, 2}, Roots: good}))
	for _, row := range []struct {
		name  string
		use   []int
		roots []Isolated
	}{
		{"a root left out", []int{0, 1, 2}, good[1:]},
		{"two roots in one interval", []int{0, 1, 2}, []Isolated{{num(-2), num(2)}, {num(1), num(1)}}},
		{"not a root", []int{0, 1, 2}, []Isolated{{num(-2), num(-1)}, {num(0), num(0)}, {number.Frac(5, 4), num(2)}}},
		{"an end is a root", []int{0, 1, 2}, []Isolated{{num(-2), num(-1)}, {num(1), num(1)}, {num(1), num(2)}}},
		{"out of order", []int{0, 1, 2}, []Isolated{{num(1), num(1)}, {num(-2), num(-1)}, {number.Frac(5, 4), num(2)}}},
		{"the other way round", []int{0, 1, 2}, []Isolated{{num(-1), num(-2)}, {num(1), num(1)}, {number.Frac(5, 4), num(2)}}},
		{"conditions that can hold", []int{0, 1}, good},
		{"another variable in it", []int{0, 1, 2, 3}, good},
		{"a condition that is not there", []int{0, 1, 2, 9}, good},
		{"no condition", nil, nil},
	} {
		assert.Error(t, CheckRefutation(c, &OneVariable{Var: 0, Use: row.use, Roots: row.roots}), row.name)
	}
}

// A double root counts once: (x - 1)⁴ < 0 is impossible, (x - 1)⁴ ≤ 0 is not.
func TestRepeatedRoot(t *testing.T) {
	b := newBench()
	f := b.Pow(b.Sub(b.v(0), b.k(1)), 4)
	table := &OneVariable{Var: 0, Use: []int{0}, Roots: []Isolated{{num(1), num(1)}}}
	assert.NoError(t, CheckRefutation(&Conjunction{Ring: b.Ring, Conds: []poly.Condition{is(f, poly.Lt)}}, table))
	assert.Error(t, CheckRefutation(&Conjunction{Ring: b.Ring, Conds: []poly.Condition{is(f, poly.Le)}}, table))
}

// n² = 2 has no integer solution, n² = 4 has.
func TestIntegerVariable(t *testing.T) {
	b := newBench()
	n := b.v(0)
	table := func(k int64, roots []Isolated) error {
		c := &Conjunction{Ring: b.Ring, Whole: []bool{true, false, false}, Conds: []poly.Condition{is(b.Sub(b.Mul(n, n), b.k(k)), poly.Eq)}}
		return CheckRefutation(c, &OneVariable{Var: 0, Use: []int{0}, Roots: roots})
	}
	assert.NoError(t, table(2, []Isolated{{num(-2), num(-1)}, {num(1), num(2)}}))
	assert.Error(t, table(2, []Isolated{{num(-3), num(-1)}, {num(1), num(2)}}), "the interval holds an integer")
	assert.Error(t, table(4, []Isolated{{num(-2), num(-2)}, {num(2), num(2)}}))
}

func TestPoints(t *testing.T) {
	b := newBench()
	x, y := b.v(0), b.v(1)
	two, _ := num(2).Sqrt()
	c := &Conjunction{Ring: b.Ring, Conds: []poly.Condition{is(b.Sub(b.Mul(x, x), b.k(2)), poly.Eq), is(y, poly.Gt)}}
	assert.NoError(t, CheckPoint(c, Point{two, num(1), num(0)}))
	assert.Error(t, CheckPoint(c, Point{two, num(0), num(0)}))
	assert.Error(t, CheckPoint(c, Point{number.Frac(141421, 100000), num(1), num(0)}))
	assert.Error(t, CheckPoint(c, Point{two, num(1)}))
	c.Whole = []bool{false, true, false}
	assert.Error(t, CheckPoint(c, Point{two, number.Frac(1, 2), num(0)}))
}

// The cube root of 2 solves x³ = 2 and x > 1, not x > 3/2.
func TestRootPoints(t *testing.T) {
	b := newBench()
	x := b.v(0)
	cube := b.Sub(b.Pow(x, 3), b.k(2))
	at := RootPoint{Var: 0, Of: cube, Lo: num(1), Hi: num(2)}
	with := func(p poly.Poly, r poly.Rel) *Conjunction {
		return &Conjunction{Ring: b.Ring, Conds: []poly.Condition{is(cube, poly.Eq), is(p, r)}}
	}
	assert.NoError(t, CheckRootPoint(with(b.Sub(x, b.k(1)), poly.Gt), at))
	assert.Error(t, CheckRootPoint(with(b.Sub(x, b.Const(number.Frac(3, 2))), poly.Gt), at))
	assert.Error(t, CheckRootPoint(with(b.Sub(x, b.k(1)), poly.Gt), RootPoint{Var: 0, Of: cube, Lo: num(2), Hi: num(3)}))
	assert.Error(t, CheckRootPoint(with(b.v(1), poly.Gt), at))
}

// With the meter exhausted arithmetic means nothing, so nothing is accepted.
func TestExhaustedMeterAcceptsNothing(t *testing.T) {
	limits := budget.Default()
	limits.Work = 3
	r := poly.NewRing([]string{"x"}, budget.New(limits))
	c := &Conjunction{Ring: r, Conds: []poly.Condition{is(r.Mul(r.Var(0), r.Var(0)), poly.Lt)}}
	for r.Meter().Spend(1) {
		continue
	}
	assert.Error(t, CheckRefutation(c, &Combination{Terms: []Term{{Coef: num(1), Root: r.Const(num(1)), Factors: []int{0}}, {Coef: num(1), Root: r.Var(0)}}}))
}

// Tighten keeps the integer points and loses none: random conditions against
// all points of a box.
func TestTightenKeepsIntegerPoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := newBench()
		small := rapid.Int64Range(-6, 6)
		den := rapid.Int64Range(1, 4)
		p := b.k(0)
		for _, m := range []poly.Poly{b.k(1), b.v(0), b.v(1), b.Mul(b.v(0), b.v(1)), b.Mul(b.v(0), b.v(0))} {
			p = b.Add(p, b.Scale(m, number.Frac(small.Draw(t, "c"), den.Draw(t, "d"))))
		}
		rel := poly.Rel(rapid.IntRange(0, 5).Draw(t, "rel"))
		c := &Conjunction{Ring: b.Ring, Whole: []bool{true, true, true}, Conds: []poly.Condition{is(p, rel)}}
		after := Tighten(c)
		for x := int64(-4); x <= 4; x++ {
			for y := int64(-4); y <= 4; y++ {
				at := Point{num(x), num(y), num(0)}
				assert.Equal(t, CheckPoint(c, at) == nil, CheckPoint(after, at) == nil, "%s %s 0 at %d, %d", b.String(p), rel, x, y)
			}
		}
	})
}

// Whatever combination is put together, none refutes conditions that hold at
// a known point.
func TestNothingRefutesWhatCanHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := newBench()
		small := rapid.Int64Range(-3, 3)
		at := Point{num(small.Draw(t, "x")), num(small.Draw(t, "y")), num(small.Draw(t, "z"))}
		random := func() poly.Poly {
			p := b.k(small.Draw(t, "k"))
			for i := range 3 {
				p = b.Add(p, b.Scale(b.v(i), num(small.Draw(t, "c"))))
				p = b.Add(p, b.Scale(b.Mul(b.v(i), b.v((i+1)%3)), num(small.Draw(t, "q"))))
			}
			return p
		}
		c := &Conjunction{Ring: b.Ring}
		for range rapid.IntRange(1, 3).Draw(t, "n") {
			p := random()
			rel := map[int]poly.Rel{-1: poly.Lt, 0: poly.Eq, 1: poly.Gt}[b.EvalAll(p, at).Sign()]
			c.Conds = append(c.Conds, is(p, rel))
		}
		var r Combination
		for range rapid.IntRange(0, 3).Draw(t, "terms") {
			r.Terms = append(r.Terms, Term{
				Coef: num(rapid.Int64Range(1, 3).Draw(t, "coef")), Root: random(),
				Factors: rapid.SliceOfN(rapid.IntRange(0, len(c.Conds)-1), 0, 2).Draw(t, "factors"),
			})
		}
		// The rest that would make the identity hold, as a multiple of the first
		// condition where it divides.
		for i, cond := range c.Conds {
			if cond.Rel == poly.Eq {
				r.Multiples = append(r.Multiples, Multiple{Cond: i, By: random()})
			}
		}
		assert.Error(t, CheckRefutation(c, &r))
		assert.Error(t, CheckRefutation(c, &Cases{P: random(), Neg: &r, Zero: &r, Pos: &r}))
	})
}
