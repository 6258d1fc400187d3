package slip

import (
	"math/big"

	"squaremark/algebra"
	"squaremark/algebra/budget"
	"squaremark/algebra/formula"
	"squaremark/algebra/syntax"
)

// integers solves changed conditions and compares the solution sets with an
// answer.
type integers struct {
	finder   *Finder
	solve    []*syntax.Node
	unknowns []string
	answer   string
	empty    bool // the answer says that there is none
	left     *int // candidates that may still be solved
	scope    *formula.Scope
	given    []*formula.Formula
	samples  []sample // numbers that tell most candidates from the answer
}

// maxCandidates bounds the solution sets that are looked for behind one
// wrong answer, and maxPaired those tried for two slips together.
const (
	maxCandidates = 24
	maxPaired     = 120
)

// search finds the slip whose solution set the answer is, or two.
func (w integers) search() []*Slip {
	for _, s := range Catalogue() {
		if s.sets != nil && s.ArisesFor(Integers) && s.sets(w, w.is) {
			return []*Slip{s}
		}
	}
	tried := 0
	for i, first := range Catalogue() {
		if first.sets == nil || !first.ArisesFor(Integers) {
			continue
		}
		var other *Slip
		first.sets(w, func(solve []*syntax.Node, order []string) bool {
			for _, second := range Catalogue()[i+1:] {
				if second.sets == nil || !second.ArisesFor(Integers) {
					continue
				}
				inner := w
				inner.solve, inner.unknowns = solve, order
				if second.sets(inner, func(solve []*syntax.Node, order []string) bool {
					tried++
					return tried < maxPaired && w.is(solve, order)
				}) {
					other = second
					return true
				}
			}
			return tried >= maxPaired
		})
		if other != nil {
			return []*Slip{first, other}
		}
	}
	return nil
}

// is reports that the answer is the solution set of these conditions.
func (w integers) is(solve []*syntax.Node, order []string) bool {
	if *w.left == 0 || !w.mayBe(solve, order) {
		return false
	}
	*w.left--
	texts := make([]string, len(solve))
	for i, n := range solve {
		texts[i] = syntax.Plain(n)
	}
	out := w.finder.probe.Integers(texts, order, &w.answer)
	return out.Unreadable == nil && out.Verdict == algebra.Holds
}

// with is the conditions and some more.
func (w integers) with(more ...*syntax.Node) []*syntax.Node {
	return append(append([]*syntax.Node(nil), w.solve...), more...)
}

// replaced is the conditions with condition i changed.
func (w integers) replaced(i int, n *syntax.Node) []*syntax.Node {
	list := append([]*syntax.Node(nil), w.solve...)
	list[i] = n
	return list
}

func relation(left *syntax.Node, rel syntax.Rel, right *syntax.Node) *syntax.Node {
	return &syntax.Node{Kind: syntax.Relation, Kids: []*syntax.Node{left, right}, Rels: []syntax.Rel{rel}}
}

func name(text string) *syntax.Node { return &syntax.Node{Kind: syntax.Name, Text: text} }

func literal(v int64) *syntax.Node { return whole(big.NewInt(v)) }

// shifts tells for each unknown by how much a bracket with it is shifted: k
// for x + k under a square or between bars, the same in all of them.
func (w integers) shifts() map[string]*syntax.Node {
	out := map[string]*syntax.Node{}
	texts := map[string]string{}
	for _, n := range w.solve {
		for _, base := range bases(n) {
			x, k, ok := w.shift(base)
			if !ok {
				continue
			}
			text := syntax.Plain(k)
			if old, seen := texts[x]; seen && old != text {
				delete(out, x)
				continue
			}
			texts[x], out[x] = text, k
		}
	}
	return out
}

// shift reads x + k with a whole number k other than 0.
func (w integers) shift(base *syntax.Node) (x string, k *syntax.Node, ok bool) {
	scope, err := formula.NewScope(w.finder.vars, budget.New(w.finder.limits), base)
	if err != nil {
		return "", nil, false
	}
	p, isPoly := polynomial(scope, base)
	if !isPoly {
		return "", nil, false
	}
	v, single := scope.Ring.OnlyVar(p)
	cs, c0, linear := scope.Ring.Linear(p)
	if !single || !linear || !cs[v].IsOne() || !c0.IsInteger() || c0.IsZero() {
		return "", nil, false
	}
	for _, u := range w.unknowns {
		if u == scope.Ring.Name(v) {
			return u, whole(c0.Floor()), true
		}
	}
	return "", nil, false
}

// shifted is the conditions with x - times·k in the place of x.
func (w integers) shifted(times int) ([]*syntax.Node, bool) {
	shifts := w.shifts()
	if len(shifts) == 0 {
		return nil, false
	}
	list := make([]*syntax.Node, len(w.solve))
	for i, n := range w.solve {
		list[i] = everywhere(n, func(n *syntax.Node) *syntax.Node {
			k := shifts[n.Text]
			if n.Kind != syntax.Name || len(n.Kids) > 0 || k == nil {
				return n
			}
			for j := 0; j < times; j++ {
				n = binary(syntax.Sub, n, k)
			}
			return n
		})
	}
	return list, true
}

// nextTo lists an index and one more or less.
func nextTo(index *syntax.Node) []*syntax.Node {
	one := literal(1)
	if v, ok := new(big.Int).SetString(index.Text, 10); ok && index.Kind == syntax.Number {
		return []*syntax.Node{whole(new(big.Int).Sub(v, big.NewInt(1))), whole(new(big.Int).Add(v, big.NewInt(1)))}
	}
	return []*syntax.Node{binary(syntax.Sub, index, one), binary(syntax.Add, index, one)}
}
