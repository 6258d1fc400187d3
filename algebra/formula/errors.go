package formula

import (
	"fmt"

	"squaremark/algebra/source"
	"squaremark/algebra/syntax"
)

// OutsideError tells that a text was understood but lies outside what the
// engine decides: the answer is "unsettled", not a mistake of the writer.
type OutsideError struct {
	At     source.Span
	Reason string
}

// Error gives the reason as one phrase.
func (e *OutsideError) Error() string { return e.Reason }

func outside(n *syntax.Node, format string, args ...any) error {
	return &OutsideError{At: n.At, Reason: fmt.Sprintf(format, args...)}
}

func mistake(code string, n *syntax.Node, hint, format string, args ...any) error {
	return &source.Diag{
		Code: code, At: n.At, Text: source.Shorten(syntax.Plain(n), 40),
		Message: fmt.Sprintf(format, args...), Hint: hint,
	}
}

func unknownVariable(n *syntax.Node, name string) error {
	return mistake("unknown-variable", n, "use only the variables of the question",
		"%q is not a variable of this question", source.Shorten(name, 20))
}

func zeroDenominator(n *syntax.Node) error {
	return mistake("division-by-zero", n, "", "expected a denominator other than zero, found %s", source.Shorten(syntax.Plain(n), 40))
}

func rootOfNegative(n *syntax.Node) error {
	return mistake("root-of-negative", n, "", "expected a number that is not negative under the root, found %s", source.Shorten(syntax.Plain(n), 40))
}

func tooLarge(n *syntax.Node) error {
	return mistake("too-large", n, "", "%s is too large to be worked out", source.Shorten(syntax.Plain(n), 40))
}

func badExponent(n *syntax.Node) error {
	return mistake("exponent", n, "", "expected a whole number or a fraction as exponent, found %s", source.Shorten(syntax.Plain(n), 40))
}

func expectedExpression(n *syntax.Node) error {
	return mistake("expected-expression", n, "", "expected one expression, found %s", source.Shorten(syntax.Plain(n), 40))
}

func expectedFormula(n *syntax.Node) error {
	return mistake("expected-formula", n, "write a relation such as =, <= or >=",
		"expected an equation or an inequality, found %s", source.Shorten(syntax.Plain(n), 40))
}

func nonsenseOrder(n *syntax.Node) error {
	return mistake("expected-number", n, "", "expected one number here, found %s", source.Shorten(syntax.Plain(n), 40))
}
