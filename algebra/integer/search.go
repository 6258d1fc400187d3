package integer

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"squaremark/algebra/budget"
	"squaremark/algebra/decide/onevar"
	"squaremark/algebra/formula"
	"squaremark/algebra/poly"
)

// search collects the solutions of one question.
type search struct {
	ring     *poly.Ring // one slot for each unknown
	unknowns []string
	m        *budget.Meter
	found    map[string][]*big.Int
	families []family
	reason   string // why the search was given up
	steps    []string
	nodes    int
}

// maxDepth bounds the nesting of steps, maxFamilies the parts of a text.
const (
	maxDepth    = 64
	maxFamilies = 40
)

// solveSeveral solves each case of a formula in several unknowns.
func (s *Set) solveSeveral(g *formula.Formula, m *budget.Meter) error {
	cases, ok := g.Cases()
	if !ok {
		return unsettled("the question has too many cases")
	}
	search := &search{ring: poly.NewRing(s.Unknowns, m), unknowns: s.Unknowns, m: m, found: map[string][]*big.Int{}}
	from := s.condition.scope.Ring
	for i, conds := range cases {
		p := &problem{}
		for _, c := range conds {
			f, ok := from.Map(c.P, search.ring)
			if !ok {
				return unsettled("a condition has a variable that is not an unknown")
			}
			p.conds = append(p.conds, poly.Condition{P: f, Rel: c.Rel})
		}
		for v := range s.Unknowns {
			p.back = append(p.back, search.ring.Var(v))
		}
		if len(cases) > 1 {
			search.steps = append(search.steps, fmt.Sprintf("case %d of %d", i+1, len(cases)))
		}
		if !search.solve(p) {
			if err := m.Err(); err != nil {
				return unsettled("%s", err)
			}
			return unsettled("%s", search.reason)
		}
	}
	return s.collect(search)
}

// collect turns what was found into the set.
func (s *Set) collect(search *search) error {
	for _, t := range search.found {
		s.Tuples = append(s.Tuples, t)
	}
	SortTuples(s.Tuples)
	s.Evidence = search.steps
	if len(search.families) == 0 {
		s.Finite = true
		s.Evidence = append(s.Evidence, fmt.Sprintf("every value that is left was tried: %d solutions, each put into the question", len(s.Tuples)))
		return nil
	}
	var parts []string
	for _, f := range search.families {
		if text := search.text(f); !slices.Contains(parts, text) {
			parts = append(parts, text)
		}
	}
	for _, t := range s.Tuples {
		if slices.ContainsFunc(search.families, func(f family) bool { return search.covers(f, t) }) {
			continue
		}
		var values []string
		for i, k := range t {
			values = append(values, s.Unknowns[i]+" = "+k.String())
		}
		parts = append(parts, strings.Join(values, " and "))
	}
	s.Tuples, s.Text = nil, strings.Join(parts, " or ")
	return nil
}

// SortTuples puts tuples into lexicographic order.
func SortTuples(list [][]*big.Int) { slices.SortFunc(list, compareTuples) }

func compareTuples(a, b []*big.Int) int { return slices.CompareFunc(a, b, (*big.Int).Cmp) }

// Prices in budget units, apart from the arithmetic: of one node of the search,
// of each slot that is looked at there, and of each range of a slot that is
// worked out from a condition.
const (
	costNode  = 250
	costSlot  = 50
	costRange = 150
)

// solve finds all solutions of p. It reports false when it gives up; reason
// says why.
func (s *search) solve(p *problem) bool {
	s.nodes++
	if !s.m.Spend(int64(costNode + costSlot*s.ring.Len())) {
		return false
	}
	if p.depth > maxDepth {
		return s.giveUp("the conditions are nested too deep")
	}
	if !s.ready(p) {
		return true
	}
	slots := s.slots(p)
	switch len(slots) {
	case 0:
		return s.emit(p, nil, -1)
	case 1:
		return s.single(p, slots[0])
	}
	for _, step := range []func(*problem) (done, settled bool){s.linear, s.split, s.solved} {
		if done, settled := step(p); done {
			return settled
		}
	}
	dom, some := s.ranges(p, slots)
	if !some {
		if s.noting(p) {
			s.note("the ranges of the unknowns leave nothing: %s", s.conditions(p))
		}
		return true
	}
	best := s.shortest(dom, slots)
	if best < 0 {
		if dom, some = s.combined(p, slots, dom); !some {
			if s.noting(p) {
				s.note("together they leave nothing: %s", s.conditions(p))
			}
			return true
		}
		best = s.shortest(dom, slots)
	}
	if best < 0 || dom[best].Len().Cmp(big.NewInt(fewValues)) > 0 {
		if done, settled := s.conic(p); done {
			return settled
		}
	}
	if best >= 0 {
		return s.enumerate(p, best, dom[best], false)
	}
	return s.unbounded(p, slots, dom)
}

