package algebra

import (
	"fmt"

	"squaremark/algebra/budget"
	"squaremark/algebra/evidence"
	"squaremark/algebra/formula"
	"squaremark/algebra/source"
	"squaremark/algebra/syntax"
)

// sized is one question about sums for every number of terms.
type sized struct {
	q       *Question
	meter   *budget.Meter
	size    string // "n"; "" where only indices are general
	vars    []formula.Variable
	premise *syntax.Node // nil for none
	goal    *syntax.Node
	natural bool // undefined points are left out; otherwise the goal is false there
	field   string
	notes   []*source.Diag
	fixed   []*syntax.Node // assumptions without a free index
	every   []indexed
	start   int64 // the least n that the assumptions allow
	below   bool  // n may be negative
	known   map[int64]Outcome
}

// indexed is an assumption for every value of its index; inside, for those
// from 1 to n only.
type indexed struct {
	tree   *syntax.Node
	index  string
	inside bool
}

func cycleIn(assume []string, limits budget.Limits) string {
	for _, text := range assume {
		if r, bad := syntax.Read(text, budget.New(limits)); bad == nil {
			if _, size, ok := formula.CycleOf(r.Root); ok {
				return size
			}
		}
	}
	return ""
}

// seriesTruth answers Truth where sums, indices or assumptions are for every
// number of terms.
func (q *Question) seriesTruth(statement string) Outcome {
	g, out := q.sized("statement", statement)
	if g == nil {
		return out
	}
	g.natural = true
	return g.decide()
}

// seriesIdentity answers Identity in the same way.
func (q *Question) seriesIdentity(left, right string) Outcome {
	g, out := q.sized("left", left, "right", right)
	if g == nil {
		return out
	}
	g.goal = &syntax.Node{Kind: syntax.Relation, At: g.goal.At, Kids: []*syntax.Node{g.premise, g.goal}, Rels: []syntax.Rel{syntax.Eq}}
	g.premise, g.natural = nil, true
	return g.decide()
}

// seriesRelation answers Relation in the same way.
func (q *Question) seriesRelation(left, right string) RelationOutcome {
	forward, out := q.sized("left", left, "right", right)
	if forward == nil {
		return RelationOutcome{Relation: RelationUnsettled, Forward: out, Backward: out}
	}
	backward := *forward
	backward.meter, backward.known = budget.New(q.limits), map[int64]Outcome{}
	backward.premise, backward.goal, backward.field = forward.goal, forward.premise, "left"
	a, b := forward.decide(), backward.decide()
	return RelationOutcome{Relation: relationOf(a.Verdict, b.Verdict), Forward: a, Backward: b}
}

// sized reads the texts (one: the goal; two: a premise and the goal).
func (q *Question) sized(texts ...string) (*sized, Outcome) {
	g := &sized{q: q, meter: budget.New(q.limits), known: map[int64]Outcome{}, field: texts[len(texts)-2]}
	for i := 0; i < len(texts); i += 2 {
		r, bad := q.read(texts[i], texts[i+1], g.meter)
		if bad != nil {
			return nil, Outcome{Unreadable: bad, Reason: bad.Diag.Message}
		}
		g.premise, g.goal = g.goal, r.sums
		g.notes = append(g.notes, r.notes...)
	}
	trees := []*syntax.Node{g.goal}
	if g.premise != nil {
		trees = append(trees, g.premise)
	}
	fields := []string{g.field, texts[0]}[:len(trees)]
	for _, a := range q.assume {
		trees, fields = append(trees, a.sums), append(fields, a.field)
	}
	sizes := formula.Sizes(q.vars, trees...)
	switch {
	case len(sizes) > 1:
		return nil, Outcome{Reason: "sums with more than one number of terms are not decided", Notes: g.notes}
	case len(sizes) == 1:
		g.size = sizes[0]
	}
	g.vars = q.vars
	for i, t := range trees {
		if err := formula.CheckNames(g.vars, t); err != nil {
			return nil, *failed(fields[i], err)
		}
	}
	if reason := g.sort(trees); reason != "" {
		return nil, Outcome{Reason: reason, Notes: g.notes}
	}
	return g, Outcome{}
}

