package algebra_test

import (
	"fmt"
	"strings"
	"testing"

	"squaremark/algebra"
	"squaremark/algebra/budget"

	"pgregory.net/rapid"
)

// lineGrammar draws a formula of school algebra in x and y.
func lineGrammar(t *rapid.T) string {
	n := func() int { return rapid.IntRange(-5, 6).Draw(t, "n") }
	rel := func() string { return rapid.SampledFrom([]string{"<", "<=", ">", ">=", "="}).Draw(t, "rel") }
	expr := func() string {
		switch rapid.IntRange(0, 11).Draw(t, "expr") {
		case 0:
			return fmt.Sprint(n())
		case 1, 2:
			return "x"
		case 3:
			return "y"
		case 4:
			return fmt.Sprintf("(x + %d)^2", n())
		case 5:
			return fmt.Sprintf("x^2 + %d*x", n())
		case 6:
			return fmt.Sprintf("%d/x", n())
		case 7:
			return "x*y"
		case 8:
			return fmt.Sprintf("|x + %d|", n())
		case 9:
			return fmt.Sprintf("(x + %d)*(x + %d)", n(), n())
		case 10:
			return "sqrt(x)"
		default:
			return fmt.Sprintf("x^2 + y^2 + %d", n())
		}
	}
	one := func() string { return expr() + " " + rel() + " " + expr() }
	switch rapid.IntRange(0, 7).Draw(t, "shape") {
	case 0:
		return one() + " and " + one()
	case 1:
		return fmt.Sprintf("x %s %d or x %s %d", rel(), n(), rel(), n())
	case 2:
		return fmt.Sprintf("%d <= x <= %d", n(), n())
	}
	return one()
}

// edited makes a second line out of a first as a pupil might, rightly or not.
func edited(t *rapid.T, line string) string {
	left, rel, right := cut(line)
	if rel == "" {
		return lineGrammar(t)
	}
	k := rapid.SampledFrom([]string{"x", "y", "(x - 2)", "x^2", "(x^2 + 1)", "3", "-2", "(x + y)", "x*y"}).Draw(t, "factor")
	switch rapid.IntRange(0, 12).Draw(t, "edit") {
	case 0:
		return fmt.Sprintf("%s*(%s) %s %s*(%s)", k, left, rel, k, right)
	case 1:
		return fmt.Sprintf("%s*(%s) %s %s*(%s)", k, left, flipped[rel], k, right)
	case 2:
		return fmt.Sprintf("(%s)^2 %s (%s)^2", left, rel, right)
	case 3:
		return fmt.Sprintf("%s = %s or %s = -(%s)", left, right, left, right)
	case 4:
		return fmt.Sprintf("%s - (%s) %s 0", left, right, rel)
	case 5:
		return fmt.Sprintf("(%s)/%s %s (%s)/%s", left, k, rel, right, k)
	case 6:
		return fmt.Sprintf("sqrt(%s) %s sqrt(%s)", left, rel, right)
	case 7:
		return fmt.Sprintf("%s + 3 %s %s", left, rel, right)
	case 8:
		return fmt.Sprintf("%s %s %s + y^2", left, rel, right)
	case 9:
		return fmt.Sprintf("-(%s) <= %s <= %s", right, left, right)
	case 10:
		return fmt.Sprintf("|%s| %s |%s|", left, rel, right)
	case 11:
		return fmt.Sprintf("%s %s %s", left, rapid.SampledFrom([]string{"<", "<=", ">", ">=", "="}).Draw(t, "rel"), right)
	}
	return lineGrammar(t)
}

func cut(line string) (left, rel, right string) {
	if strings.Contains(line, " and ") || strings.Contains(line, " or ") {
		return "", "", ""
	}
	for _, r := range []string{" <= ", " >= ", " < ", " > ", " = "} {
		if a, b, ok := strings.Cut(line, r); ok {
			if strings.ContainsAny(b, "<>=") {
				return "", "", ""
			}
			return a, strings.TrimSpace(r), b
		}
	}
	return "", "", ""
}

