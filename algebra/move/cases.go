package move

import "squaremark/algebra/formula"

// splitCases looks at a line in cases that together leave nothing out.
// Source: elementary.
var splitCases = Move{
	ID: "split-cases", Title: "Split into cases", Family: Using, Since: "0.1.0", Source: "elementary",
	Text: "The line is repeated in each of several cases.", Condition: "the cases cover everything",
	Try: func(p *Pair) Result { return p.cases(p.From, p.To) },
}

// rejoinCases puts together what holds in every case.
// Source: elementary.
var rejoinCases = Move{
	ID: "rejoin-cases", Title: "Put cases together again", Family: Using, Since: "0.1.0", Source: "elementary",
	Text: "What holds in every one of several cases is said once.", Condition: "the cases cover everything",
	Try: func(p *Pair) Result { return p.cases(p.To, p.From).turned() },
}

// cases compares a line with itself in cases; in each case it may be
// rewritten with what the case says, such as |x| as x where x ≥ 0.
func (p *Pair) cases(line, split *Line) Result {
	if split.Shape != Either || line.Shape != Single {
		return refused(CodeShape)
	}
	covers := make([]*formula.Formula, 0, len(split.Kids))
	for _, k := range split.Kids {
		cover, ok := p.inCase(line, k)
		if !ok {
			return refused(CodeShape)
		}
		covers = append(covers, cover)
	}
	r := Result{Backward: proved}
	if p.decided(formula.And(p.Given, line.Body), formula.Or(covers...)) {
		r.Forward = proved
	}
	return r
}

// inCase looks among the parts of one case for the line; the other parts are
// what defines the case.
func (p *Pair) inCase(line, kid *Line) (*formula.Formula, bool) {
	if kid.Shape != Both {
		return nil, false
	}
	for i, part := range kid.Kids {
		if part.Shape != Single {
			continue
		}
		others := append(append([]*Line(nil), kid.Kids[:i]...), kid.Kids[i+1:]...)
		bodies := make([]*formula.Formula, len(others))
		for k, o := range others {
			bodies[k] = o.Body
		}
		cover := formula.And(bodies...)
		local := p.supposing(others)
		local.Relate()
		q := local.Between(local.again(line), local.again(part), p.Index, nil)
		if r, _ := q.rewriting(); r.reversible() {
			return cover, true
		}
	}
	return nil, false
}

// again is a single relation read anew, with what this setting knows about
// roots.
func (s *Setting) again(l *Line) *Line {
	out := *l
	out.Atom = s.atom(l.Atom.Left, l.Atom.Right, l.Atom.Rel)
	return &out
}
