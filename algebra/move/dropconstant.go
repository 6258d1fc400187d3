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
		w := p.gap(a, b, p.To, false)
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
		w := p.gap(b, a, p.From, true)
		if w.Status == No {
			return refused(CodeUnequal)
		}
		return Result{Forward: w}
	},
}

// gap is the way from the stronger relation to the weaker one, where weak's
// difference is strong's plus something that is evidently not negative. Plain
// tells that whole written terms were left out and nothing else was changed;
// terms of the stronger one only where it is the line before.
func (p *Pair) gap(weak, strong *Atom, line *Line, down bool) Way {
	if !inequality(weak.Sign) || !inequality(strong.Sign) && strong.Sign != poly.Eq {
		return Way{}
	}
	more := p.minus(weak.Diff, strong.Diff)
	if more.Num.IsZero() || strong.Diff.Num.IsZero() {
		return Way{}
	}
	known, plain := p.leftOut(weak, strong, down)
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

// leftOut compares the written terms of two relations: whole terms of one of
// them, a number among them only as a whole, do not stand in the other, and
// nothing else is different. It gives the sign of what weak has more.
func (p *Pair) leftOut(weak, strong *Atom, down bool) (sign, bool) {
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
	more, less := p.unmatched(rest, kept), p.unmatched(kept, rest)
	if len(less) > 0 && (len(more) > 0 || !down) {
		return anySign, false // a term was exchanged for another, or added
	}
	for _, t := range more {
		total = total.plus(t.sign(p.Setting))
	}
	for _, t := range less {
		total = total.plus(t.sign(p.Setting).turned())
	}
	return total, total.all(poly.Ge)
}

// unmatched lists the terms of one sum that do not stand in another.
func (p *Pair) unmatched(list, other []*summand) []*summand {
	used := make([]bool, len(other))
	var out []*summand
next:
	for _, t := range list {
		for i, u := range other {
			if !used[i] && p.Setting.same(p.worth(t), p.worth(u)) {
				used[i] = true
				continue next
			}
		}
		out = append(out, t)
	}
	return out
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
