package move

import (
	"squaremark/algebra/formula"
	"squaremark/algebra/syntax"
)

// introduceName gives an expression a name of its own. The line that does so
// is no statement to be proved; afterwards it is used like a given.
// Source: elementary.
var introduceName = Move{
	ID: "introduce-name", Title: "Introduce a name", Family: Using, Since: "0.1.0", Source: "elementary",
	Text: "let t = x - 3 makes t a new name for x - 3.", Condition: "the name is new",
	Try: func(p *Pair) Result {
		for _, d := range p.definitions {
			if d == p.To {
				return bothWays
			}
		}
		return refused(CodeShape)
	},
}

// NameIntroduced is the new name in a line such as t = x - 3, and the
// expression that it stands for. known tells which names are in use.
func NameIntroduced(n *syntax.Node, known func(name string) bool) (name string, of *syntax.Node, ok bool) {
	if n.Kind != syntax.Relation || len(n.Rels) != 1 || n.Rels[0] != syntax.Eq {
		return "", nil, false
	}
	left, right := n.Kids[0], n.Kids[1]
	if left.Kind != syntax.Name || len(left.Kids) > 0 || known(left.Text) || !hasName(right) {
		return "", nil, false
	}
	return left.Text, right, count(right, func(k *syntax.Node) bool { return k.Kind == syntax.Name && k.Text == left.Text }) == 0
}

// Define takes a line that introduces a name among the givens.
func (s *Setting) Define(l *Line) {
	s.definitions = append(s.definitions, l)
	s.lines = append(s.lines, l)
	s.Given = formula.And(s.Given, l.Body)
	s.facts = append(s.facts, conditions(l.Body)...)
	clear(s.known)
}
