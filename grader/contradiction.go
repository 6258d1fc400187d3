package grader

import (
	"squaremark/algebra"
	"squaremark/algebra/budget"
	"squaremark/algebra/syntax"
)

// byContradiction judges a chain that starts from the opposite of the claim
// and leads down to squares that would be less than they can be. ok is false
// for any other chain. Where it ends in such squares it proves the claim if
// every step is right and holds downwards.
func (m *question) byContradiction(lines []algebra.Line) (out algebra.StepsOutcome, ok bool) {
	opposite, ok := negated(m.rubric.Claim.Value)
	if !ok || len(lines) < 2 {
		return out, false
	}
	// The first line must follow from the opposite by a move; that it does so in
	// truth says nothing, as the opposite of a true claim implies everything.
	first := m.probe.Steps(lines[0].Text, []algebra.Line{{Text: opposite}, {Text: lines[0].Text, Link: "=>"}}, algebra.StartFact)
	if first.Unreadable != nil || len(first.Steps) == 0 || first.Steps[len(first.Steps)-1].Label != algebra.StepOK {
		return out, false
	}
	end, ok := negated(lines[len(lines)-1].Text)
	if !ok || !m.isSquareFact(end) {
		return out, false
	}
	out = m.engine.Steps(opposite, lines, algebra.StartClaim)
	out.Concludes, out.DirectionOK, out.Correct = true, true, true
	out.Closing, out.Reason = "square", ""
	for _, s := range out.Steps {
		out.DirectionOK = out.DirectionOK && s.Link != "<=" && s.Forward == algebra.Holds
		out.Correct = out.Correct && s.Label == algebra.StepOK
	}
	out.Correct = out.Correct && out.DirectionOK
	return out, true
}

// negated is the opposite of a relation between two expressions.
func negated(text string) (string, bool) {
	r, bad := syntax.Read(text, budget.New(budget.Default()))
	if bad != nil || r.Root.Kind != syntax.Relation || len(r.Root.Rels) != 1 {
		return "", false
	}
	n := *r.Root
	n.Rels = []syntax.Rel{map[syntax.Rel]syntax.Rel{
		syntax.Eq: syntax.Ne, syntax.Ne: syntax.Eq, syntax.Lt: syntax.Ge, syntax.Ge: syntax.Lt, syntax.Gt: syntax.Le, syntax.Le: syntax.Gt,
	}[n.Rels[0]]}
	return syntax.Plain(&n), true
}
