package move

import (
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// sign is the set of signs that a quantity can have.
type sign uint8

const (
	negative sign = 1 << iota
	zero
	positive
	anySign     = negative | zero | positive
	notNegative = zero | positive
	notPositive = zero | negative
	notZero     = negative | positive
)

func signOfNumber(k int) sign { return [...]sign{negative, zero, positive}[k+1] }

// all reports that every possible sign satisfies a relation to zero.
func (a sign) all(rel poly.Rel) bool {
	for k := -1; k <= 1; k++ {
		if a&signOfNumber(k) != 0 && !rel.Holds(k) {
			return false
		}
	}
	return true
}

func (a sign) turned() sign {
	out := a & zero
	if a&negative != 0 {
		out |= positive
	}
	if a&positive != 0 {
		out |= negative
	}
	return out
}

// plus and times are the signs of sums and products.
func (a sign) plus(b sign) sign {
	switch {
	case a == zero:
		return b
	case b == zero:
		return a
	}
	u := a | b
	switch {
	case u&negative != 0 && u&positive != 0:
		return anySign
	case a&zero == 0 || b&zero == 0:
		return u &^ zero
	}
	return u
}

func (a sign) times(b sign) sign {
	out := (a | b) & zero
	if a&positive != 0 {
		out |= b & notZero
	}
	if a&negative != 0 {
		out |= b.turned() & notZero
	}
	return out
}

func (a sign) power(k int64) sign {
	if k%2 == 1 {
		return a
	}
	if a&notZero == 0 {
		return a
	}
	return a&zero | positive
}

// signOfRel is the signs that satisfy a relation to zero.
func signOfRel(rel poly.Rel) sign {
	return [...]sign{zero, notZero, negative, notPositive, positive, notNegative}[rel]
}

// learn takes the sign of a variable from a given c·x + d rel 0.
func (s *Setting) learn(c poly.Condition) {
	v, ok := s.Ring.OnlyVar(c.P)
	if !ok || s.Ring.DegreeIn(c.P, v) != 1 {
		return
	}
	cs := s.Ring.Coeffs(c.P, v)
	if len(cs) != 2 {
		return // the meter has run out
	}
	slope, _ := cs[1].IsConst()
	at, _ := cs[0].IsConst()
	at, ok = at.Neg().Div(slope) // x rel at
	if !ok {
		return
	}
	rel := c.Rel
	if slope.Sign() < 0 {
		rel = rel.Flip()
	}
	k := at.Sign()
	switch rel {
	case poly.Eq:
		s.signs[v] &= signOfNumber(k)
	case poly.Ne:
		if k == 0 {
			s.signs[v] &= notZero
		}
	case poly.Gt, poly.Ge:
		switch {
		case k > 0 || k == 0 && rel == poly.Gt:
			s.signs[v] &= positive
		case k == 0:
			s.signs[v] &= notNegative
		}
	default:
		switch {
		case k < 0 || k == 0 && rel == poly.Lt:
			s.signs[v] &= negative
		case k == 0:
			s.signs[v] &= notPositive
		}
	}
}

// signOf reads the sign of a polynomial off its terms.
func (s *Setting) signOf(f poly.Poly) sign {
	total := zero
	s.Ring.Each(f, func(exps []uint8, c number.Num) bool {
		term := signOfNumber(c.Sign())
		for i, e := range exps {
			if e > 0 {
				term = term.times(s.varSign(i).power(int64(e)))
			}
		}
		total = total.plus(term)
		return total != anySign
	})
	return total
}

func (s *Setting) varSign(i int) sign {
	for _, y := range s.Symbols {
		if y.Var == i && y.Power%2 == 0 {
			return s.signs[i] & notNegative
		}
	}
	return s.signs[i]
}

// signOfTree reads the sign of an expression off the way it is written:
// even powers, moduli, roots, products and sums of quantities of known sign.
// It says nothing about where the expression is defined.
func (s *Setting) signOfTree(n *syntax.Node) sign {
	switch n.Kind {
	case syntax.Number:
		v, _ := number.Parse(n.Text)
		return signOfNumber(v.Sign())
	case syntax.Name:
		if len(n.Kids) == 1 {
			if known := s.memberSign(n); known != anySign {
				return known
			}
		}
		if i, ok := s.Ring.Index(syntax.Plain(n)); ok {
			return s.varSign(i)
		}
	case syntax.Neg:
		return s.signOfTree(n.Kids[0]).turned()
	case syntax.Plus:
		return s.signOfTree(n.Kids[0])
	case syntax.Add:
		return s.signOfTree(n.Kids[0]).plus(s.signOfTree(n.Kids[1])) & s.givenSign(n)
	case syntax.Sub:
		return s.signOfTree(n.Kids[0]).plus(s.signOfTree(n.Kids[1]).turned()) & s.givenSign(n)
	case syntax.Mul:
		if syntax.Equal(n.Kids[0], n.Kids[1]) {
			return s.signOfTree(n.Kids[0]).power(2)
		}
		return s.signOfTree(n.Kids[0]).times(s.signOfTree(n.Kids[1]))
	case syntax.Div:
		return s.signOfTree(n.Kids[0]).times(s.signOfTree(n.Kids[1]) &^ zero)
	case syntax.Pow:
		return s.signOfPower(n)
	case syntax.Root:
		if k, ok := s.value(n.Kids[1]); ok {
			if e, ok := k.Int64(); ok {
				base := s.signOfTree(n.Kids[0])
				if e%2 == 0 {
					base &= notNegative
				}
				return base
			}
		}
	case syntax.Abs:
		return s.signOfTree(n.Kids[0]).power(2)
	case syntax.BigSum:
		return s.withoutSigns().signOfTree(n.Kids[2]) | zero
	}
	return anySign
}

// givenSign is the sign of a written sum that a given states: x - 1 where
// x > 1 is given.
func (s *Setting) givenSign(n *syntax.Node) sign {
	if len(s.facts) == 0 {
		return anySign
	}
	f, ok := s.polynomialOf(n)
	if !ok {
		return anySign
	}
	out := anySign
	for _, c := range s.facts {
		if k, ok := s.ratio(f, c.P); ok && !k.IsZero() {
			found := signOfRel(c.Rel)
			if k.Sign() < 0 {
				found = found.turned()
			}
			out &= found
		}
	}
	return out
}

// withoutSigns forgets what the givens say about variables: inside a sum a
// name may be the index, or depend on it.
func (s *Setting) withoutSigns() *Setting {
	out := *s
	out.facts = nil
	out.signs = make([]sign, len(s.signs))
	for i := range out.signs {
		out.signs[i] = anySign
	}
	return &out
}

func (s *Setting) signOfPower(n *syntax.Node) sign {
	v, ok := s.value(n.Kids[1])
	base := s.signOfTree(n.Kids[0])
	if !ok {
		return anySign
	}
	k, ok := v.Int64()
	switch {
	case ok && k > 0:
		return base.power(k)
	case ok && k < 0:
		return (base &^ zero).power(-k)
	case ok:
		return positive
	}
	return anySign
}

// value is the number that an expression without variables stands for.
func (s *Setting) value(n *syntax.Node) (number.Num, bool) {
	if n.Kind == syntax.Number {
		return number.Parse(n.Text)
	}
	if hasName(n) {
		return number.Num{}, false
	}
	t, err := s.Expression(n)
	if err != nil {
		return number.Num{}, false
	}
	return constant(t.Fraction)
}

func hasName(n *syntax.Node) bool {
	if n.Kind == syntax.Name {
		return true
	}
	for _, k := range n.Kids {
		if hasName(k) {
			return true
		}
	}
	return false
}

// signOfFraction reads the sign of a fraction, where it is defined, off its
// terms.
func (s *Setting) signOfFraction(f formula.Fraction) sign {
	return s.signOf(f.Num).times(s.signOf(f.Den) &^ zero)
}
