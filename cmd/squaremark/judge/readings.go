package judge

import (
	"fmt"

	"squaremark/algebra/budget"
	"squaremark/algebra/syntax"
)

// understood is how one text was read.
type understood struct {
	Plain  string `json:"plain"`
	LaTeX  string `json:"latex"`
	MathML string `json:"mathml"`
}

// readings prints back every text of a request that can be read, by field.
func (in *request) readings() map[string]understood {
	out := map[string]understood{}
	add := func(field, text string) {
		if text == "" {
			return
		}
		_, r, bad := syntax.ReadLine(text, budget.New(budget.Default()))
		if bad != nil || r == nil || r.Root == nil {
			return
		}
		out[field] = understood{Plain: syntax.Plain(r.Root), LaTeX: syntax.LaTeX(r.Root), MathML: syntax.MathML(r.Root)}
	}
	for i, a := range in.Assume {
		add(fmt.Sprintf("assume[%d]", i), a)
	}
	for i, s := range in.Solve {
		add(fmt.Sprintf("solve[%d]", i), s)
	}
	for i, l := range in.Lines {
		add(fmt.Sprintf("lines[%d]", i), l.Rel)
	}
	add("statement", in.Statement)
	add("left", in.Left)
	add("right", in.Right)
	add("expression", in.Expression)
	add("claim", in.Claim)
	if in.Answer != nil {
		add("answer", *in.Answer)
	}
	return out
}
