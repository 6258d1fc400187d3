package draft

import (
	"math/big"
	"slices"
	"strings"

	"squaremark/algebra"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// attempt is an answer that a pupil may give. Which marks it gets, and whether
// the slip is named in it, is for the grader to say.
type attempt struct {
	lines []algebra.Line
	marks *big.Rat
	note  string
	right bool   // meant to be right
	slip  string // the slip that it is meant to show, if any
}

func one(text string) []algebra.Line { return []algebra.Line{{Text: text}} }

// wrongForms are square forms with one thing wrong, beside two unusual right
// ones.
func (q *question) wrongForms() []attempt {
	d := q.parts
	reversed, turned := d.reversedText()
	note := "Right, with the number first."
	if turned {
		note = "Unusual but right: the number first, a bracket the other way round."
	}
	list := []attempt{{lines: one(reversed), right: true, note: note}}
	for _, f := range d.slipForms() {
		list = append(list, attempt{lines: one(f.text), slip: f.slip})
	}
	if !d.constant.IsZero() {
		list = append(list, attempt{lines: one(d.sumText(d.terms, poly.Poly{})), note: "The number is forgotten."})
	}
	return append(list, attempt{lines: one(q.text), note: "The question again."})
}

// reversedText is the decomposition with its number first and brackets
// negated where they do not begin with a minus sign then.
func (d *decomposition) reversedText() (text string, turned bool) {
	terms := make([]term, len(d.terms))
	for i, t := range d.terms {
		terms[i] = t
		if negated := d.ring.Neg(t.root); !strings.HasPrefix(rootText(d.ring, negated), "-") {
			terms[i].root, turned = negated, true
		}
	}
	text = d.sumText(terms, poly.Poly{})
	if d.constant.IsZero() {
		return text, turned
	}
	if tail, negative := strings.CutPrefix(text, "-"); negative {
		return d.constant.String() + " - " + tail, turned
	}
	return d.constant.String() + " + " + text, turned
}

// slipForm is a form as a slip makes it.
type slipForm struct{ slip, text string }

// slipForms are forms as the common slips make them. Some slips are made in
// several ways; the grader names those that it knows.
func (d *decomposition) slipForms() []slipForm {
	ring := d.ring
	at0 := func(p poly.Poly) number.Num { return ring.EvalAll(p, make([]number.Num, ring.Len())) }
	var list []slipForm
	for i, t := range d.terms {
		if t.root.Len() < 2 {
			continue
		}
		flipped := slices.Clone(d.terms)
		flipped[i].root = ring.Sub(ring.Scale(leading(ring, t.root), number.Int(2)), t.root)
		list = append(list, slipForm{"bracket-sign", d.sumText(flipped, ring.Const(d.constant))})
		break
	}
	h := at0(d.terms[0].root)
	if len(d.terms) > 1 || h.IsZero() {
		return list
	}
	a, c := d.terms[0].coef, at0(d.whole)
	double := h.Add(h)
	for _, wrong := range []struct {
		slip string
		k    number.Num
	}{
		{"constant-not-compensated", c},
		{"compensated-twice", c.Add(a.Mul(h).Mul(h))},
		{"leading-coefficient", c.Sub(h.Mul(h))},
		{"halved-not-squared", c.Sub(h.Abs())},
		{"halved-not-squared", c.Sub(a.Mul(h.Abs()))},
		{"squared-not-halved", c.Sub(double.Mul(double))},
		{"squared-not-halved", c.Sub(a.Mul(double).Mul(double))},
		{"squared-not-halved", c.Sub(a.Mul(double).Mul(a.Mul(double)))},
	} {
		list = append(list, slipForm{wrong.slip, d.sumText(d.terms, ring.Const(wrong.k))})
	}
	return list
}

// leading is the first term of a polynomial.
func leading(ring *poly.Ring, p poly.Poly) poly.Poly {
	exps, c := ring.Lead(p)
	return ring.Monomial(c, exponents(exps))
}

// wrongChains are chains with one thing wrong, beside the model read from the
// fact to the claim.
func (q *question) wrongChains() []attempt {
	d, n := q.parts, len(q.model)
	list := []attempt{{lines: upwards(q.model), right: true, note: "Unusual but right: from the fact to the claim."}}
	_, sign := q.sides.difference(d.ring)
	last := func(text string) []algebra.Line {
		return append(slices.Clone(q.model[:n-1]), algebra.Line{Text: text, Link: "<=>"})
	}
	if n > 1 {
		list = append(list,
			attempt{lines: relinked(q.model, "=>"), note: "The links lead away from the claim."},
			attempt{lines: q.model[:n-1], note: "The chain stops before its end can be seen to be true."})
	}
	other := map[poly.Rel]poly.Rel{poly.Gt: poly.Ge, poly.Ge: poly.Gt}[sign]
	list = append(list, attempt{lines: last(d.formText() + " " + other.String() + " 0"), slip: "strictness"})
	list = append(list, q.unmoved(sign)...)
	if !d.cofactor.IsZero() {
		return list
	}
	for _, f := range d.slipForms() {
		list = append(list, attempt{lines: last(f.text + " " + sign.String() + " 0"), slip: f.slip})
	}
	return list
}

// unmoved is the chain in which a term keeps its sign on the way to the other
// side.
func (q *question) unmoved(sign poly.Rel) []attempt {
	ring, sd := q.parts.ring, q.sides
	sum := ring.Add(sd.left, sd.right)
	if sum.IsZero() || ring.Equal(sum, q.parts.whole) {
		return nil
	}
	lines := slices.Clone(q.model[:1])
	if _, constant := sd.den.IsConst(); !constant {
		lines = slices.Clone(q.model[:2])
	}
	rest := " " + sign.String() + " 0"
	lines = append(lines, algebra.Line{Text: polyText(ring, sum) + rest, Link: "<=>"})
	if d, ok := squaresOf(ring, sum); ok {
		lines = append(lines, algebra.Line{Text: d.formText() + rest, Link: "<=>"})
	}
	return []attempt{{lines: lines, slip: "moved-without-sign"}}
}

// upwards is a chain read from its last line to its first.
func upwards(lines []algebra.Line) []algebra.Line {
	out := slices.Clone(lines)
	slices.Reverse(out)
	return relinked(out, "=>")
}

func relinked(lines []algebra.Line, link string) []algebra.Line {
	out := slices.Clone(lines)
	for i := range out {
		out[i].Link = link
	}
	out[0].Link = ""
	return out
}

// wrongSets are lists with one thing wrong. centre is the number in the
// bracket where there is one.
func (q *question) wrongSets(out algebra.IntegersOutcome, centre number.Num) []attempt {
	if out.Infinite != "" {
		list := []attempt{{lines: one(strings.NewReplacer("<=", "<", ">=", ">").Replace(out.Infinite)), slip: "boundary"}}
		for _, part := range strings.Split(out.Infinite, " or ")[1:] {
			list = append(list, attempt{lines: one(part), note: "One part only."})
		}
		return append(list, attempt{lines: one(q.text), note: "The condition again."})
	}
	var list []attempt
	if n := len(out.Solutions); n == 0 {
		return []attempt{{lines: one("0"), note: "A number that is no solution."}}
	} else if n > 1 {
		back := slices.Clone(out.Solutions)
		slices.Reverse(back)
		list = append(list, attempt{lines: one(tuplesText(back)), right: true, note: "Right, in another order."})
	}
	if len(q.unknowns) == 1 {
		list = append(list, q.wrongNumbers(out, centre)...)
	} else {
		turned := make([]algebra.Tuple, len(out.Solutions))
		for i, t := range out.Solutions {
			turned[i] = slices.Clone(t)
			slices.Reverse(turned[i])
		}
		list = append(list, attempt{lines: one(tuplesText(turned)), slip: "tuple-order"})
	}
	if n := len(out.Solutions); n > 1 {
		list = append(list, attempt{lines: one(tuplesText(out.Solutions[:n-1])), note: "One is missing."})
	}
	return append(list, attempt{lines: one(q.text), note: "The condition again."})
}

// wrongNumbers are lists of numbers with the common slips: boundary, values of
// the bracket, shifted the wrong way, one root only.
func (q *question) wrongNumbers(out algebra.IntegersOutcome, centre number.Num) []attempt {
	var values []number.Num
	for _, t := range out.Solutions {
		v, ok := number.Parse(t[0])
		if !ok {
			return nil
		}
		values = append(values, v)
	}
	n := len(values)
	first, last := values[0], values[n-1]
	var upper []number.Num
	for _, v := range values {
		if v.Cmp(centre) >= 0 {
			upper = append(upper, v)
		}
	}
	shifted := func(by number.Num) []number.Num {
		var list []number.Num
		for _, v := range values {
			list = append(list, v.Sub(by))
		}
		return list
	}
	wider := append(append([]number.Num{first.Sub(number.Int(1))}, values...), last.Add(number.Int(1)))
	var list []attempt
	for _, wrong := range []struct {
		slip string
		set  []number.Num
	}{
		{"bracket-values", shifted(centre)},
		{"shifted-wrong-way", shifted(centre.Add(centre))},
		{"root-lost", upper},
		{"boundary", wider},
		{"boundary", values[min(1, n-1):max(n-1, 1)]},
	} {
		var tuples []algebra.Tuple
		for _, v := range wrong.set {
			tuples = append(tuples, algebra.Tuple{v.String()})
		}
		if len(tuples) > 0 {
			list = append(list, attempt{lines: one(tuplesText(tuples)), slip: wrong.slip})
		}
	}
	return list
}
