package algebra_test

import (
	"fmt"
	"strings"
	"testing"

	"squaremark/algebra"
	"squaremark/algebra/budget"

	"pgregory.net/rapid"
)

// piece is one term of a side: coef·(x + at)² for a square, coef·x^power·y^other
// else. Coefficients are whole, written as such.
type piece struct {
	coef, at     int
	square       bool
	name         string // of the square's variable
	power, other int
}

func (t piece) String() string {
	if t.square {
		inner := t.name
		switch {
		case t.at > 0:
			inner += fmt.Sprintf(" + %d", t.at)
		case t.at < 0:
			inner += fmt.Sprintf(" - %d", -t.at)
		}
		return fmt.Sprintf("%d*(%s)^2", t.coef, inner)
	}
	s := fmt.Sprint(t.coef)
	if t.power > 0 {
		s += fmt.Sprintf("*x^%d", t.power)
	}
	if t.other > 0 {
		s += fmt.Sprintf("*y^%d", t.other)
	}
	return s
}

// sides is a line: left rel right.
type sides struct {
	left, right []piece
	rel         string
}

func side(list []piece) string {
	if len(list) == 0 {
		return "0"
	}
	parts := make([]string, len(list))
	for i, t := range list {
		parts[i] = "(" + t.String() + ")"
		if t.coef >= 0 {
			parts[i] = t.String()
		}
	}
	return strings.Join(parts, " + ")
}

func (s sides) String() string { return side(s.left) + " " + s.rel + " " + side(s.right) }

var flipped = map[string]string{"<": ">", ">": "<", "<=": ">=", ">=": "<=", "=": "="}

func (s sides) clone() sides {
	return sides{append([]piece(nil), s.left...), append([]piece(nil), s.right...), s.rel}
}

func each(s *sides, change func(*piece)) {
	for i := range s.left {
		change(&s.left[i])
	}
	for i := range s.right {
		change(&s.right[i])
	}
}

func expanded(t piece) []piece {
	mono := func(c, k int) piece {
		p := piece{coef: c}
		if t.name == "x" {
			p.power = k
		} else {
			p.other = k
		}
		return p
	}
	return []piece{mono(t.coef, 2), mono(2*t.coef*t.at, 1), {coef: t.coef * t.at * t.at}}
}

// rewritten applies one random rearrangement.
func rewritten(t *rapid.T, s sides) sides {
	s = s.clone()
	switch rapid.IntRange(0, 5).Draw(t, "move") {
	case 0: // multiply a square out
		for i, p := range s.left {
			if p.square {
				s.left = append(append(append([]piece(nil), s.left[:i]...), expanded(p)...), s.left[i+1:]...)
				break
			}
		}
	case 1: // move a term across
		if len(s.left) > 1 {
			i := rapid.IntRange(0, len(s.left)-1).Draw(t, "term")
			p := s.left[i]
			s.left = append(s.left[:i:i], s.left[i+1:]...)
			p.coef = -p.coef
			s.right = append(s.right, p)
		}
	case 2: // scale
		k := rapid.SampledFrom([]int{2, 3, 5, -1, -2}).Draw(t, "factor")
		each(&s, func(p *piece) { p.coef *= k })
		if k < 0 {
			s.rel = flipped[s.rel]
		}
	case 3: // swap sides
		s.left, s.right, s.rel = s.right, s.left, flipped[s.rel]
	case 4: // add to both sides
		p := piece{coef: rapid.IntRange(1, 9).Draw(t, "coef"), power: rapid.IntRange(0, 2).Draw(t, "power"), other: rapid.IntRange(0, 1).Draw(t, "other")}
		s.left, s.right = append(s.left, p), append(s.right, p)
	default: // complete a square: c·x² + 2c·at·x on the left
		p := piece{coef: rapid.IntRange(1, 4).Draw(t, "coef"), at: rapid.IntRange(-4, 4).Draw(t, "at"), square: true, name: "x"}
		back := expanded(p)
		s.left = append(s.left, p)
		for _, q := range back {
			q.coef = -q.coef
			s.left = append(s.left, q)
		}
	}
	return s
}

func randomClaim(t *rapid.T) sides {
	var s sides
	for _, name := range []string{"x", "y"} {
		s.left = append(s.left, piece{coef: rapid.IntRange(1, 5).Draw(t, "k"), at: rapid.IntRange(-6, 6).Draw(t, "at"), square: true, name: name})
	}
	s.left = append(s.left, piece{coef: rapid.IntRange(1, 20).Draw(t, "c")})
	s.rel = rapid.SampledFrom([]string{">", ">="}).Draw(t, "rel")
	return s
}

func twoVariables(t *rapid.T, given ...string) *algebra.Question {
	q, bad := algebra.NewQuestion([]algebra.Declared{{Name: "x"}, {Name: "y"}}, given, budget.Default())
	if bad != nil {
		t.Fatal(bad)
	}
	return q
}

