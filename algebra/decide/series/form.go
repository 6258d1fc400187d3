package series

import (
	"slices"

	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// form is a polynomial in the outer scope, sorted by the standard atoms and
// powers of n in its terms. The coefficients are polynomials in the other
// variables.
type form struct {
	terms []product
	rest  poly.Poly // without atoms and n
	atoms []int
	width int
	names []int // outer variables in coefficients
}

// product is coef · n^size · Π atoms.
type product struct {
	atoms []int // rising, with repetition
	size  int
	coef  poly.Poly
}

func (t product) weight() int { return len(t.atoms) + t.size }

// formOf sorts p. ok is false where it holds an atom that is not standard, or
// the symbol of a root. With sizeInside the powers of n stay in the
// coefficients.
func (s *prover) formOf(p poly.Poly, sizeInside bool) (f form, ok bool) {
	r := s.Scope.Ring
	size, hasSize := r.Index(s.Sums.Size)
	ok = true
	r.Each(p, func(exps []uint8, c number.Num) bool {
		t := product{}
		outer := make([]int, r.Len())
		for v, e := range exps {
			if e == 0 {
				continue
			}
			k := s.Sums.AtomAt(s.Scope, v)
			switch {
			case k >= 0 && !s.Sums.Atoms[k].Standard, s.Sums.OuterNode(s.Scope, v) == nil:
				ok = false
				return false
			case k >= 0:
				for range e {
					t.atoms = append(t.atoms, k)
				}
				if !slices.Contains(f.atoms, k) {
					f.atoms = append(f.atoms, k)
					f.width = max(f.width, s.Sums.Atoms[k].Width)
				}
			case hasSize && v == size && !sizeInside:
				t.size = int(e)
			default:
				outer[v] = int(e)
				if !slices.Contains(f.names, v) {
					f.names = append(f.names, v)
				}
			}
		}
		slices.Sort(t.atoms)
		m := r.Monomial(c, outer)
		if t.weight() == 0 {
			f.rest = r.Add(f.rest, m)
			return true
		}
		for i := range f.terms {
			if u := &f.terms[i]; u.size == t.size && slices.Equal(u.atoms, t.atoms) {
				u.coef = r.Add(u.coef, m)
				return true
			}
		}
		t.coef = m
		f.terms = append(f.terms, t)
		return true
	})
	return f, ok
}

// degree is the greatest weight of a term.
func (f form) degree() int {
	d := 0
	for _, t := range f.terms {
		d = max(d, t.weight())
	}
	return d
}

// nodes are the trees of the outer variables in coefficients, and n.
func (s *prover) nodes(vars []int, withSize bool) []formula.Tree {
	var list []formula.Tree
	for _, v := range vars {
		list = append(list, s.Sums.OuterNode(s.Scope, v))
	}
	if withSize {
		list = append(list, s.Sums.SizeTree())
	}
	return list
}

// into moves a polynomial of the outer ring to another scope.
func (s *prover) into(scope *formula.Scope, p poly.Poly) (poly.Poly, bool) {
	for _, v := range s.Scope.Ring.Vars(p) {
		if v >= len(s.Scope.Vars) {
			return p, false // symbols have names that mean something else elsewhere
		}
	}
	return s.Scope.Ring.Map(p, scope.Ring)
}
