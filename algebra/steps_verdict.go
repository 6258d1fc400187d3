package algebra

import (
	"strings"

	"squaremark/algebra/formula"
	"squaremark/algebra/move"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// identity is the evidence of a rewriting.
func (j *judge) identity() *Evidence {
	text, ok := j.pair.IdentityText()
	if !ok {
		return nil
	}
	return &Evidence{Kind: "identity", Text: text}
}

// settledVerdict is the verdict of a direction without the cost of a question
// where moves or evident lines already settle it.
func (j *judge) settledVerdict(forward bool) Verdict {
	return j.verdict(forward)
}

// verdict says whether a direction holds: by moves, because the line it leads
// to always holds, or by decision.
func (j *judge) verdict(forward bool) Verdict {
	to := j.to
	if !forward {
		to = j.from
	}
	if j.proved(forward) || to.always && (j.sums == nil || j.outcome(forward).Verdict != Fails) {
		return Holds
	}
	return j.outcome(forward).Verdict
}

// outcome decides one direction, once.
func (j *judge) outcome(forward bool) *Outcome {
	out, asked, from, to := &j.link.forward, &j.link.askedF, j.from, j.to
	if !forward {
		out, asked, from, to = &j.link.backward, &j.link.askedB, j.to, j.from
	}
	if *asked {
		return out
	}
	if j.sums != nil {
		j.relation()
		return out
	}
	*asked = true
	if err := j.local.Ring.Meter().Err(); err != nil {
		*out = Outcome{Reason: err.Error()}
		return out
	}
	s := *j.session
	s.Scope = j.local.Scope
	*out = s.implies(from.line.Body, to.line.Body, to.line.Tree)
	if forward && out.Verdict != Holds && j.claimed == syntax.Forward && len(j.earlier) > 0 {
		all := []*formula.Formula{from.line.Body}
		for _, e := range j.earlier {
			all = append(all, e.Line.Body)
		}
		*out = s.implies(formula.And(all...), to.line.Body, to.line.Tree)
	}
	return out
}

// conditionText names what a move needs: x - 3 > 0.
func (j *judge) conditionText(needs []poly.Condition) string {
	var parts []string
	for i, c := range needs {
		if j.local.Implied(needs, i) {
			continue
		}
		text := j.local.ConditionText(c)
		if !contains(parts, text) {
			parts = append(parts, text)
		}
	}
	return strings.Join(parts, " and ")
}

// fromLines is what a step uses, a given told like the claim as -1.
func fromLines(uses []int) []int {
	var out []int
	seen := map[int]bool{}
	for _, k := range uses {
		if k = max(k, move.Claim); !seen[k] {
			seen[k] = true
			out = append(out, k)
		}
	}
	return out
}
