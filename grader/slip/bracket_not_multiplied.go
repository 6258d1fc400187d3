package slip

import (
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// A factor is multiplied into some terms of a bracket or of a line and not
// into others: 3(x + 4) becomes 3x + 4.
var bracketNotMultiplied = Slip{
	ID:     "bracket-not-multiplied",
	Title:  "bracket not multiplied through",
	Text:   "a factor is multiplied into some of the terms and not into the others",
	Kinds:  []string{SquareForm, Steps},
	Source: "common practice, no source",
	Examples: []Example{
		{Kind: Steps, Variables: "x", Ask: "3(x + 4) < 7", Written: "3x + 4 < 7", Named: true},
		{Kind: Steps, Variables: "x", Ask: "x/2 + 3 > 5", Written: "x + 3 > 10", Named: true},
		{Kind: Steps, Variables: "a, b", Givens: []string{"a > 0", "b > 0"}, Ask: "a/b + 4b/a >= 4", Written: "a^2 + 4b^2 >= 4", Named: true},
		{Kind: Steps, Variables: "x", Ask: "3(x + 4) < 7", Written: "3x + 12 < 7", Named: false},
	},
	forward: partlyMultiplied,
	line: func(l line) bool {
		return l.single && l.before.rel == l.after.rel && l.partlyMultiplied()
	},
}

// partlyMultiplied lists factor·(a + b + ...) with one term not multiplied, or
// only one.
func partlyMultiplied(n *syntax.Node) []*syntax.Node {
	factor, sum := factorOf(n)
	if factor == nil || sum == nil {
		return nil
	}
	plain := terms(sum)
	if len(plain) > maxTurned {
		return nil
	}
	times := make([]term, len(plain))
	for i, t := range plain {
		times[i] = term{binary(syntax.Mul, factor, t.n), t.minus}
	}
	var list []*syntax.Node
	for i := range plain {
		list = append(list, sumOf(changed(times, i, plain[i])))
		if len(plain) > 2 {
			list = append(list, sumOf(changed(plain, i, times[i])))
		}
	}
	return list
}

// partlyMultiplied reports that both sides were multiplied by a number, or by
// the common denominator, but for one term.
func (l line) partlyMultiplied() bool {
	r := l.Ring
	before, after := l.before.fraction, l.after.fraction
	if v, ok := after.Den.IsConst(); !ok || v.IsZero() {
		return false
	} else if inv, ok := v.Inv(); ok {
		after.Num = r.Scale(after.Num, inv)
	}
	var factors []poly.Poly
	if _, ok := before.Den.IsConst(); !ok {
		factors = append(factors, before.Den)
	} else {
		factors = l.ratios()
	}
	c := change{Scope: l.Scope}
	for _, k := range factors {
		// k·(all - t) + t was written: k·all - written is (k - 1)·t.
		rest := r.Sub(r.Mul(k, before.Num), r.Mul(after.Num, before.Den))
		for i, side := range []*syntax.Node{l.before.leftTree, l.before.rightTree} {
			for _, t := range c.values(side) {
				if i == 1 {
					t = r.Neg(t)
				}
				if !t.IsZero() && r.Equal(rest, r.Mul(before.Den, r.Mul(r.Sub(k, r.Int(1)), t))) {
					return true
				}
			}
		}
	}
	return false
}

// ratios lists the whole numbers by which coefficients of the line were
// multiplied, but for 1.
func (l line) ratios() []poly.Poly {
	var list []poly.Poly
	if !l.polynomials {
		return nil
	}
	l.Ring.Each(l.before.diff, func(exps []uint8, c number.Num) bool {
		at := make([]int, len(exps))
		for i, e := range exps {
			at[i] = int(e)
		}
		k, ok := l.Ring.Coef(l.after.diff, at).Div(c)
		if ok && !k.IsOne() && k.Sign() > 0 && k.IsInteger() {
			list = append(list, l.Ring.Const(k))
		}
		return len(list) < maxRatios
	})
	return list
}

const maxRatios = 4
