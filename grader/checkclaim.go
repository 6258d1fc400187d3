package grader

import (
	"squaremark/algebra"
	"squaremark/algebra/source"
)

// claim checks that the claim is true and that the model chain proves it.
func (c *checker) claim(q *question) {
	r := q.rubric
	out := q.engine.Truth(r.Claim.Value)
	switch {
	case out.Unreadable != nil:
		c.fault(r.Claim, out.Unreadable)
		return
	case out.Verdict == algebra.Fails:
		c.add(source.Error, "false-claim", r.Claim.At(), r.Claim.Value, "change the claim, or give what it needs",
			"expected a claim that is true for all values%s", compared(out.Witness, "the left side", "the right side"))
		return
	case out.Verdict == algebra.Unsettled:
		c.add(source.Warning, "unsettled", r.Claim.At(), r.Claim.Value, "", "the engine cannot tell whether the claim is true: %s", ended(out.Reason))
	}
	lines := make([]algebra.Line, len(r.Model.Lines))
	for i, l := range r.Model.Lines {
		lines[i] = algebra.Line{Text: l.Text.Value, Link: l.Link}
	}
	proof := q.engine.Steps(r.Claim.Value, lines, algebra.Start(r.Start))
	faulty := false
	for _, s := range proof.Steps {
		if s.Line < 0 || s.Line >= len(lines) || s.Label == algebra.StepOK {
			continue
		}
		faulty = true
		text := r.Model.Lines[s.Line].Text
		if s.Unreadable != nil {
			c.fault(text, s.Unreadable)
			continue
		}
		c.add(source.Error, "model-step", text.At(), text.Value, "", "expected a model answer whose steps are all right, found a line that is %s: %s", s.Label, ended(teachers.step(s)))
	}
	if !proof.Correct && !faulty {
		c.add(source.Error, "model-no-proof", r.Model.At, "", "", "expected a model answer that proves the claim: %s", ended(orWhy(proof)))
	}
}

func orWhy(out algebra.StepsOutcome) string {
	switch {
	case out.Reason != "":
		return out.Reason
	case !out.Concludes:
		return teachers.noConclusion("")
	}
	return teachers.wrongDirection("")
}
