package squares

import (
	"slices"

	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// product is a product of facts and of squares of what is not zero: it is ≥ 0,
// and > 0 where strict.
type product struct {
	p        poly.Poly
	terms    []term
	facts    []int // places in system.facts
	unequals []int // places in system.unequals
	strict   bool
	value    evaluator
	cache    map[monomial][]entry
}

// times is the entries of the product times a monomial.
func (p *product) times(t *table, m monomial) []entry {
	es, ok := p.cache[m]
	if !ok {
		es = t.times(p.terms, m)
		p.cache[m] = es
	}
	return es
}

func (s *system) newProduct(t *table, p poly.Poly, facts, unequals []int, strict bool) *product {
	terms := t.terms(p)
	s.ring.Meter().Spend(int64(costProduct + 10*len(terms)))
	return &product{p: p, terms: terms, facts: facts, unequals: unequals, strict: strict,
		value: newEvaluator(terms), cache: map[monomial][]entry{}}
}

// costProduct is the price of setting up a product, costSystem that of
// preparing a conjunction.
const (
	costProduct = 50
	costSystem  = 3000
)

// Bounds on the products that are looked at.
const (
	maxProducts = 260
	maxFacts    = 4
)

// products lists 1, the facts, the squares of what is not zero, and products
// of up to four facts, of degree at most d, with few factors first. A fact
// occurs twice only where that keeps a product strict, and where it is linear
// but no variable, whose squares the squares of monomials give.
func (s *system) products(t *table, d int) []*product {
	list := []*product{s.newProduct(t, s.ring.Int(1), nil, nil, true)}
	for i, u := range s.unequals {
		if p := s.ring.Square(u.p); p.Degree() <= d {
			list = append(list, s.newProduct(t, p, nil, []int{i}, true))
		}
	}
	layer := list
	for range maxFacts {
		var next []*product
		for _, q := range layer {
			first := 0
			if n := len(q.facts); n > 0 {
				first = q.facts[n-1]
			}
			for i := first; i < len(s.facts); i++ {
				f := s.facts[i]
				again := f.p.Degree() == 1 && f.p.Len() > 1 || f.strict && q.strict
				if f.p.Degree()+q.p.Degree() > d || slices.Contains(q.facts, i) && !again {
					continue
				}
				if len(list)+len(next) >= maxProducts || s.ring.Meter().Exhausted() {
					return append(list, next...)
				}
				facts := append(append([]int(nil), q.facts...), i)
				next = append(next, s.newProduct(t, s.ring.Mul(q.p, f.p), facts, q.unequals, q.strict && f.strict))
			}
		}
		list = append(list, next...)
		layer = next
	}
	return list
}

// positiveMonomials lists the monomials of degree at most d that occur in some
// fact and consist of variables known to be positive, and the powers of such
// variables, beyond those that are products already.
func (s *system) positiveMonomials(t *table, d int, known []*product) []*product {
	signs := make([]int, len(t.vars)) // place of the fact v > 0, or −1
	for i, v := range t.vars {
		signs[i] = slices.IndexFunc(s.facts, func(f fact) bool {
			only, ok := s.ring.OnlyVar(f.p)
			return ok && only == v && f.strict && f.p.Len() == 1 && f.p.Degree() == 1 && f.p.LeadCoef().IsOne()
		})
	}
	seen := map[monomial]bool{}
	for _, p := range known {
		if len(p.terms) == 1 && p.strict {
			seen[p.terms[0].m] = true
		}
	}
	var out []*product
	for i, place := range signs {
		for k := 1; k <= d && place >= 0; k++ {
			if m := (monomial{}).raise(i, k); !seen[m] {
				seen[m] = true
				out = append(out, s.newProduct(t, t.poly(m, number.Int(1)), slices.Repeat([]int{place}, k), nil, true))
			}
		}
	}
	for _, f := range s.facts {
		for _, u := range t.terms(f.p) {
			if seen[u.m] || u.m.degree() > d {
				continue
			}
			seen[u.m] = true
			var facts []int
			ok := true
			for i, place := range signs {
				for range u.m.power(i) {
					ok = ok && place >= 0
					facts = append(facts, place)
				}
			}
			if ok {
				out = append(out, s.newProduct(t, t.poly(u.m, number.Int(1)), facts, nil, true))
			}
		}
	}
	return out
}

// homogeneous reports that all polynomials are.
func (s *system) homogeneous() bool {
	for _, f := range s.facts {
		if ok, _ := s.ring.Homogeneous(f.p); !ok {
			return false
		}
	}
	for _, f := range s.unequals {
		if ok, _ := s.ring.Homogeneous(f.p); !ok {
			return false
		}
	}
	for _, f := range s.equations {
		if ok, _ := s.ring.Homogeneous(f.p); !ok {
			return false
		}
	}
	return true
}

// beyond is how far the degree of a proof may be above that of the conditions.
const beyond = 2

// degrees lists the degrees at which a proof is looked for: those of the
// facts, then up to two more than the highest.
func (s *system) degrees() []int {
	var ds []int
	for _, f := range s.facts {
		if d := f.p.Degree(); d > 0 && !slices.Contains(ds, d) {
			ds = append(ds, d)
		}
	}
	for _, f := range s.equations {
		if d := f.p.Degree(); !slices.Contains(ds, d) {
			ds = append(ds, d)
		}
	}
	if len(ds) == 0 {
		ds = []int{0}
	}
	slices.Sort(ds)
	top := ds[len(ds)-1]
	return append(ds, top+1, top+beyond)
}

// halves lists the monomials whose squares, times a polynomial of degree of,
// have degree at most d; degree exactly d in the homogeneous case.
func halves(t *table, of, d int, homogeneous bool, limit int) []monomial {
	left := d - of
	if left < 0 || homogeneous && left%2 != 0 {
		return nil
	}
	return monomialsOf(len(t.vars), left/2, homogeneous, limit)
}

// anyStrict reports that some product can be the strict term of a proof at
// degree d.
func anyStrict(products []*product, d int, homogeneous bool) bool {
	return slices.ContainsFunc(products, func(p *product) bool {
		return p.strict && (p.p.Degree() == d || !homogeneous && p.p.Degree() < d)
	})
}