// fewValues is the number of values below which trying them all is preferred
// to factoring.
const fewValues = 300

// unbounded tries what is left when no slot has a finite range.
func (s *search) unbounded(p *problem, slots []int, dom domains) bool {
	for _, step := range []func(*problem) (done, settled bool){s.resultant, s.kernel, s.divisor, s.ray, s.residues, s.descent, s.divided, s.pell} {
		if done, settled := step(p); done {
			return settled
		}
		if s.m.Exhausted() {
			return false
		}
	}
	for _, step := range []func(*problem, []int, domains) (done, settled bool){s.corner, s.orthants} {
		if done, settled := step(p, slots, dom); done {
			return settled
		}
	}
	if s.m.Exhausted() {
		return false
	}
	return s.giveUp("no bound and no proof of infinitely many solutions was found for " + s.conditions(p))
}

func (s *search) giveUp(reason string) bool {
	if s.reason == "" {
		s.reason = reason
	}
	return false
}

// conditions is the text of the conditions of p in the names of its slots.
func (s *search) conditions(p *problem) string {
	f, names, _ := s.named(family{back: p.back, conds: p.conds, slot: -1})
	ring := poly.NewRing(names, s.m)
	parts := make([]string, len(f.conds))
	for i, c := range f.conds {
		parts[i] = conditionText(ring, c)
	}
	return strings.Join(parts, ", ")
}

// maxNoted is the depth to which steps are written down.
const maxNoted = 3

const maxSteps = 40

// noting reports that a step taken at p is to be written down.
func (s *search) noting(p *problem) bool { return p.depth <= maxNoted && len(s.steps) < maxSteps }

func (s *search) note(format string, args ...any) {
	s.steps = append(s.steps, fmt.Sprintf(format, args...))
}

// single solves the conditions in one slot, exactly.
func (s *search) single(p *problem, v int) bool {
	runs := onevar.Runs{{}}
	for i, c := range p.conds {
		f, _ := s.ring.ToUni(c.P, v)
		part, ok := onevar.IntegersWhere(f, c.Rel, s.m)
		if !ok {
			return s.giveUp("the real solutions were not found")
		}
		if i == 0 {
			runs = part
		} else {
			runs = runs.Intersect(part)
		}
	}
	if !runs.IsFinite() {
		return s.emit(p, runs, v)
	}
	return s.enumerate(p, v, runs, true)
}

// enumerate tries each value of a slot; satisfied says that they are known to
// satisfy the conditions.
func (s *search) enumerate(p *problem, v int, runs onevar.Runs, satisfied bool) bool {
	n := runs.Len()
	if n.Sign() > 0 && s.noting(p) {
		s.note("%s leaves %s values: %s", s.conditions(p), n, s.rangeText(p, v, runs))
	}
	if !n.IsInt64() || n.Int64() > s.m.Left()/budget.CostCandidate {
		s.m.Exceed("work")
		return false
	}
	if satisfied {
		if done, settled := s.listAll(p, v, runs); done {
			return settled
		}
		p = &problem{back: p.back, depth: p.depth}
	}
	for _, run := range runs {
		for k := run.Lo; k.Cmp(run.Hi) <= 0; k = new(big.Int).Add(k, one) {
			if !s.solve(s.with(p, v, k)) {
				return false
			}
		}
	}
	return true
}

func (s *search) rangeText(p *problem, v int, runs onevar.Runs) string {
	_, names, _ := s.named(family{back: p.back, slot: v})
	return runs.Text(names[v])
}

// shortest is the slot with the fewest values, −1 when none has a finite
// range.
func (s *search) shortest(dom domains, slots []int) int {
	best := -1
	for _, v := range slots {
		if dom[v].IsFinite() && (best < 0 || dom[v].Len().Cmp(dom[best].Len()) < 0) {
			best = v
		}
	}
	return best
}
