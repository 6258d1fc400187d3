package formula

import (
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// split writes the sum over • from lo to n + hi of a body with atoms.
func (s *Sums) split(place, body *syntax.Node, lo, hi int64) (*syntax.Node, error) {
	return s.splitUpTo(place, body, lo, hi, "")
}

// splitUpTo does so for a sum to outer + hi, where outer is the index of the
// sum around, or "" for n.
func (s *Sums) splitUpTo(place, body *syntax.Node, lo, hi int64, outer string) (*syntax.Node, error) {
	scope, err := s.Outer(append(namesOf(body), body)...)
	if err != nil {
		return nil, err
	}
	term, err := scope.Expression(body)
	if err != nil {
		return nil, err
	}
	leaves, err := scope.leaves(body)
	if err != nil {
		return nil, err
	}
	p := &splitting{Sums: s, r: scope.Ring, leaves: leaves, place: place, lo: lo, hi: hi, outer: outer, index: -1}
	if v, ok := p.r.Index(dotsIndex); ok {
		p.index = v
	}
	total, err := p.fraction(term.Fraction)
	if err == nil && s.meter.Exhausted() {
		err = tooLarge(place)
	}
	return total, err
}

// namesOf lists the names in a body in an order that does not depend on where
// they stand, so that divisions come out the same in every text.
func namesOf(n *syntax.Node) []*syntax.Node {
	var list []*syntax.Node
	var walk func(n *syntax.Node)
	walk = func(n *syntax.Node) {
		if n.Kind == syntax.Name {
			list = append(list, n)
			return
		}
		for _, k := range n.Kids {
			walk(k)
		}
	}
	walk(n)
	sortTrees(list)
	return list
}

// splitting is the state of one sum being split.
type splitting struct {
	*Sums
	r      *poly.Ring
	leaves []leaf
	index  int // the ring variable •, -1 if it does not occur by itself
	place  *syntax.Node
	lo, hi int64
	outer  string // the sum goes to this index + hi, "" for n + hi
}

// fraction splits the sum of a fraction.
func (p *splitting) fraction(f Fraction) (*syntax.Node, error) {
	r := p.r
	num, den := f.Num, f.Den
	if _, constant := den.IsConst(); !constant {
		if g := r.GCD(num, den); !g.IsZero() {
			num, _ = r.DivExact(num, g)
			den, _ = r.DivExact(den, g)
		}
	}
	if p.outer == "" && p.index >= 0 && r.DegreeIn(den, p.index) > 0 && p.indexOnly(num) && p.indexOnly(den) {
		return p.ofIndex(num, den)
	}
	// den = c · monomial · rest
	shift := lowestPowers(r, den)
	rest, _ := r.DivExact(den, r.Monomial(number.Int(1), shift))
	if c, ok := rest.IsConst(); ok {
		inv, _ := c.Inv()
		return p.terms(r.Scale(num, inv), shift, poly.Poly{}, poly.Poly{})
	}
	if !p.occursIn(rest) {
		return p.terms(num, shift, poly.Poly{}, rest)
	}
	c := r.Content(rest)
	if inv, ok := c.Inv(); ok {
		rest, num = r.Scale(rest, inv), r.Scale(num, inv)
	}
	quotient, left := r.Reduce(num, []poly.Poly{rest})
	var total adder
	if !quotient[0].IsZero() {
		t, err := p.terms(quotient[0], shift, poly.Poly{}, poly.Poly{})
		if err != nil {
			return nil, err
		}
		total.add(t)
	}
	if !left.IsZero() {
		t, err := p.terms(left, shift, rest, poly.Poly{})
		if err != nil {
			return nil, err
		}
		total.add(t)
	}
	return total.sum(), nil
}

// lowestPowers is the greatest monomial that divides f.
func lowestPowers(r *poly.Ring, f poly.Poly) []int {
	low := make([]int, r.Len())
	first := true
	r.Each(f, func(exps []uint8, _ number.Num) bool {
		for i, e := range exps {
			if first || int(e) < low[i] {
				low[i] = int(e)
			}
		}
		first = false
		return true
	})
	return low
}

// occursIn reports that f depends on •.
func (p *splitting) occursIn(f poly.Poly) bool {
	for _, v := range p.r.Vars(f) {
		if v == p.index || p.leaves[v].member {
			return true
		}
	}
	return false
}

// indexOnly reports that f depends on • by itself at most, not on members or
// other variables.
func (p *splitting) indexOnly(f poly.Poly) bool {
	for _, v := range p.r.Vars(f) {
		if v != p.index {
			return false
		}
	}
	return true
}

// terms splits Σ f / (monomial · den · scale), where scale does not depend on
// •; a zero den or scale stands for 1.
func (p *splitting) terms(f poly.Poly, monomial []int, den, scale poly.Poly) (*syntax.Node, error) {
	type part struct {
		value *syntax.Node
		coef  poly.Poly
	}
	parts := map[string]int{}
	var list []part
	var failure error
	p.r.Each(f, func(exps []uint8, c number.Num) bool {
		b := body{}
		outer := make([]int, p.r.Len())
		for v, e := range exps {
			power := int(e) - monomial[v]
			switch l := p.leaves[v]; {
			case v == p.index:
				b.index = power
			case l.member && power != 0:
				b.factors = append(b.factors, factor{node: l.first, offset: l.offset, power: power, root: l.root})
			case !l.member:
				outer[v] = int(e)
			}
		}
		if !den.IsZero() {
			b.den = p.canonical(den, 0)
		}
		key := b.key()
		k, ok := parts[key]
		if !ok {
			value, err := p.value(b, den)
			if err != nil {
				failure = err
				return false
			}
			k = len(list)
			parts[key] = k
			list = append(list, part{value: value})
		}
		list[k].coef = p.r.Add(list[k].coef, p.r.Monomial(c, outer))
		return true
	})
	if failure != nil {
		return nil, failure
	}
	var total adder
	for _, t := range list {
		coef := p.tree(t.coef)
		if coef == nil {
			return nil, tooLarge(p.place)
		}
		total.add(times(coef, t.value))
	}
	under := numeral(1)
	for v, e := range monomial {
		if e > 0 && v != p.index && !p.leaves[v].member {
			under = times(under, toPower(p.leaves[v].node, e))
		}
	}
	if !scale.IsZero() {
		t := p.tree(scale)
		if t == nil {
			return nil, tooLarge(p.place)
		}
		under = times(under, t)
	}
	return over(total.sum(), under), nil
}

func (p *splitting) tree(f poly.Poly) *syntax.Node {
	return polyTree(p.r, f, func(v int) *syntax.Node { return p.leaves[v].node })
}

// ofIndex splits Σ num/den for polynomials in • alone: a polynomial part with
// a closed form, and one atom that begins at 1.
func (p *splitting) ofIndex(num, den poly.Poly) (*syntax.Node, error) {
	r := p.r
	c := r.Content(den)
	if inv, ok := c.Inv(); ok {
		den, num = r.Scale(den, inv), r.Scale(num, inv)
	}
	quotient, left := r.Reduce(num, []poly.Poly{den})
	total, err := p.terms(quotient[0], make([]int, r.Len()), poly.Poly{}, poly.Poly{})
	if err != nil || left.IsZero() {
		return total, err
	}
	from := r.Add(r.Var(p.index), r.Int(p.lo-1))
	left, den = r.Subst(left, p.index, from), r.Subst(den, p.index, from)
	scale := r.Content(left)
	inv, _ := scale.Inv()
	top, bottom, factor := p.tree(r.Scale(left, inv)), p.tree(den), constantTree(scale)
	if top == nil || bottom == nil || factor == nil {
		return nil, tooLarge(p.place)
	}
	value, err := p.ranged(over(top, bottom), Atom{Weighted: true}, nil, 1, p.hi-p.lo+1, false)
	if err != nil {
		return nil, err
	}
	sum := adder{total}
	sum.add(times(factor, value))
	return sum.sum(), nil
}