// sort tells the assumptions apart, and the families that run round a cycle.
func (g *sized) sort(trees []*syntax.Node) (reason string) {
	round := map[string]bool{}
	for _, a := range g.q.assume {
		if family, _, ok := formula.CycleOf(a.sums); ok {
			round[family] = true
			continue
		}
		if each, index, ok := formula.ListedMembers(a.sums, g.size); ok {
			g.every = append(g.every, indexed{each, index, true})
			continue
		}
		if index, ok := formula.FreeIndex(a.sums, g.size); ok {
			g.every = append(g.every, indexed{a.sums, index, false})
			continue
		}
		g.fixed = append(g.fixed, a.sums)
	}
	if len(round) == 0 {
		return ""
	}
	for _, family := range formula.Families(trees...) {
		if !round[family] && declared(g.q.vars, family+"_i") {
			return "families of which only some run round a cycle are not decided"
		}
	}
	return ""
}

func (g *sized) cyclic() bool { return g.size != "" && g.q.cycle == g.size }

// Shares of work for one number of terms, in budget units.
const (
	workGlance = 60_000
	workLook   = 120_000
	workMust   = 500_000 // below the n of a proof
	workCheck  = 300_000
)

// decide looks at the first few n, then for a proof for all later ones, then
// longer at single n.
func (g *sized) decide() Outcome {
	if g.size == "" {
		out := g.at(0, g.meter.Left())
		out.Notes = append(out.Notes, g.notes...)
		return out
	}
	bounded := g.allowed()
	const glances, looks = 3, 5
	first := int64(glances)
	if formula.HasRoot(g.goal) {
		first = 1 // points at which roots are numbers are hard to find
	}
	for k := range first {
		if out := g.at(g.start+k, workGlance); out.Verdict == Fails || out.Unreadable != nil {
			return g.told(out)
		}
	}
	if bounded {
		return g.told(g.finite())
	}
	if p, ok := g.prove(); ok {
		early := Outcome{Verdict: Holds}
		for n := g.start; n < p.from && early.Verdict == Holds; n++ {
			early = g.at(n, workMust)
		}
		if early.Verdict != Holds {
			return g.told(early)
		}
		return g.told(Outcome{Verdict: Holds, Evidence: p.evidence(g)})
	}
	last := int64(looks)
	if g.numbersOnly() {
		last = looksAtNumbers
	}
	for k := range last {
		if out := g.at(g.start+k, workLook); out.Verdict == Fails {
			return g.told(out)
		}
	}
	reason := "no proof for every " + g.size + " and no counterexample was found"
	if err := g.meter.Err(); err != nil {
		reason = err.Error()
	}
	return g.told(Outcome{Reason: reason})
}

func (g *sized) told(out Outcome) Outcome {
	out.Notes = append(append([]*source.Diag(nil), g.notes...), out.Notes...)
	return out
}

// finite answers where the assumptions leave finitely many n.
func (g *sized) finite() Outcome {
	e := &Evidence{Kind: "series", Text: "for each " + g.size + " that is possible, one by one"}
	var data []*evidence.Record
	for n := g.start; n <= maxFinite; n++ {
		out := g.at(n, workMust)
		if out.Verdict != Holds {
			return out
		}
		if out.Evidence != nil {
			e.Steps = append(e.Steps, fmt.Sprintf("%s = %d: %s", g.size, n, out.Evidence.Text))
			if more, ok := out.Evidence.Data.([]*evidence.Record); ok {
				data = append(data, more...)
			}
		}
	}
	e.Data = data
	return Outcome{Verdict: Holds, Evidence: e}
}

// looksAtNumbers is how many n are tried where every one is a sum of numbers.
const looksAtNumbers = 60

// maxFinite is the greatest n up to which a bounded number of terms is tried
// out.
const maxFinite = 8
