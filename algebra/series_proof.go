package algebra

import (
	"fmt"

	"squaremark/algebra/budget"
	"squaremark/algebra/decide"
	"squaremark/algebra/decide/series"
	"squaremark/algebra/evidence"
	"squaremark/algebra/formula"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// everyProof is a checked proof for every n from some n on.
type everyProof struct {
	*series.Proof
	from int64
}

// rewritten is a text and what it became when its sums were taken apart.
type rewritten struct{ text, tree *syntax.Node }

// part is one conjunct of the goal, and the same for n + 1 where induction is
// sound.
type part struct {
	now   rewritten
	later *rewritten
}

// prove looks for a proof for every n from some n on, and checks it by
// writing everything out for the first few of these n.
func (g *sized) prove() (*everyProof, bool) {
	if g.below {
		return nil, false
	}
	m := g.meter.Part(min(workProof, g.meter.Left()*3/4))
	sums := formula.NewSums(g.q.vars, g.size, g.cyclic(), m)
	var parts []part
	var pairs []rewritten
	for _, text := range formula.Conjuncts(g.goal) {
		tree, err := sums.Rewrite(text)
		if err != nil {
			return nil, false
		}
		parts = append(parts, part{now: rewritten{text, tree}})
		pairs = append(pairs, parts[len(parts)-1].now)
	}
	bodies := sums.Bodies()
	for i := range parts {
		if parts[i].later = g.later(sums, parts[i].now.text); parts[i].later != nil {
			pairs = append(pairs, *parts[i].later)
		}
	}
	var given []*syntax.Node
	for _, t := range append(append([]*syntax.Node(nil), g.fixed...), g.premise) {
		if t == nil {
			continue
		}
		if x, err := sums.Rewrite(t); err == nil { // an assumption that is not used does no harm
			given, pairs = append(given, x), append(pairs, rewritten{t, x})
		}
	}
	for _, e := range g.every {
		if !e.inside || g.insideOnly() {
			_ = sums.ForEvery(e.tree, e.index) // nor does one for every index
		}
	}
	from := max(g.start, sums.Min)
	var trees []*syntax.Node
	for _, p := range pairs {
		trees = append(trees, p.tree)
	}
	ends := sums.AtEnds(from, trees...)
	scope, err := sums.Outer(append(append(trees, ends...), sums.SizeTree())...)
	if err != nil {
		return nil, false
	}
	p := &series.Problem{Sums: sums, Scope: scope, Given: sums.AtLeast(scope, from), From: from}
	for _, t := range append(given, ends...) {
		st, err := scope.Formula(t)
		if err != nil {
			return nil, false
		}
		p.Given = formula.And(p.Given, st.Body)
	}
	if !g.lower(p, parts) || !g.natural && !series.Defined(p, bodies) {
		return nil, false
	}
	proof, ok := series.Prove(p)
	if !ok || m.Exhausted() || !g.recheck(sums, proof, pairs) {
		return nil, false
	}
	return &everyProof{Proof: proof, from: proof.From}, true
}

// later is the goal for n + 1, where induction is sound: the assumptions for n
// follow from those for n + 1. That is so when they say nothing about n but
// that it is not less than something, nothing about sums, and nothing about
// single members.
func (g *sized) later(sums *formula.Sums, goal *syntax.Node) *rewritten {
	if g.premise != nil || g.cyclic() {
		return nil
	}
	for _, e := range g.every {
		for _, name := range formula.NamesIn(e.tree) {
			if name == g.size || formula.HasSum(e.tree) {
				return nil
			}
		}
	}
	for _, t := range g.fixed {
		if formula.HasSum(t) || g.indexed(t) {
			return nil
		}
		names := formula.NamesIn(t)
		for _, name := range names {
			if name == g.size && (len(names) > 1 || !g.upward(t)) {
				return nil
			}
		}
	}
	text := formula.Shifted(goal, g.size, 1)
	tree, err := sums.Rewrite(text)
	if err != nil {
		return nil
	}
	return &rewritten{text, tree}
}

// indexed reports that a member of a family occurs in t.
func (g *sized) indexed(t *syntax.Node) bool {
	for _, family := range formula.Families(t) {
		if declared(g.q.vars, family+"_i") {
			return true
		}
	}
	return false
}

// upward reports that a condition on n holds for every n from the start on.
func (g *sized) upward(t *syntax.Node) bool {
	scope, given := g.sizeScope([]*syntax.Node{t})
	if scope == nil {
		return false
	}
	v, _ := scope.Ring.Index(g.size)
	start := formula.Condition(poly.Condition{P: scope.Ring.Sub(scope.Ring.Var(v), scope.Ring.Int(g.start)), Rel: poly.Ge})
	return decide.Always(scope, start, given).Verdict == Holds
}

// lower fills in the goals. On the natural domain the conditions under which
// they are defined are assumed, except that those about n alone are to be
// proved.
func (g *sized) lower(p *series.Problem, parts []part) bool {
	size, _ := p.Scope.Ring.Index(g.size)
	plain := true // nothing keeps the domain at n + 1 from including that at n
	for _, part := range parts {
		body, domain, err := p.Scope.Core(part.now.tree)
		if err != nil {
			return false
		}
		goal := series.Goal{Now: body}
		for _, c := range domain {
			f := formula.Condition(c)
			if v, ok := p.Scope.Ring.OnlyVar(c.P); ok && v == size || !g.natural {
				p.Side = append(p.Side, f)
				continue
			}
			plain = plain && p.Scope.Ring.DegreeIn(c.P, size) <= 0 && g.onlyPlain(p.Scope, c.P)
			p.Given = formula.And(p.Given, f)
		}
		if part.later != nil {
			next, domain, err := p.Scope.Core(part.later.tree)
			if err != nil {
				return false
			}
			goal.Later = next
			for _, c := range domain {
				if v, ok := p.Scope.Ring.OnlyVar(c.P); ok && v == size {
					p.Side = append(p.Side, formula.Condition(c))
				}
			}
		}
		p.Goals = append(p.Goals, goal)
	}
	for i := range p.Goals {
		if !plain {
			p.Goals[i].Later = nil
		}
	}
	return true
}

// onlyPlain reports that neither members of families nor sums occur in f.
func (g *sized) onlyPlain(scope *formula.Scope, f poly.Poly) bool {
	for _, v := range scope.Ring.Vars(f) {
		if v >= len(scope.Vars) || !declared(g.q.vars, scope.Vars[v].Name) {
			return false
		}
	}
	return true
}

// workProof is what the search for a proof may cost, in budget units.
const workProof = 1_500_000

// checks is for how many n a proof is written out; each on a meter of its own.
const checks = 3

// recheck writes the texts and the claims of a proof out for a few n, by code
// that does not take sums apart.
func (g *sized) recheck(sums *formula.Sums, p *series.Proof, pairs []rewritten) bool {
	for n := p.From; n < p.From+checks; n++ {
		limits := g.q.limits
		limits.Work = workCheck
		m := budget.New(limits)
		for _, r := range pairs {
			if sums.Same(n, m, r.text, r.tree) != nil {
				return false
			}
		}
		if p.Recheck(n, m) != nil {
			return false
		}
	}
	return true
}

func (p *everyProof) evidence(g *sized) *Evidence {
	e := &Evidence{Kind: "series", Text: fmt.Sprintf("for every %s >= %d at once", g.size, p.from)}
	if p.from > g.start {
		e.Text += fmt.Sprintf(", and for each smaller %s by itself", g.size)
	}
	e.Steps = p.Steps
	var data []*evidence.Record
	for _, c := range p.Cases {
		data = append(data, evidence.Write(c.Conj, c.Refutation, c.Point, c.Root))
	}
	for n := g.start; n < p.from; n++ {
		out := g.known[n]
		if out.Evidence == nil {
			continue
		}
		e.Steps = append(e.Steps, fmt.Sprintf("%s = %d: %s", g.size, n, out.Evidence.Text))
		if more, ok := out.Evidence.Data.([]*evidence.Record); ok {
			data = append(data, more...)
		}
	}
	e.Data = data
	return e
}
