package draft

import (
	"slices"

	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// term is Coef times the square of Root.
type term struct {
	coef number.Num
	root poly.Poly
}

// decomposition writes a polynomial as multiples of squares plus a constant,
// all times a cofactor that is known to be positive or not negative.
type decomposition struct {
	ring     *poly.Ring
	whole    poly.Poly
	terms    []term
	constant number.Num
	cofactor poly.Poly      // zero: none
	inner    *decomposition // the cofactor as squares, where it is not plain
	stages   []stage        // how it came about, one square a stage
}

// stage is a half-finished decomposition: squares, and what is left.
type stage struct {
	terms []term
	rest  poly.Poly
}

// squaresOf completes squares one variable after the other (Lagrange's
// reduction of a quadratic polynomial, from memory). ok is false where a
// polynomial is not quadratic, or is no sum of multiples of squares of one
// sign plus a constant in this way.
func squaresOf(ring *poly.Ring, p poly.Poly) (*decomposition, bool) {
	if p.Degree() != 2 {
		return nil, false
	}
	if d, ok := differences(ring, p); ok {
		return d, true
	}
	d := &decomposition{ring: ring, whole: p}
	rest, sign := p, 0
	for _, i := range ring.Vars(p) {
		squared := ring.Coeffs(rest, i)
		if len(squared) < 2 {
			continue
		}
		if len(squared) < 3 {
			return nil, false
		}
		a, number2 := squared[2].IsConst()
		if !number2 || a.IsZero() || sign != 0 && a.Sign() != sign {
			return nil, false
		}
		sign = a.Sign()
		half, _ := a.Mul(number.Int(2)).Inv()
		root := ring.Scale(ring.Derivative(rest, i), half)
		rest = ring.Sub(rest, ring.Scale(ring.Square(root), a))
		d.terms = append(d.terms, tidyTerm(ring, a, root))
		d.stages = append(d.stages, stage{slices.Clone(d.terms), rest})
	}
	k, constant := rest.IsConst()
	if !constant || len(d.terms) == 0 {
		return nil, false
	}
	d.constant = k
	return d, true
}

// tidyTerm takes denominators out of a root where the coefficient stays whole:
// 4(a - 3/2 b)² is (2a - 3b)².
func tidyTerm(ring *poly.Ring, coef number.Num, root poly.Poly) term {
	content := ring.Content(root)
	if content.Abs().IsInteger() {
		return term{coef, root}
	}
	scaled := coef.Mul(content).Mul(content)
	if scaled.IsInteger() {
		inverse, _ := content.Inv()
		return term{scaled, ring.Scale(root, inverse)}
	}
	return term{coef, root}
}

// differences writes a quadratic form in three or more variables as multiples
// of squares of differences of two variables, where it is one: the weights are
// half the coefficients of the products, negated.
func differences(ring *poly.Ring, p poly.Poly) (*decomposition, bool) {
	vars := ring.Vars(p)
	if same, degree := ring.Homogeneous(p); !same || degree != 2 || len(vars) < 3 {
		return nil, false
	}
	d := &decomposition{ring: ring, whole: p}
	rest := p
	half := number.Frac(1, 2)
	for a, i := range vars {
		for _, j := range vars[a+1:] {
			exps := make([]int, ring.Len())
			exps[i], exps[j] = 1, 1
			w := ring.Coef(p, exps).Mul(half).Neg()
			if w.Sign() < 0 {
				return nil, false
			}
			if w.IsZero() {
				continue
			}
			root := ring.Sub(ring.Var(i), ring.Var(j))
			rest = ring.Sub(rest, ring.Scale(ring.Square(root), w))
			d.terms = append(d.terms, term{w, root})
		}
	}
	if !rest.IsZero() || len(d.terms) == 0 {
		return nil, false
	}
	d.stages = []stage{{d.terms, poly.Poly{}}}
	return d, true
}

// repeated takes the repeated factors of a polynomial out as one square.
func repeated(ring *poly.Ring, p poly.Poly) (*decomposition, bool) {
	root := ring.Int(1)
	for _, f := range ring.SquareFree(p) {
		root = ring.Mul(root, ring.Pow(f.Base, f.Mult/2))
	}
	if root.Degree() == 0 {
		return nil, false
	}
	cofactor, ok := ring.DivExact(p, ring.Square(root))
	if !ok || cofactor.IsZero() {
		return nil, false
	}
	d := &decomposition{ring: ring, whole: p, terms: []term{{number.Int(1), root}}}
	if c, constant := cofactor.IsConst(); constant {
		d.terms[0].coef = c
	} else {
		d.cofactor = cofactor
		d.stages = append(d.stages, stage{d.terms, poly.Poly{}})
		if inner, ok := squaresOf(ring, cofactor); ok && inner.constant.Sign() > 0 {
			d.inner = inner
		}
	}
	d.stages = append(d.stages, stage{d.terms, poly.Poly{}})
	return d, true
}

// sum multiplies a decomposition out again.
func (d *decomposition) sum(terms []term, constant number.Num) poly.Poly {
	out := d.ring.Const(constant)
	for _, t := range terms {
		out = d.ring.Add(out, d.ring.Scale(d.ring.Square(t.root), t.coef))
	}
	if !d.cofactor.IsZero() {
		out = d.ring.Mul(out, d.cofactor)
	}
	return out
}
