package move

import (
	"squaremark/algebra/decide"
	"squaremark/algebra/evidence"
	"squaremark/algebra/formula"
	"squaremark/algebra/syntax"
)

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

// cases compares a line with itself in cases.
func (p *Pair) cases(line, split *Line) Result {
	if split.Shape != Either || line.Shape != Single {
		return refused(CodeShape)
	}
	var covers []*formula.Formula
	for _, k := range split.Kids {
		if k.Shape != Both {
			return refused(CodeShape)
		}
		var rest []*formula.Formula
		found := false
		for _, part := range k.Kids {
			if !found && part.Tree != nil && line.Tree != nil && syntax.Equal(part.Tree, line.Tree) {
				found = true
				continue
			}
			rest = append(rest, part.Body)
		}
		if !found {
			return refused(CodeShape)
		}
		covers = append(covers, formula.And(rest...))
	}
	r := Result{Backward: proved}
	if decide.Always(p.Scope, formula.And(p.Given, line.Body), formula.Or(covers...)).Verdict == evidence.Holds && !p.Ring.Meter().Exhausted() {
		r.Forward = proved
	}
	return r
}
