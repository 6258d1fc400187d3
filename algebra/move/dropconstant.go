package move

import (
	"squaremark/algebra/formula"
	"squaremark/algebra/poly"
)

// dropPositiveConstant leaves out a positive number that stands beside the
// greater side: to show t + 3 > 0 it is enough to show t ≥ 0. It goes from the
// new line back to the old one. Source: elementary.
var dropPositiveConstant = Move{
	ID: "drop-positive-constant", Title: "Drop a positive constant", Family: Weakening, Since: "0.1.0", Source: "elementary",
	Text: "A positive number (or a term that is not negative) on the greater side is left out; the new line is enough for the old one.",
	Try: func(p *Pair) Result {
		a, b, ok := p.atoms()
		if !ok {
			return refused(CodeShape)
		}
		w := p.gap(a, b, p.To)
		if w.Status == No {
			return refused(CodeUnequal)
		}
		return Result{Backward: w}
	},
}

// addNonNegative adds something that is not negative to the greater side (or
// takes it from the smaller one). Source: elementary.
var addNonNegative = Move{
	ID: "add-non-negative", Title: "Add what is not negative", Family: Weakening, Since: "0.1.0", Source: "elementary",
	Text: "A positive number, a square or a term of known sign is added to the greater side.",
	Try: func(p *Pair) Result {
		a, b, ok := p.atoms()
		if !ok {
			return refused(CodeShape)
		}
		w := p.gap(b, a, p.From)
		if w.Status == No {
			return refused(CodeUnequal)
		}
		return Result{Forward: w}
	},
}

// gap is the way from the stronger relation to the weaker one, where weak's
// difference is strong's plus something that is evidently not negative. Plain
// tells that whole written terms were left out and nothing else was changed.
func (p *Pair) gap(weak, strong *Atom, line *Line) Way {
	if !inequality(weak.Sign) || !inequality(strong.Sign) && strong.Sign != poly.Eq {
		return Way{}
	}
	more := p.minus(weak.Diff, strong.Diff)
	if more.Num.IsZero() || strong.Diff.Num.IsZero() {
		return Way{}
	}
	known, plain := p.leftOut(weak, strong)
	if !plain {
		known = p.signOfFraction(more)
		if !known.all(poly.Ge) {
			known = p.visibleSign(more, weak, strong)
		}
	}
	if !known.all(poly.Ge) {
		return Way{}
	}
	if weak.Sign == poly.Gt && strong.Sign != poly.Gt && !known.all(poly.Gt) {
		return Way{}
	}
	// A number fact behind a line with variables says too little on its own.
	plain = plain && strong.Diff.Num.Degree() > 0
	return Way{Status: Proved, Plain: plain}.both(p.defined(line, weak))
}

func inequality(r poly.Rel) bool { return r == poly.Gt || r == poly.Ge }

// leftOut compares the written terms of two relations: all terms of strong
// stand in weak, and the sign of those that do not, a number among them only
// as a whole.
func (p *Pair) leftOut(weak, strong *Atom) (sign, bool) {
	long, okA := p.difference(weak)
	short, okB := p.difference(strong)
	if !okA || !okB {
		return anySign, false
	}
	c, rest := split(long)
	d, kept := split(short)
	total := zero
	switch {
	case c.Equal(d):
	case noNumbers(short), noNumbers(long):
		total = signOfNumber(c.Cmp(d))
	default:
		return anySign, false
	}
	used := make([]bool, len(rest))
	for _, t := range kept {
		at := -1
		for i, u := range rest {
			if !used[i] && p.Setting.same(p.worth(t), p.worth(u)) {
				at = i
				break
			}
		}
		if at < 0 {
			total = total.plus(t.sign(p.Setting).turned()) // left out of strong
			continue
		}
		used[at] = true
	}
	for i, t := range rest {
		if !used[i] {
			total = total.plus(t.sign(p.Setting))
		}
	}
	return total, total.all(poly.Ge)
}

// noNumbers reports a sum without a number other than 0 written in it.
func noNumbers(list []*summand) bool {
	for _, t := range list {
		if t.tree == nil && !t.factor.IsZero() {
			return false
		}
	}
	return true
}

// visibleSign is the sign of what was added where it is one written term of
// the two lines, or all that is left of several.
func (p *Pair) visibleSign(more formula.Fraction, weak, strong *Atom) sign {
	for _, a := range [...]*Atom{weak, strong} {
		list, ok := p.difference(a)
		if !ok {
			continue
		}
		for _, t := range list {
			k, ok := p.proportional(more, p.worth(t))
			if ok && !k.IsZero() {
				return t.sign(p.Setting).times(signOfNumber(k.Sign()))
			}
		}
	}
	return anySign
}
