package formula

import (
	"math/big"

	"squaremark/algebra/budget"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// adder collects the terms of a sum as a tree.
type adder struct{ total *syntax.Node }

func (a *adder) add(n *syntax.Node) {
	if a.total == nil {
		a.total = n
		return
	}
	a.total = &syntax.Node{Kind: syntax.Add, At: a.total.At, Kids: []*syntax.Node{a.total, n}}
}

func (a *adder) sub(n *syntax.Node) { a.add(negative(n)) }

func (a *adder) sum() *syntax.Node {
	if a.total == nil {
		return numeral(0)
	}
	return a.total
}

func negative(n *syntax.Node) *syntax.Node {
	return &syntax.Node{Kind: syntax.Neg, Kids: []*syntax.Node{n}}
}

// times is a product without factors 1.
func times(a, b *syntax.Node) *syntax.Node {
	switch {
	case oneTree(a):
		return b
	case oneTree(b):
		return a
	}
	return &syntax.Node{Kind: syntax.Mul, Kids: []*syntax.Node{a, b}}
}

func over(a, b *syntax.Node) *syntax.Node {
	if oneTree(b) {
		return a
	}
	return &syntax.Node{Kind: syntax.Div, Kids: []*syntax.Node{a, b}}
}

func toPower(n *syntax.Node, k int) *syntax.Node {
	if k == 1 {
		return n
	}
	return &syntax.Node{Kind: syntax.Pow, Kids: []*syntax.Node{n, numeral(int64(k))}}
}

func oneTree(n *syntax.Node) bool { return n.Kind == syntax.Number && n.Text == "1" }

// constantTree is a number as it would be typed.
func constantTree(c number.Num) *syntax.Node {
	if q, ok := c.Rat(); ok {
		size := func(k *big.Int) *syntax.Node {
			return &syntax.Node{Kind: syntax.Number, Text: new(big.Int).Abs(k).String()}
		}
		n := over(size(q.Num()), size(q.Denom()))
		if q.Sign() < 0 {
			n = negative(n)
		}
		return n
	}
	r, bad := syntax.Read(c.String(), budget.New(budget.Default()))
	if bad != nil {
		return nil
	}
	return r.Root
}

// polyTree is a polynomial as a tree; leaf gives the tree of each variable.
// nil when a number in it is too large to be typed.
func polyTree(r *poly.Ring, f poly.Poly, leaf func(v int) *syntax.Node) *syntax.Node {
	var total adder
	ok := true
	r.Each(f, func(exps []uint8, c number.Num) bool {
		term := constantTree(c)
		if term == nil {
			ok = false
			return false
		}
		for v, e := range exps {
			if e > 0 {
				term = times(term, toPower(leaf(v), int(e)))
			}
		}
		total.add(term)
		return true
	})
	if !ok {
		return nil
	}
	return total.sum()
}

// maxPowerSum bounds k in the closed form of Σ i^k.
const maxPowerSum = 12

// powerSum gives the coefficients of the polynomial p of degree k + 1 with
// p(x) = 1^k + 2^k + ... + x^k for whole x ≥ 0, lowest first. In fact
// p(x) - p(x-1) = x^k for every x.
//
// Source: Pascal's recurrence (x+1)^(k+1) - 1 = Σ_j C(k+1, j) p_j(x), j ≤ k.
func powerSum(k int) []number.Num {
	var all [][]number.Num
	for d := 0; d <= k; d++ {
		row := make([]number.Num, d+2) // (x+1)^(d+1) - 1
		for j := 1; j <= d+1; j++ {
			row[j] = binomial(d+1, j)
		}
		for j := range d {
			for i, c := range all[j] {
				row[i] = row[i].Sub(c.Mul(binomial(d+1, j)))
			}
		}
		inv := number.Frac(1, int64(d+1))
		for i := range row {
			row[i] = row[i].Mul(inv)
		}
		all = append(all, row)
	}
	return all[k]
}

func binomial(n, k int) number.Num {
	v := number.Int(1)
	for i := range k {
		v = v.Mul(number.Frac(int64(n-i), int64(i+1)))
	}
	return v
}

// powerSumTree is Σ i^k over i from lo to hi as a polynomial in hi.
func powerSumTree(k int, lo int64, hi *syntax.Node) *syntax.Node {
	var total adder
	total.add(powerSumTo(k, hi))
	below := number.Num{} // p(lo - 1)
	for i, c := range powerSum(k) {
		below = below.Add(c.Mul(number.Int(lo - 1).Pow(i)))
	}
	if !below.IsZero() {
		total.sub(constantTree(below))
	}
	return total.sum()
}

// powerSumTo is p(x), see powerSum.
func powerSumTo(k int, x *syntax.Node) *syntax.Node {
	var total adder
	for i, c := range powerSum(k) {
		if !c.IsZero() && i > 0 {
			total.add(times(constantTree(c), toPower(x, i)))
		}
	}
	return total.sum()
}

// linear reads a·n + b with whole a and b.
func linear(t *syntax.Node, size string) (a, b int64, ok bool) {
	const most = 1 << 20
	if v, isNumber := evaluate(t); isNumber {
		return 0, v, v < most && v > -most
	}
	if t.Kind == syntax.Name {
		return 1, 0, len(t.Kids) == 0 && t.Text == size
	}
	if len(t.Kids) == 0 {
		return 0, 0, false
	}
	a, b, ok = linear(t.Kids[0], size)
	c, d := int64(0), int64(0)
	if ok && len(t.Kids) == 2 {
		c, d, ok = linear(t.Kids[1], size)
	}
	switch {
	case !ok:
		return 0, 0, false
	case t.Kind == syntax.Neg:
		return -a, -b, true
	case t.Kind == syntax.Add:
		a, b = a+c, b+d
	case t.Kind == syntax.Sub:
		a, b = a-c, b-d
	case t.Kind == syntax.Mul && a == 0:
		a, b = b*c, b*d
	case t.Kind == syntax.Mul && c == 0:
		a, b = a*d, b*d
	default:
		return 0, 0, false
	}
	return a, b, a < most && a > -most && b < most && b > -most
}

// between is the closed form of a sum of a polynomial in the index between
// bounds a·n + b.
func (s *Sums) between(n *syntax.Node) (*syntax.Node, bool) {
	a, b, okLo := linear(n.Kids[0], s.Size)
	c, d, okHi := linear(n.Kids[1], s.Size)
	// There are (c - a)·n + d - b + 1 terms, which must not be below zero.
	slope, terms := c-a, d-b+1
	if !okLo || !okHi || slope < 0 || slope == 0 && terms < 0 || len(s.bound) > 0 {
		return nil, false
	}
	body := rename(n.Kids[2], n.Text, dotsIndex)
	scope, err := s.Outer(append(namesOf(body), body)...)
	if err != nil {
		return nil, false
	}
	f, err := scope.Expression(body)
	r := scope.Ring
	v, ok := r.Index(dotsIndex)
	if err != nil || !ok || r.DegreeIn(f.Den, v) > 0 || len(scope.Symbols) > 0 || r.DegreeIn(f.Num, v) > maxPowerSum {
		return nil, false
	}
	for _, x := range scope.Vars {
		if x.Name != dotsIndex && !s.declared(x.Name) {
			return nil, false
		}
	}
	leaf := func(v int) *syntax.Node { return &syntax.Node{Kind: syntax.Name, Text: r.Name(v)} }
	last, first := n.Kids[1], n.Kids[0]
	var total adder
	for k, coef := range r.Coeffs(f.Num, v) {
		t := polyTree(r, coef, leaf)
		if t == nil {
			return nil, false
		}
		before := &syntax.Node{Kind: syntax.Sub, Kids: []*syntax.Node{first, numeral(1)}}
		total.add(times(t, powerSumTo(k, last)))
		total.sub(times(t, powerSumTo(k, before)))
	}
	if slope > 0 && terms < 0 {
		s.Min = max(s.Min, (-terms+slope-1)/slope)
	}
	den := polyTree(r, f.Den, leaf)
	if den == nil {
		return nil, false
	}
	return over(total.sum(), den), true
}