// Labels agree with what is decided without any moves: an ok link holds as
// claimed, a wrong one fails, a leap holds.
func TestLabelsAgreeWithDecision(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var given []string
		for _, g := range []string{"x > 0", "y > 0", "x >= 1", "x + y = 4", "x < -1"} {
			if rapid.IntRange(0, 5).Draw(t, "given") == 0 {
				given = append(given, g)
			}
		}
		q := twoVariables(t, given...)
		claim := lineGrammar(t)
		lines := []algebra.Line{}
		at := claim
		for range rapid.IntRange(1, 3).Draw(t, "length") {
			at = edited(t, at)
			lines = append(lines, algebra.Line{Text: at, Link: rapid.SampledFrom([]string{"<=>", "=>", "<=", ""}).Draw(t, "link")})
		}
		start := rapid.SampledFrom([]algebra.Start{algebra.StartClaim, algebra.StartFact}).Draw(t, "start")
		out := q.Steps(claim, lines, start)
		for _, s := range out.Steps {
			if s.Label == algebra.StepUnreadable || len(s.From) > 1 || s.Before == "" {
				continue
			}
			if s.Label == algebra.StepOK && len(s.From) == 1 && s.From[0] != s.Line-1 {
				continue // from a given or an earlier line
			}
			r := q.Relation(s.Before, s.After)
			about := fmt.Sprintf("given %v, claim %q, lines %v, start %s: %q %s %q is %s by %v (%s)", given, claim, lines, start, s.Before, s.Link, s.After, s.Label, s.Moves, s.Condition)
			forward, backward := s.Link != "<=", s.Link != "=>"
			if s.Link == "=>" && s.Line > 0 && s.Forward == algebra.Holds {
				r.Forward.Verdict = algebra.Holds // earlier lines may be used as well
			}
			fails := forward && r.Forward.Verdict == algebra.Fails || backward && r.Backward.Verdict == algebra.Fails
			holds := (!forward || r.Forward.Verdict == algebra.Holds) && (!backward || r.Backward.Verdict == algebra.Holds)
			switch s.Label {
			case algebra.StepOK, algebra.StepLeap:
				if fails {
					t.Fatalf("%s, but %v %v", about, r.Forward.Witness, r.Backward.Witness)
				}
			case algebra.StepWrong, algebra.StepOneWay:
				if holds && s.Witness != nil {
					t.Fatalf("%s, but it holds", about)
				}
			}
			if s.Label == algebra.StepWrong && s.Witness == nil {
				t.Fatalf("%s without a witness", about)
			}
			if s.Forward == algebra.Holds && r.Forward.Verdict == algebra.Fails || s.Backward == algebra.Holds && r.Backward.Verdict == algebra.Fails {
				t.Fatalf("%s: forward %v backward %v, but decided %v %v", about, s.Forward, s.Backward, r.Forward.Verdict, r.Backward.Verdict)
			}
		}
	})
}

// FuzzSteps: whatever the texts, a chain is answered, every step has a label,
// and what is said of the whole agrees with the steps.
func FuzzSteps(f *testing.F) {
	for _, cases := range readChains(f) {
		for _, c := range cases {
			var text []string
			for _, l := range c.lines {
				text = append(text, l.Link+"|"+l.Text)
			}
			f.Add(c.claim, strings.Join(c.given, ";"), strings.Join(text, "\n"), string(c.start))
		}
	}
	limits := budget.Default()
	limits.Work /= 10
	f.Fuzz(func(t *testing.T, claim, given, lines, start string) {
		var assume []string
		for _, g := range strings.Split(given, ";") {
			if strings.TrimSpace(g) != "" {
				assume = append(assume, g)
			}
		}
		var vars []algebra.Declared
		for _, name := range []string{"x", "y", "z", "a", "b", "c", "t"} {
			vars = append(vars, algebra.Declared{Name: name})
		}
		q, bad := algebra.NewQuestion(append(vars, algebra.Declared{Name: "n", Range: "integer"}), assume, limits)
		if bad != nil {
			t.Skip()
		}
		var list []algebra.Line
		for _, l := range strings.Split(lines, "\n") {
			link, text, ok := strings.Cut(l, "|")
			if !ok {
				link, text = "", l
			}
			list = append(list, algebra.Line{Text: text, Link: link})
		}
		out := q.Steps(claim, list, algebra.Start(start))
		ok := out.DirectionOK && out.Concludes
		for _, s := range out.Steps {
			if s.Label == "" {
				t.Fatal("a step without a label")
			}
			if s.Label == algebra.StepWrong && s.Witness == nil {
				t.Fatalf("%q to %q is wrong without a witness", s.Before, s.After)
			}
			ok = ok && s.Label == algebra.StepOK
		}
		if out.Correct != ok {
			t.Fatalf("correct is %v", out.Correct)
		}
	})
}
