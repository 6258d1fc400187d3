package formula

import (
	"sort"
	"strconv"

	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// body is one monomial in members and the index, over a polynomial.
type body struct {
	factors []factor
	index   int // the power of • itself
	den     *syntax.Node
}

// factor is a member of a family, or a root of members, at • + offset.
type factor struct {
	node   *syntax.Node // at offset 0
	offset int64
	power  int
	root   bool
}

func (f factor) tree() *syntax.Node {
	return at(f.node, plus(&syntax.Node{Kind: syntax.Name, Text: dotsIndex}, f.offset))
}

// key tells bodies apart.
func (b body) key() string { return syntax.Plain(b.tree()) }

// tree is the body with • as its index, in one spelling.
func (b body) tree() *syntax.Node {
	fs := append([]factor(nil), b.factors...)
	text := func(f factor) string { return syntax.Plain(f.node) + " " + strconv.FormatInt(f.offset, 10) }
	sort.Slice(fs, func(i, j int) bool { return text(fs[i]) < text(fs[j]) })
	top, bottom := numeral(1), numeral(1)
	put := func(n *syntax.Node, power int) {
		switch {
		case power > 0:
			top = times(top, toPower(n, power))
		case power < 0:
			bottom = times(bottom, toPower(n, -power))
		}
	}
	put(&syntax.Node{Kind: syntax.Name, Text: dotsIndex}, b.index)
	for _, f := range fs {
		put(f.tree(), f.power)
	}
	if b.den != nil {
		bottom = times(bottom, b.den)
	}
	return over(top, bottom)
}

// canonical is a denominator, moved on by shift, as a tree in which the order
// of the terms does not depend on that of the variables.
func (p *splitting) canonical(f poly.Poly, shift int64) *syntax.Node {
	var terms []*syntax.Node
	p.r.Each(f, func(exps []uint8, c number.Num) bool {
		var names []*syntax.Node
		for v, e := range exps {
			if e > 0 {
				names = append(names, toPower(at(p.leaves[v].node, plus(&syntax.Node{Kind: syntax.Name, Text: dotsIndex}, shift)), int(e)))
			}
		}
		sortTrees(names)
		term := numeral(1)
		for _, n := range names {
			term = times(term, n)
		}
		if k := constantTree(c); k != nil {
			term = times(k, term)
		}
		terms = append(terms, term)
		return true
	})
	sortTrees(terms)
	var total adder
	for _, t := range terms {
		total.add(t)
	}
	return total.sum()
}

func sortTrees(list []*syntax.Node) {
	sort.SliceStable(list, func(i, j int) bool { return syntax.Plain(list[i]) < syntax.Plain(list[j]) })
}

// value is the sum of a body, whose denominator is den if it has one, over the
// range of the splitting: a closed form, or an atom with end terms.
func (p *splitting) value(b body, den poly.Poly) (*syntax.Node, error) {
	if p.outer != "" {
		return p.valueUpTo(b)
	}
	if len(b.factors) == 0 && b.den == nil && b.index >= 0 {
		if b.index > maxPowerSum {
			return nil, tooLarge(p.place)
		}
		return powerSumTree(b.index, p.lo, plus(p.sizeNode(), p.hi)), nil
	}
	lo, hi := b.offsets()
	weighted := b.index < 0 || b.den != nil && holdsIndex(b.den)
	if weighted {
		lo = 0 // the index stays what it is
	}
	rational := weighted || b.den != nil
	for i := range b.factors {
		f := &b.factors[i]
		f.offset -= lo
		rational = rational || f.power < 0 || f.root
	}
	if b.den != nil {
		b.den = p.canonical(den, -lo)
	}
	a := Atom{Width: int(hi - lo), Weighted: weighted || b.index > 0}
	if whole, ok, err := p.triangular(b); ok || err != nil {
		if err != nil {
			return nil, err
		}
		return p.ranged(b.tree(), a, whole, p.lo+lo, p.hi+lo, rational)
	}
	if weighted || b.index == 0 || lo == 0 {
		return p.ranged(b.tree(), a, nil, p.lo+lo, p.hi+lo, rational)
	}
	// With t = • + lo the factor •^k becomes (t - lo)^k.
	var total adder
	for j, k := 0, b.index; j <= k; j++ {
		c := binomial(k, j).Mul(number.Int(-lo).Pow(k - j))
		b.index, a.Weighted = j, j > 0
		t, err := p.ranged(b.tree(), a, nil, p.lo+lo, p.hi+lo, rational)
		if err != nil {
			return nil, err
		}
		coef := constantTree(c)
		if coef == nil {
			return nil, tooLarge(p.place)
		}
		total.add(times(coef, t))
	}
	return total.sum(), nil
}

// offsets is the least and the greatest offset of members in the body.
func (b body) offsets() (lo, hi int64) {
	first := true
	see := func(l, h int64) {
		if first {
			lo, hi, first = l, h, false
		}
		lo, hi = min(lo, l), max(hi, h)
	}
	for _, f := range b.factors {
		_, wide, _ := dotOffsets(f.node)
		see(f.offset, f.offset+wide)
	}
	if b.den != nil {
		if l, h, ok := Offsets(b.den, dotsIndex); ok {
			see(l, h)
		}
	}
	return lo, hi
}

// holdsIndex reports • by itself, not as an index.
func holdsIndex(n *syntax.Node) bool {
	if n.Kind == syntax.Name {
		return len(n.Kids) == 0 && n.Text == dotsIndex
	}
	for _, k := range n.Kids {
		if holdsIndex(k) {
			return true
		}
	}
	return false
}

// ranged is the sum of a body from lo to n + hi: the atom over the standard
// range and what is to be added to it or taken away. A body that is not
// defined everywhere (fixed) keeps its range. Where whole is given, it is what
// the atom comes to.
func (p *splitting) ranged(tree *syntax.Node, a Atom, whole *syntax.Node, lo, hi int64, fixed bool) (*syntax.Node, error) {
	end := int64(-a.Width)
	if p.Cyclic {
		end = 0
		if !a.Weighted && hi-lo+1 == 0 {
			lo, hi = 1, 0 // once round, wherever it starts
		}
	}
	a.body, a.From, a.To = tree, 1, end
	a.Standard = !fixed || lo == 1 && hi == end
	if !a.Standard {
		a.From, a.To = lo, hi
		return p.atom(a), nil
	}
	p.Min = max(p.Min, -end)
	if lo-1 > maxEnds || lo < -maxEnds || hi-end > maxEnds || end-hi > maxEnds {
		return nil, outside(p.place, "the sum lacks too many terms")
	}
	if whole == nil {
		whole = p.atom(a)
	}
	total := adder{whole}
	put := func(index *syntax.Node, add bool) error {
		t, err := p.Rewrite(at(tree, index))
		if err != nil {
			return err
		}
		if !add {
			t = negative(t)
		}
		total.add(t)
		return nil
	}
	for t := min(lo, 1); t < max(lo, 1); t++ {
		if err := put(numeral(t), lo < 1); err != nil {
			return nil, err
		}
	}
	for t := min(hi, end) + 1; t <= max(hi, end); t++ {
		if err := put(plus(p.sizeNode(), t), hi > end); err != nil {
			return nil, err
		}
	}
	return total.sum(), nil
}

// atom is the name of an atom, a new one if need be.
func (s *Sums) atom(a Atom) *syntax.Node {
	key := strconv.FormatInt(a.From, 10) + " " + strconv.FormatInt(a.To, 10) + " " + syntax.Plain(a.body)
	k, ok := s.keys[key]
	if !ok {
		k = len(s.Atoms)
		s.keys[key] = k
		a.Name = s.letter + "_" + strconv.Itoa(k+1)
		s.Atoms = append(s.Atoms, a)
	}
	return &syntax.Node{Kind: syntax.Name, Text: s.letter, Kids: []*syntax.Node{numeral(int64(k + 1))}}
}
