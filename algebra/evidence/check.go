package evidence

import (
	"errors"
	"fmt"

	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// CheckPoint re-checks that a point satisfies every condition of c, by exact
// evaluation. Cost: linear in the terms of the conditions.
func CheckPoint(c *Conjunction, p Point) error {
	if len(p) != c.Ring.Len() {
		return fmt.Errorf("the point has %d values for %d variables", len(p), c.Ring.Len())
	}
	for i, v := range p {
		if c.IsWhole(i) && !v.IsInteger() {
			return fmt.Errorf("%s = %s is not an integer", c.Ring.Names()[i], v)
		}
	}
	for i, cond := range c.Conds {
		if !cond.Rel.Holds(c.Ring.EvalAll(cond.P, p).Sign()) {
			return fmt.Errorf("condition %d is false at the point", i)
		}
	}
	return afterAll(c)
}

// maxDepth bounds the nesting of Cases.
const maxDepth = 64

// CheckRefutation re-checks that no real point satisfies c. It trusts nothing
// about where r comes from. Cost: the expansion of each identity and one
// Sturm chain per polynomial in one variable.
func CheckRefutation(c *Conjunction, r Refutation) error {
	if err := checkRefutation(c, r, 0); err != nil {
		return err
	}
	return afterAll(c)
}

// afterAll refuses every conclusion drawn with an exhausted meter, whose
// arithmetic means nothing.
func afterAll(c *Conjunction) error { return c.Ring.Meter().Err() }

func checkRefutation(c *Conjunction, r Refutation, depth int) error {
	if depth > maxDepth {
		return errors.New("the cases are nested too deep")
	}
	if err := afterAll(c); err != nil {
		return err
	}
	switch r := r.(type) {
	case *Combination:
		return checkCombination(c, r)
	case *Cases:
		for _, part := range []struct {
			rel poly.Rel
			r   Refutation
		}{{poly.Lt, r.Neg}, {poly.Eq, r.Zero}, {poly.Gt, r.Pos}} {
			if err := checkRefutation(c.With(poly.Condition{P: r.P, Rel: part.rel}), part.r, depth+1); err != nil {
				return fmt.Errorf("case %s 0: %w", part.rel, err)
			}
		}
		return nil
	case *Substitution:
		next, err := substituted(c, r)
		if err != nil {
			return err
		}
		return checkRefutation(next, r.Then, depth+1)
	case *OneVariable:
		return checkOneVariable(c, r)
	default:
		return errors.New("there is no refutation")
	}
}

func checkCombination(c *Conjunction, r *Combination) error {
	ring, sum, positive := c.Ring, poly.Poly{}, false
	for i, t := range r.Terms {
		value, strict, err := expandTerm(c, t)
		if err != nil {
			return fmt.Errorf("term %d: %w", i, err)
		}
		sum, positive = ring.Add(sum, value), positive || strict
	}
	for i, m := range r.Multiples {
		if m.Cond < 0 || m.Cond >= len(c.Conds) || c.Conds[m.Cond].Rel != poly.Eq {
			return fmt.Errorf("multiple %d is not of an equation", i)
		}
		sum = ring.Add(sum, ring.Mul(m.By, c.Conds[m.Cond].P))
	}
	if !sum.IsZero() {
		return errors.New("the identity does not hold")
	}
	if !positive {
		return errors.New("no term is positive")
	}
	return nil
}

// substituted is c with r.Var replaced by r.Value, once the equation is seen
// to say so.
func substituted(c *Conjunction, r *Substitution) (*Conjunction, error) {
	ring := c.Ring
	if r.Cond < 0 || r.Cond >= len(c.Conds) || c.Conds[r.Cond].Rel != poly.Eq || r.Var < 0 || r.Var >= ring.Len() {
		return nil, errors.New("it names no equation")
	}
	parts := ring.Coeffs(c.Conds[r.Cond].P, r.Var)
	if len(parts) != 2 {
		return nil, errors.New("the equation is not linear in the variable")
	}
	factor, constant := parts[1].IsConst()
	if !constant || !ring.Add(parts[0], ring.Scale(r.Value, factor)).IsZero() || ring.DegreeIn(r.Value, r.Var) > 0 {
		return nil, errors.New("the equation does not give the value")
	}
	next := &Conjunction{Ring: ring, Conds: make([]poly.Condition, len(c.Conds)), Whole: c.Whole}
	for i, cond := range c.Conds {
		next.Conds[i] = poly.Condition{P: ring.Subst(cond.P, r.Var, r.Value), Rel: cond.Rel}
	}
	return next, nil
}

// expandTerm multiplies a term out and reports whether it is positive, not
// only non-negative, under the conditions.
func expandTerm(c *Conjunction, t Term) (value poly.Poly, positive bool, err error) {
	ring := c.Ring
	if t.Coef.Sign() <= 0 {
		return value, false, errors.New("its coefficient is not positive")
	}
	root, constant := t.Root.IsConst()
	positive = constant && !root.IsZero()
	value = ring.Scale(ring.Mul(t.Root, t.Root), t.Coef)
	for _, k := range t.Factors {
		if k < 0 || k >= len(c.Conds) {
			return value, false, errors.New("it names a condition that is not there")
		}
		p := c.Conds[k].P
		switch c.Conds[k].Rel {
		case poly.Gt:
		case poly.Lt:
			p = ring.Neg(p)
		case poly.Ge:
			positive = false
		case poly.Le:
			p, positive = ring.Neg(p), false
		default:
			return value, false, errors.New("it uses an equation as a sign")
		}
		value = ring.Mul(value, p)
	}
	for _, k := range t.NonZero {
		if k < 0 || k >= len(c.Conds) || c.Conds[k].Rel != poly.Ne {
			return value, false, errors.New("it squares a condition that does not read ≠ 0")
		}
		value = ring.Mul(value, ring.Mul(c.Conds[k].P, c.Conds[k].P))
	}
	return value, positive, nil
}

// CheckRootPoint re-checks a conjunction in one variable at an isolated root.
func CheckRootPoint(c *Conjunction, p RootPoint) error {
	if c.IsWhole(p.Var) {
		return errors.New("the root is not known to be an integer")
	}
	of, err := inOneVariable(c.Ring, p.Of, p.Var)
	if err != nil {
		return err
	}
	if p.Lo.Cmp(p.Hi) >= 0 || of.at(p.Lo).IsZero() || of.at(p.Hi).IsZero() || chainOf(of).between(p.Lo, p.Hi) != 1 {
		return errors.New("the interval does not hold exactly one root")
	}
	for i, cond := range c.Conds {
		f, err := inOneVariable(c.Ring, cond.P, p.Var)
		if err != nil {
			return err
		}
		sign, err := signAtRoot(f, of, p.Lo, p.Hi)
		if err != nil {
			return err
		}
		if !cond.Rel.Holds(sign) {
			return fmt.Errorf("condition %d is false at the root", i)
		}
	}
	return afterAll(c)
}

// signAtRoot is the sign of f at the one root of g in (lo, hi): zero when f
// and g have a common root there, otherwise the sign of f once the interval
// has been halved until f has no root in it.
func signAtRoot(f, g dense, lo, hi number.Num) (int, error) {
	if len(f) == 0 {
		return 0, nil
	}
	if common := gcd(f, g); len(common) > 1 && chainOf(common).between(lo, hi) > 0 {
		return 0, nil
	}
	chainF, chainG := chainOf(f), chainOf(g)
	half := number.Frac(1, 2)
	for range 4096 {
		if !f.at(lo).IsZero() && !f.at(hi).IsZero() && chainF.between(lo, hi) == 0 {
			return f.at(lo).Sign(), nil
		}
		mid := lo.Add(hi).Mul(half)
		switch {
		case g.at(mid).IsZero():
			return f.at(mid).Sign(), nil
		case chainG.between(lo, mid) == 1:
			hi = mid
		default:
			lo = mid
		}
	}
	return 0, errors.New("the root was not separated")
}
