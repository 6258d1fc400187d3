package formula

import (
	"math/big"

	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// Term is an expression as a fraction of polynomials in the scope's ring,
// with the conditions under which the expression is defined.
type Term struct {
	Fraction
	Domain []poly.Condition
}

// Expression lowers an expression. Errors are a *source.Diag for a mistake of
// the writer and an *OutsideError for what is not covered.
// Cost: that of the polynomial operations written, on the scope's meter.
func (s *Scope) Expression(n *syntax.Node) (Term, error) {
	l := lowering{Scope: s, sign: 1}
	f, err := l.term(n)
	if err == nil {
		err = s.spent(n)
	}
	return Term{f, l.domain}, err
}

// spent is the error of a text whose lowering used the meter up: what was
// made of it since means nothing, and must not be taken for a zero.
func (s *Scope) spent(n *syntax.Node) error {
	if err := s.meter.Err(); err != nil {
		return outside(n, "%s", err)
	}
	return nil
}

// lowering carries the state of one relation: the domain conditions met so
// far, and which sign ± stands for.
type lowering struct {
	*Scope
	domain []poly.Condition
	sign   int64
}

func (s *Scope) constant(c number.Num) Fraction {
	return Fraction{s.Ring.Const(c), s.one}
}

// value is the number that a fraction is, if it is constant.
func (f Fraction) value() (number.Num, bool) {
	a, ok := f.Num.IsConst()
	b, okB := f.Den.IsConst()
	if !ok || !okB {
		return number.Num{}, false
	}
	return a.Div(b)
}

// Value is the exact number a constant term stands for.
func (t Term) Value() (number.Num, bool) { return t.Fraction.value() }

// IsPolynomial reports a constant denominator, and gives the polynomial.
func (s *Scope) IsPolynomial(f Fraction) (poly.Poly, bool) {
	d, ok := f.Den.IsConst()
	if !ok {
		return poly.Poly{}, false
	}
	inv, ok := d.Inv()
	return s.Ring.Scale(f.Num, inv), ok
}

func (l *lowering) require(c poly.Condition) {
	if v, ok := c.P.IsConst(); ok && c.Rel.Holds(v.Sign()) {
		return
	}
	for _, d := range l.domain {
		if d.Rel == c.Rel && l.Ring.Equal(d.P, c.P) {
			return
		}
	}
	l.domain = append(l.domain, c)
}

func (l *lowering) term(n *syntax.Node) (Fraction, error) {
	switch n.Kind {
	case syntax.Number:
		v, ok := number.Parse(n.Text)
		if !ok {
			return Fraction{}, expectedExpression(n)
		}
		return l.constant(v), nil
	case syntax.Name:
		return l.name(n)
	case syntax.Neg, syntax.Plus, syntax.PlusMinus, syntax.Add, syntax.Sub, syntax.Mul:
		return l.ringOperation(n)
	case syntax.Div:
		return l.quotient(n)
	case syntax.Pow:
		return l.power(n)
	case syntax.Root:
		return l.root(n)
	case syntax.Abs:
		f, err := l.term(n.Kids[0])
		if err != nil {
			return f, err
		}
		return l.modulus(n, f)
	case syntax.BigSum, syntax.Ellipsis:
		return Fraction{}, outside(n, "a sum for every number of terms is not decided here")
	case syntax.Infinity:
		return Fraction{}, mistake("infinity", n, "", "expected a number, found ∞, which is not a number")
	}
	return Fraction{}, expectedExpression(n)
}

func (l *lowering) name(n *syntax.Node) (Fraction, error) {
	name := nameOf(n)
	i, ok := l.Ring.Index(name)
	if !ok {
		return Fraction{}, unknownVariable(n, name)
	}
	return Fraction{l.terms[i], l.one}, nil
}

func (l *lowering) ringOperation(n *syntax.Node) (Fraction, error) {
	a, err := l.term(n.Kids[0])
	if err != nil || n.Kind == syntax.Plus {
		return a, err
	}
	if n.Kind == syntax.Neg {
		return Fraction{l.Ring.Neg(a.Num), a.Den}, nil
	}
	b := a
	if len(n.Kids) == 2 {
		if b, err = l.term(n.Kids[1]); err != nil {
			return b, err
		}
	}
	switch {
	case n.Kind == syntax.Mul:
		return l.mul(a, b), nil
	case n.Kind == syntax.Add, n.Kind == syntax.PlusMinus && l.sign > 0 && len(n.Kids) == 2:
		return l.add(a, b), nil
	case n.Kind == syntax.PlusMinus && len(n.Kids) == 1:
		if l.sign > 0 {
			return a, nil
		}
		return Fraction{l.Ring.Neg(a.Num), a.Den}, nil
	default:
		return l.add(a, Fraction{l.Ring.Neg(b.Num), b.Den}), nil
	}
}

func (s *Scope) mul(a, b Fraction) Fraction {
	return Fraction{s.Ring.Mul(a.Num, b.Num), s.mulDen(a.Den, b.Den)}
}

func (s *Scope) mulDen(a, b poly.Poly) poly.Poly {
	switch {
	case isOne(a):
		return b
	case isOne(b):
		return a
	}
	return s.Ring.Mul(a, b)
}

func isOne(p poly.Poly) bool {
	v, ok := p.IsConst()
	return ok && v.IsOne()
}

// add brings two fractions to a common denominator: the one they share, the
// one that the other divides, or their product.
func (s *Scope) add(a, b Fraction) Fraction {
	r := s.Ring
	if isOne(a.Den) && isOne(b.Den) {
		return Fraction{r.Add(a.Num, b.Num), s.one}
	}
	if r.Equal(a.Den, b.Den) {
		return Fraction{r.Add(a.Num, b.Num), a.Den}
	}
	if q, ok := r.DivExact(a.Den, b.Den); ok {
		return Fraction{r.Add(a.Num, r.Mul(b.Num, q)), a.Den}
	}
	if q, ok := r.DivExact(b.Den, a.Den); ok {
		return Fraction{r.Add(r.Mul(a.Num, q), b.Num), b.Den}
	}
	return Fraction{r.Add(r.Mul(a.Num, b.Den), r.Mul(b.Num, a.Den)), r.Mul(a.Den, b.Den)}
}

// invert requires f ≠ 0 and gives 1/f.
func (l *lowering) invert(n *syntax.Node, f Fraction) (Fraction, error) {
	if err := l.spent(n); err != nil {
		return f, err
	}
	if f.Num.IsZero() {
		return f, zeroDenominator(n)
	}
	l.require(poly.Condition{P: f.Num, Rel: poly.Ne})
	return Fraction{f.Den, f.Num}, nil
}

func (l *lowering) quotient(n *syntax.Node) (Fraction, error) {
	a, err := l.term(n.Kids[0])
	if err != nil {
		return a, err
	}
	b, err := l.term(n.Kids[1])
	if err != nil {
		return b, err
	}
	if v, ok := b.value(); ok {
		inv, ok := v.Inv()
		if !ok {
			if err := l.spent(n); err != nil {
				return b, err
			}
			return b, zeroDenominator(n.Kids[1])
		}
		return Fraction{l.Ring.Scale(a.Num, inv), a.Den}, nil
	}
	b, err = l.invert(n.Kids[1], b)
	if err != nil {
		return b, err
	}
	return l.mul(a, b), nil
}

// power lowers base^exponent for a constant rational exponent: a whole power,
// its reciprocal, or a root of it.
func (l *lowering) power(n *syntax.Node) (Fraction, error) {
	base, err := l.term(n.Kids[0])
	if err != nil {
		return base, err
	}
	if k, ok := smallExponent(n.Kids[1]); ok {
		return l.wholePower(n, base, k)
	}
	e, err := l.term(n.Kids[1])
	if err != nil {
		return e, err
	}
	v, ok := e.value()
	if !ok {
		return e, outside(n, "a power with a variable in the exponent is not decided here")
	}
	q, ok := v.Rat()
	if !ok {
		return e, badExponent(n.Kids[1])
	}
	if !q.Num().IsInt64() || !q.Denom().IsInt64() {
		return e, tooLarge(n)
	}
	k, root := q.Num().Int64(), q.Denom().Int64()
	if root != 1 {
		if root > 16 {
			return e, outside(n, "a root of order %d is not decided here", root)
		}
		if base, err = l.rootOf(n, base, int(root)); err != nil {
			return base, err
		}
	}
	if k < 0 {
		if base, err = l.invert(n.Kids[0], base); err != nil {
			return base, err
		}
		k = -k
	}
	return l.wholePower(n, base, k)
}

// smallExponent is an exponent that is written as one or two digits.
func smallExponent(n *syntax.Node) (int64, bool) {
	if n.Kind != syntax.Number || len(n.Text) > 2 {
		return 0, false
	}
	k := int64(0)
	for _, c := range []byte(n.Text) {
		if c < '0' || c > '9' {
			return 0, false
		}
		k = 10*k + int64(c-'0')
	}
	return k, true
}

func (l *lowering) wholePower(n *syntax.Node, base Fraction, k int64) (Fraction, error) {
	if v, ok := base.value(); ok {
		if !v.IsOne() && !v.IsZero() && !v.Neg().IsOne() && (k > int64(l.meter.Limits.Bits) || int64(v.Bits())*k > int64(l.meter.Limits.Bits)) {
			return base, tooLarge(n)
		}
		if v.IsOne() || v.IsZero() && k > 0 {
			return base, nil
		}
		if k > 1<<20 {
			k = 2 + k%2
		}
		return l.constant(v.Pow(int(k))), nil
	}
	degree := int64(max(base.Num.Degree(), base.Den.Degree()))
	if k > int64(l.meter.Limits.Degree) || degree*k > int64(l.meter.Limits.Degree) {
		return base, tooLarge(n)
	}
	den := base.Den
	if !isOne(den) {
		den = l.Ring.Pow(den, int(k))
	}
	return Fraction{l.Ring.Pow(base.Num, int(k)), den}, nil
}

func (l *lowering) root(n *syntax.Node) (Fraction, error) {
	f, err := l.term(n.Kids[0])
	if err != nil {
		return f, err
	}
	order, err := l.integer(n.Kids[1])
	if err != nil {
		return f, err
	}
	if !order.IsInt64() || order.Int64() < 1 || order.Int64() > 16 {
		return f, outside(n, "only roots of order 1 to 16 are decided here")
	}
	return l.rootOf(n, f, int(order.Int64()))
}

// rootOf is the k-th root of f: a number where f is one whose root lies in a
// field of square roots, a modulus where f is a visible square, a symbol
// otherwise.
func (l *lowering) rootOf(n *syntax.Node, f Fraction, k int) (Fraction, error) {
	if k == 1 {
		return f, nil
	}
	if v, ok := f.value(); ok {
		if v.Sign() < 0 && k%2 == 0 {
			return f, rootOfNegative(n)
		}
		if w, ok := RootOfNumber(v, k); ok {
			return l.constant(w), nil
		}
	}
	if k%2 == 0 {
		// f = Num/Den is not negative exactly where Num·Den is not.
		l.require(poly.Condition{P: l.Ring.Mul(f.Num, f.Den), Rel: poly.Ge})
	}
	return l.symbol(n, f, k, nil)
}

// RootOfNumber is the k-th root of v in a field of square roots: halvings
// of an even order, or the root of a perfect power.
func RootOfNumber(v number.Num, k int) (number.Num, bool) {
	if v.IsZero() || v.IsOne() {
		return v, true
	}
	if k%2 == 0 {
		w, ok := v.Sqrt()
		if !ok || k == 2 {
			return w, ok
		}
		return RootOfNumber(w, k/2)
	}
	q, ok := v.Rat()
	if !ok {
		return v, false
	}
	a, okA := wholeRoot(q.Num(), k)
	b, okB := wholeRoot(q.Denom(), k)
	if !okA || !okB {
		return v, false
	}
	return number.FromRat(new(big.Rat).SetFrac(a, b)), true
}

// wholeRoot is the exact k-th root of an integer for odd k, by bisection.
func wholeRoot(v *big.Int, k int) (*big.Int, bool) {
	if v.Sign() < 0 {
		w, ok := wholeRoot(new(big.Int).Neg(v), k)
		return new(big.Int).Neg(w), ok
	}
	exp := big.NewInt(int64(k))
	lo, hi := big.NewInt(0), new(big.Int).Lsh(big.NewInt(1), uint(v.BitLen()/k+1))
	for lo.Cmp(hi) < 0 {
		mid := new(big.Int).Add(lo, hi)
		mid.Rsh(mid, 1)
		switch new(big.Int).Exp(mid, exp, nil).Cmp(v) {
		case 0:
			return mid, true
		case -1:
			lo = mid.Add(mid, big.NewInt(1))
		default:
			hi = mid
		}
	}
	return lo, new(big.Int).Exp(lo, exp, nil).Cmp(v) == 0
}

func (l *lowering) modulus(n *syntax.Node, f Fraction) (Fraction, error) {
	if v, ok := f.value(); ok {
		return l.constant(v.Abs()), nil
	}
	return l.symbol(n, l.mul(f, f), 2, &f)
}

func (l *lowering) symbol(n *syntax.Node, of Fraction, k int, abs *Fraction) (Fraction, error) {
	y, ok := l.symbolFor(of, k, abs)
	if !ok {
		return of, outside(n, "there are too many roots in this question")
	}
	for i := range l.Symbols {
		if l.Symbols[i].Var == y.Var && l.Symbols[i].text == "" {
			l.Symbols[i].text = syntax.Plain(n)
		}
	}
	return Fraction{l.terms[y.Var], l.one}, nil
}

// integer is the whole number that an index or an order stands for.
func (l *lowering) integer(n *syntax.Node) (*big.Int, error) {
	f, err := l.term(n)
	if err != nil {
		return nil, err
	}
	v, ok := f.value()
	if !ok {
		return nil, outside(n, "an index or order that depends on a variable is not decided here")
	}
	if !v.IsInteger() {
		return nil, nonsenseOrder(n)
	}
	return v.Floor(), nil
}

// maxTermsOfSum bounds a sum that is written out term by term.
const maxTermsOfSum = 200
