package algebra_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"squaremark/algebra"
	"squaremark/algebra/budget"
	"squaremark/algebra/move"
	"squaremark/algebra/syntax"
)

// chainCase is one argument of testdata/chains with what is expected of it.
type chainCase struct {
	title, claim string
	declared     map[string]string
	given        []string
	start        algebra.Start
	lines        []algebra.Line
	want         []wanted
	end          map[string]bool
}

// wanted is the expectation beside one line.
type wanted struct {
	label   string
	details []string // moves of ok and one-way, the condition of needs-condition
}

func readChains(t testing.TB) map[string][]chainCase {
	files, err := filepath.Glob("testdata/chains/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatal("no chains found")
	}
	all := map[string][]chainCase{}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		all[filepath.Base(f)] = parseChains(t, f, string(data))
	}
	return all
}

func parseChains(t testing.TB, file, text string) []chainCase {
	var list []chainCase
	var c *chainCase
	for n, line := range strings.Split(text, "\n") {
		if strings.TrimSpace(line) == "" || strings.HasPrefix(line, "#") {
			continue
		}
		if strings.HasPrefix(line, " ") {
			formula, expect, ok := strings.Cut(line, "//")
			if !ok || c == nil {
				t.Fatalf("%s:%d: a line needs an expectation after //", file, n+1)
			}
			link, formula, _ := strings.Cut(strings.TrimSpace(formula), " ")
			if link == "." {
				link = ""
			}
			link = map[string]string{"⇔": "<=>", "⇒": "=>", "⇐": "<="}[link] + strings.Trim(link, "⇔⇒⇐")
			c.lines = append(c.lines, algebra.Line{Text: strings.TrimSpace(formula), Link: link})
			c.want = append(c.want, parseWanted(expect))
			continue
		}
		key, value, _ := strings.Cut(line, ":")
		value = strings.TrimSpace(value)
		switch key {
		case "chain":
			list = append(list, chainCase{title: value, declared: map[string]string{}, end: map[string]bool{}})
			c = &list[len(list)-1]
		case "given":
			for _, g := range strings.Split(value, ";") {
				c.given = append(c.given, strings.TrimSpace(g))
			}
		case "integer", "positive integer":
			for _, v := range strings.Split(value, ",") {
				c.declared[strings.TrimSpace(v)] = key
			}
		case "claim":
			c.claim = value
		case "start":
			c.start = algebra.Start(value)
		case "end":
			for _, w := range strings.Fields(value) {
				c.end[w] = true
			}
			delete(c.end, "none")
		default:
			t.Fatalf("%s:%d: unknown key %q", file, n+1, key)
		}
	}
	return list
}

// parseWanted reads "ok: move, move (why)".
func parseWanted(text string) wanted {
	text, _, _ = strings.Cut(text, "(")
	label, details, _ := strings.Cut(text, ":")
	w := wanted{label: strings.TrimSpace(label)}
	for _, d := range strings.Split(details, ",") {
		if d = strings.TrimSpace(d); d != "" {
			w.details = append(w.details, d)
		}
	}
	return w
}

// variables declares what a chain declares, and every other letter of its
// claim and givens as real.
func (c *chainCase) variables(t testing.TB) []algebra.Declared {
	var list []algebra.Declared
	seen := map[string]bool{}
	for _, text := range append([]string{c.claim}, c.given...) {
		r, bad := syntax.Read(text, budget.New(budget.Default()))
		if bad != nil {
			t.Fatalf("%s: %s: %v", c.title, text, bad)
		}
		var walk func(n *syntax.Node)
		walk = func(n *syntax.Node) {
			name := n.Text
			if len(n.Kids) > 0 {
				name += "_i"
			}
			if n.Kind == syntax.Name && !seen[name] && name != "i" {
				seen[name] = true
				list = append(list, algebra.Declared{Name: name, Range: c.declared[name]})
			}
			for _, k := range n.Kids {
				walk(k)
			}
		}
		walk(r.Root)
	}
	return list
}

func (c *chainCase) question(t testing.TB) *algebra.Question {
	q, bad := algebra.NewQuestion(c.variables(t), c.given, budget.Default())
	if bad != nil {
		t.Fatalf("%s: %v", c.title, bad)
	}
	return q
}

func TestChains(t *testing.T) {
	labels := map[algebra.Label]int{}
	moves := map[string]int{}
	for file, cases := range readChains(t) {
		for _, c := range cases {
			t.Run(file+"/"+c.title, func(t *testing.T) {
				out := c.question(t).Steps(c.claim, c.lines, c.start)
				checkChain(t, c, out)
				for _, s := range out.Steps {
					labels[s.Label]++
					for _, m := range s.Moves {
						moves[m]++
					}
				}
			})
		}
	}
	for _, l := range []algebra.Label{algebra.StepOK, algebra.StepOneWay, algebra.StepWrong, algebra.StepNeedsCondition, algebra.StepLeap, algebra.StepUnreadable, algebra.StepUnsettled} {
		if labels[l] == 0 {
			t.Errorf("no chain has a step labelled %s", l)
		}
	}
	for _, m := range move.Catalogue {
		if moves[m.ID] == 0 {
			t.Errorf("no chain uses the move %s", m.ID)
		}
	}
}

func checkChain(t *testing.T, c chainCase, out algebra.StepsOutcome) {
	t.Helper()
	steps := map[int]algebra.Step{}
	for _, s := range out.Steps {
		steps[s.Line] = s
	}
	for i, w := range c.want {
		s, ok := steps[i]
		if w.label == "start" {
			if ok {
				t.Errorf("line %d: a step (%s) leads into the first line", i, s.Label)
			}
			continue
		}
		if !ok {
			t.Errorf("line %d: no step", i)
			continue
		}
		if string(s.Label) != w.label {
			t.Errorf("line %d %q: %s (%v, %s; %s), want %s; forward %v, backward %v", i, c.lines[i].Text, s.Label, s.Moves, s.Condition, s.Reason, w.label, s.Forward, s.Backward)
			continue
		}
		for _, d := range w.details {
			switch s.Label {
			case algebra.StepNeedsCondition:
				if s.Condition != d {
					t.Errorf("line %d: condition %q, want %q", i, s.Condition, d)
				}
			default:
				found := false
				for _, m := range s.Moves {
					found = found || m == d
				}
				if !found {
					t.Errorf("line %d %q: moves %v, want %s", i, c.lines[i].Text, s.Moves, d)
				}
			}
		}
		if s.Label == algebra.StepWrong && s.Witness == nil {
			t.Errorf("line %d: wrong without a witness", i)
		}
	}
	for name, got := range map[string]bool{
		"direction": out.DirectionOK, "reversible": out.Reversible, "concludes": out.Concludes, "correct": out.Correct, "unsettled": out.Unsettled,
	} {
		if got != c.end[name] {
			t.Errorf("%s is %v (%s)", name, got, out.Reason)
		}
	}
}
