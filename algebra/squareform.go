package algebra

import (
	"strings"

	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/source"
	"squaremark/algebra/syntax"
)

// SquareForm asks whether an answer equals an expression and is written as
// multiples of squares, all of one sign, plus a constant. A bracket of such
// things with a factor counts, any valid decomposition counts, and an answer
// may be written as a chain of equal expressions that ends in the form.
// Cost: that of one identity; bounded by the question's limits.
func (q *Question) SquareForm(expression, answer string) SquareFormOutcome {
	expression, answer = decimalCommas(expression, q.limits), decimalCommas(continued(answer), q.limits)
	s, texts, bad := q.open("expression", expression, "answer", answer)
	if bad != nil {
		return SquareFormOutcome{Outcome: *bad}
	}
	want, err := s.Expression(texts[0].root)
	if err != nil {
		return SquareFormOutcome{Outcome: *failed("expression", err)}
	}
	forms := []*syntax.Node{texts[1].root}
	if n := texts[1].root; n.Kind == syntax.Relation {
		for i, rel := range n.Rels {
			if rel != syntax.Eq {
				return SquareFormOutcome{Outcome: Outcome{Reason: "an expression was expected", Unreadable: &Unreadable{
					Field: "answer",
					Diag: &source.Diag{
						Code: "expected-expression", At: n.Kids[i].At.To(n.Kids[i+1].At), Text: source.Shorten(syntax.Plain(n), 40),
						Message: "expected an expression, found an inequality",
					},
				}}}
			}
		}
		forms = n.Kids
	}
	out := SquareFormOutcome{}
	for _, n := range forms {
		got, err := s.Expression(n)
		if err != nil {
			return SquareFormOutcome{Outcome: *failed("answer", err)}
		}
		out.Outcome = s.equal(want, got)
		if out.Verdict != Holds {
			break
		}
	}
	last := forms[len(forms)-1]
	form, ok := shapeOf(s.Scope, last)
	switch {
	case !ok.fits:
		out.Shape = ok.why
	default:
		out.IsSquareForm = true
		out.Remaining = form.constant.String()
	}
	return out
}

// continued takes the sign off an answer that continues the expression, as in
// "= (x - 1)^2 + 2"; places stay as they are.
func continued(answer string) string {
	rest := strings.TrimLeft(answer, " \t")
	if !strings.HasPrefix(rest, "=") || strings.HasPrefix(rest, "=>") || strings.HasPrefix(rest, "==") {
		return answer
	}
	return answer[:len(answer)-len(rest)] + " " + rest[1:]
}

// shape is what a sum of squares is made of: the signs of the multiples met,
// and the constants added up.
type shape struct {
	positive, negative bool
	constant           number.Num
}

// fitting says whether a tree has the shape, and where it does not.
type fitting struct {
	fits bool
	why  string
}

var fits = fitting{fits: true}

func misfit(n *syntax.Node) fitting {
	return fitting{why: source.Shorten(syntax.Plain(n), 60) + " is not a multiple of a square"}
}

// shapeOf reads a tree as multiples of squares, all of one sign, plus a
// constant.
func shapeOf(s *formula.Scope, n *syntax.Node) (shape, fitting) {
	var sh shape
	if f := sh.add(s, n, number.Int(1)); !f.fits {
		return sh, f
	}
	if sh.positive && sh.negative {
		return sh, fitting{why: "the squares are not all of one sign"}
	}
	return sh, fits
}

// add takes factor·n into the shape.
func (sh *shape) add(s *formula.Scope, n *syntax.Node, factor number.Num) fitting {
	if v, ok := constantOf(s, n); ok {
		sh.constant = sh.constant.Add(factor.Mul(v))
		return fits
	}
	switch n.Kind {
	case syntax.Add, syntax.Sub:
		if f := sh.add(s, n.Kids[0], factor); !f.fits {
			return f
		}
		if n.Kind == syntax.Sub {
			factor = factor.Neg()
		}
		return sh.add(s, n.Kids[1], factor)
	case syntax.Neg:
		return sh.add(s, n.Kids[0], factor.Neg())
	case syntax.Plus:
		return sh.add(s, n.Kids[0], factor)
	case syntax.BigSum:
		var inner shape
		if f := inner.add(s, n.Kids[2], factor); !f.fits || !inner.constant.IsZero() {
			return misfit(n)
		}
		sh.positive, sh.negative = sh.positive || inner.positive, sh.negative || inner.negative
		return fits
	case syntax.Mul, syntax.Div:
		return sh.product(s, n, factor)
	}
	if isSquare(s, n) {
		return sh.square(factor)
	}
	return misfit(n)
}

func (sh *shape) square(factor number.Num) fitting {
	sh.positive = sh.positive || factor.Sign() > 0
	sh.negative = sh.negative || factor.Sign() < 0
	return fits
}

// product takes a product apart into its constant factors and the rest. The
// rest may be one bracket of squares, or squares only.
func (sh *shape) product(s *formula.Scope, n *syntax.Node, factor number.Num) fitting {
	var over, under []*syntax.Node
	split(n, &over, &under)
	var rest []*syntax.Node // the factors with a variable, those over the bar first
	above := 0
	for i, k := range append(append([]*syntax.Node(nil), over...), under...) {
		v, ok := constantOf(s, k)
		if !ok {
			if i >= len(over) && !isSquare(s, k) {
				return misfit(n)
			}
			if k.Kind == syntax.Neg {
				factor, k = factor.Neg(), k.Kids[0]
			}
			if rest = append(rest, k); i < len(over) {
				above++
			}
			continue
		}
		if i >= len(over) {
			if v, ok = v.Inv(); !ok {
				return misfit(n)
			}
		}
		factor = factor.Mul(v)
	}
	switch {
	case factor.IsZero():
		return fits
	case len(rest) == 1 && above == 1:
		return sh.add(s, rest[0], factor)
	case above == 2 && syntax.Equal(rest[0], rest[1]): // (x - 1)(x - 1)
		return sh.square(factor)
	}
	for _, k := range rest {
		if !isSquare(s, k) {
			return misfit(n)
		}
	}
	return sh.square(factor)
}

// split lists the factors of a product over and under the fraction bar.
func split(n *syntax.Node, over, under *[]*syntax.Node) {
	switch n.Kind {
	case syntax.Mul:
		split(n.Kids[0], over, under)
		split(n.Kids[1], over, under)
	case syntax.Div:
		split(n.Kids[0], over, under)
		split(n.Kids[1], under, over)
	default:
		*over = append(*over, n)
	}
}

// isSquare reports a visible square: an even power, or a product, quotient or
// bracket of visible squares.
func isSquare(s *formula.Scope, n *syntax.Node) bool {
	switch n.Kind {
	case syntax.Pow:
		v, ok := constantOf(s, n.Kids[1])
		if !ok {
			return false
		}
		half, _ := v.Div(number.Int(2))
		return half.IsInteger() && half.Sign() > 0 || isSquare(s, n.Kids[0]) && v.IsInteger()
	case syntax.Mul, syntax.Div:
		return isSquare(s, n.Kids[0]) && isSquare(s, n.Kids[1])
	case syntax.Plus:
		return isSquare(s, n.Kids[0])
	}
	return false
}

// constantOf is the number that an expression without variables stands for.
func constantOf(s *formula.Scope, n *syntax.Node) (number.Num, bool) {
	if hasName(n) {
		return number.Num{}, false
	}
	t, err := s.Expression(n)
	if err != nil {
		return number.Num{}, false
	}
	return t.Value()
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