// Every rearrangement of a true claim is ok, two-way and without a link.
func TestRightChainsAreOK(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := randomClaim(t)
		claim := s.String()
		var lines []algebra.Line
		for range rapid.IntRange(1, 6).Draw(t, "length") {
			s = rewritten(t, s)
			lines = append(lines, algebra.Line{Text: s.String(), Link: rapid.SampledFrom([]string{"<=>", "<=", ""}).Draw(t, "link")})
		}
		out := twoVariables(t).Steps(claim, lines, algebra.StartClaim)
		for _, step := range out.Steps {
			if step.Label != algebra.StepOK {
				t.Fatalf("%q to %q: %s, %s", step.Before, step.After, step.Label, step.Reason)
			}
		}
		if !out.DirectionOK || !out.Reversible {
			t.Fatal(out.Reason)
		}
	})
}

// A changed coefficient is never ok under a two-way link.
func TestSlipsAreNotOK(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := randomClaim(t)
		for range rapid.IntRange(0, 3).Draw(t, "before") {
			s = rewritten(t, s)
		}
		wrong := rewritten(t, s)
		at := rapid.IntRange(0, len(wrong.left)+len(wrong.right)-1).Draw(t, "at")
		delta := rapid.SampledFrom([]int{-3, -2, -1, 1, 2, 3}).Draw(t, "delta")
		i := 0
		skip := false
		each(&wrong, func(p *piece) {
			if i == at {
				skip = p.coef+delta == 0 || p.coef == 0
				if p.square && p.at != 0 && delta%2 == 0 {
					p.at = -p.at // another slip: the sign in the bracket
				} else {
					p.coef += delta
				}
			}
			i++
		})
		if skip {
			t.Skip("a term that vanishes may have been dropped")
		}
		q := twoVariables(t)
		same := q.Identity("("+side(s.left)+") - ("+side(s.right)+")", "("+side(wrong.left)+") - ("+side(wrong.right)+")")
		if same.Verdict != algebra.Fails {
			t.Skip("still the same")
		}
		out := q.Steps(s.String(), []algebra.Line{{Text: wrong.String(), Link: "<=>"}}, algebra.StartClaim)
		step := out.Steps[0]
		if step.Label == algebra.StepOK && !proportional(q, s, wrong) {
			t.Fatalf("%q to %q is ok by %v", step.Before, step.After, step.Moves)
		}
		if out.Correct && !proportional(q, s, wrong) {
			t.Fatalf("%q to %q is said to be correct", step.Before, step.After)
		}
	})
}

// proportional reports two lines whose differences agree up to a factor.
func proportional(q *algebra.Question, a, b sides) bool {
	for _, k := range []string{"1", "2", "3", "5", "-1", "-2", "1/2", "1/3", "-1/2", "4", "6"} {
		if q.Identity(k+"*(("+side(a.left)+") - ("+side(a.right)+"))", "("+side(b.left)+") - ("+side(b.right)+")").Verdict == algebra.Holds {
			return true
		}
	}
	return false
}

// alwaysTrue draws a line that holds everywhere, of many shapes.
func alwaysTrue(t *rapid.T) string {
	n := func(lo, hi int) int { return rapid.IntRange(lo, hi).Draw(t, "n") }
	switch rapid.IntRange(0, 9).Draw(t, "shape") {
	case 0:
		return fmt.Sprintf("%d*(x + %d)^2 + %d > 0", n(1, 4), n(-5, 5), n(1, 9))
	case 1:
		return fmt.Sprintf("(x + %d)^2 + (y + %d)^2 >= 0", n(-5, 5), n(-5, 5))
	case 2:
		return fmt.Sprintf("x^2 + x*y + y^2 + %d > 0", n(1, 9))
	case 3:
		return fmt.Sprintf("x^4 + %d > %d*x", n(9, 20), n(1, 3))
	case 4:
		return fmt.Sprintf("(x^2 + %d)*(y^2 + %d) > 0", n(40, 49), n(40, 49)) // factors of no other case
	case 5:
		return fmt.Sprintf("x^2 + %d*y^2 >= %d*x*y", n(5, 9), n(1, 4))
	case 6:
		return fmt.Sprintf("%d > %d", n(5, 9), n(-3, 4))
	case 7:
		return fmt.Sprintf("|x + %d| + %d > 0", n(-5, 5), n(1, 9))
	case 8:
		return fmt.Sprintf("(x^2 + %d)/(y^2 + %d) > 0", n(11, 19), n(11, 19)) // never a multiple of case 4
	}
	return fmt.Sprintf("(x + %d)^2*(y + %d)^2 + %d >= %d", n(-5, 5), n(-5, 5), n(5, 9), n(-3, 5))
}

// Truth earns nothing: two lines that always hold, made without regard to each
// other, are never justified as equivalent, unless they happen to be multiples.
func TestTruthEarnsNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := alwaysTrue(t), alwaysTrue(t)
		q := twoVariables(t)
		step := q.Steps(a, []algebra.Line{{Text: b, Link: "<=>"}}, algebra.StartClaim).Steps[0]
		if step.Label != algebra.StepOK || !strings.ContainsAny(a+b, "xy") {
			return // a fact about numbers is a multiple of any other
		}
		l1, _, r1 := cut(a)
		l2, _, r2 := cut(b)
		for i := 1; i <= 9; i++ {
			for j := 1; j <= 9; j++ {
				if q.Identity(fmt.Sprintf("%d*((%s) - (%s))", i, l1, r1), fmt.Sprintf("%d*((%s) - (%s))", j, l2, r2)).Verdict == algebra.Holds {
					return
				}
			}
		}
		t.Fatalf("%q to %q is ok by %v", a, b, step.Moves)
	})
}
