package formula

import (
	"errors"

	"squaremark/algebra/budget"
	"squaremark/algebra/syntax"
)

// Setting fixes the numbers that make every sum of a text finite: values for
// names such as n, and the length of the cycle round which indexed families
// run (0 for none).
type Setting struct {
	Values map[string]int64
	Cycle  string // the name of the cycle's length, "n", where a cycle is declared
}

// ErrSymbolic tells that a sum has a bound without a value: it stands for
// every number of terms.
var ErrSymbolic = errors.New("a sum for every number of terms")

// HasSum reports that a text holds a sum, a sum with dots, or an index that is
// not a number: something for Expand to do.
func HasSum(n *syntax.Node) bool {
	switch {
	case n.Kind == syntax.BigSum, n.Kind == syntax.Ellipsis && len(n.Kids) > 0:
		return true
	case n.Kind == syntax.Name && len(n.Kids) == 1 && n.Kids[0].Kind != syntax.Number:
		return true
	}
	for _, k := range n.Kids {
		if HasSum(k) {
			return true
		}
	}
	return false
}

// Expand writes every sum of a text out, term by term, and every index as a
// number. Errors: ErrSymbolic, mistakes of the writer, and what is not
// covered. Cost: the terms written, at most 200 for one sum and the meter's
// limit on nodes in all.
func Expand(n *syntax.Node, set Setting, m *budget.Meter) (*syntax.Node, error) {
	e := expansion{set: set, meter: m, nodes: m.Limits.Nodes}
	return e.expand(n, set.Values)
}

type expansion struct {
	set   Setting
	meter *budget.Meter
	nodes int
}

func (e *expansion) expand(n *syntax.Node, env map[string]int64) (*syntax.Node, error) {
	if e.nodes--; e.nodes < 0 || !e.meter.Spend(budget.CostToken) {
		return nil, tooLarge(n)
	}
	switch {
	case n.Kind == syntax.Name && len(n.Kids) == 0:
		if v, ok := env[n.Text]; ok {
			k := *numeral(v)
			k.At = n.At
			return &k, nil
		}
		return n, nil
	case n.Kind == syntax.Name:
		return e.indexed(n, env)
	case n.Kind == syntax.BigSum:
		return e.sum(n, env)
	case n.Kind == syntax.Ellipsis && len(n.Kids) > 0:
		closed, ok := CloseDots(n, e.set.Cycle)
		if !ok {
			return nil, mistake("dots", n, "write more terms, or the sum with its index", "expected terms that follow one rule, found %s", syntax.Plain(n))
		}
		return e.sum(closed, env)
	case len(n.Kids) == 0:
		return n, nil
	}
	out := *n
	out.Kids = make([]*syntax.Node, len(n.Kids))
	for i, k := range n.Kids {
		x, err := e.expand(k, env)
		if err != nil {
			return nil, err
		}
		out.Kids[i] = x
	}
	return &out, nil
}

// value is the whole number that an index or a bound stands for.
func (e *expansion) value(n *syntax.Node, env map[string]int64) (int64, error) {
	x, err := e.expand(n, env)
	if err != nil {
		return 0, err
	}
	k, ok := evaluate(x)
	if !ok {
		return 0, ErrSymbolic
	}
	return k, nil
}

func (e *expansion) indexed(n *syntax.Node, env map[string]int64) (*syntax.Node, error) {
	k, err := e.value(n.Kids[0], env)
	if err != nil {
		return nil, err
	}
	if length, ok := e.set.Values[e.set.Cycle]; ok && length > 0 {
		k = (k-1)%length + 1
		if k < 1 {
			k += length
		}
	}
	out := *n
	out.Kids = []*syntax.Node{numeral(k)}
	return &out, nil
}

func (e *expansion) sum(n *syntax.Node, env map[string]int64) (*syntax.Node, error) {
	from, err := e.value(n.Kids[0], env)
	if err != nil {
		return nil, err
	}
	to, err := e.value(n.Kids[1], env)
	if err != nil {
		return nil, err
	}
	if to-from >= maxTermsOfSum {
		return nil, tooLarge(n)
	}
	var total *syntax.Node
	inner := make(map[string]int64, len(env)+1)
	for k, v := range env {
		inner[k] = v
	}
	for i := from; i <= to; i++ {
		inner[n.Text] = i
		term, err := e.expand(n.Kids[2], inner)
		if err != nil {
			return nil, err
		}
		if total == nil {
			total = term
		} else {
			total = &syntax.Node{Kind: syntax.Add, At: n.At, Kids: []*syntax.Node{total, term}}
		}
	}
	if total == nil {
		total = numeral(0)
	}
	return total, nil
}
