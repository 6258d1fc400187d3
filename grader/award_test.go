package grader

import (
	"fmt"
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"squaremark/grader/rubric"
)

// table is an answer whose findings are written down: "equal 1, square-form
// 0..1" is one that is met and one that a person decides.
type table map[string]degree

func (a table) fact(code string, _ *rubric.Criterion) fact {
	d, ok := a[code]
	if !ok {
		d = unmet
	}
	return fact{degree: d, because: "because of " + code}
}
func (a table) understood() string  { return "" }
func (a table) report() []Finding   { return nil }
func (a table) whole() (fact, bool) { return fact{}, false }

func answered(t *testing.T, text string) table {
	t.Helper()
	a := table{}
	for _, part := range strings.Split(text, ",") {
		if part = strings.TrimSpace(part); part == "" {
			continue
		}
		code, value, ok := strings.Cut(part, " ")
		require.True(t, ok, part)
		low, high, between := strings.Cut(value, "..")
		if !between {
			high = low
		}
		l, okL := new(big.Rat).SetString(low)
		h, okH := new(big.Rat).SetString(high)
		require.True(t, okL && okH, part)
		a[code] = degree{l, h}
	}
	return a
}

// scheme reads "m method 1 right-square; a accuracy 2 equal+square-form needs m".
// Findings are joined by + for all and by | for any.
func scheme(t *testing.T, text string) *rubric.Question {
	t.Helper()
	q := &rubric.Question{Kind: rubric.SquareForm, Total: new(big.Rat)}
	for _, part := range strings.Split(text, ";") {
		words := strings.Fields(part)
		require.GreaterOrEqual(t, len(words), 4, part)
		worth, ok := new(big.Rat).SetString(words[2])
		require.True(t, ok, part)
		c := &rubric.Criterion{ID: rubric.Plain(words[0]), Type: rubric.Type(words[1]), Worth: worth}
		c.ForAny = strings.Contains(words[3], "|")
		for _, f := range strings.FieldsFunc(words[3], func(r rune) bool { return r == '+' || r == '|' }) {
			c.For = append(c.For, rubric.Plain(f))
		}
		for i := 5; i < len(words) && words[4] == "needs"; i++ {
			c.Needs = append(c.Needs, rubric.Plain(words[i]))
		}
		q.Marks = append(q.Marks, c)
		q.Total.Add(q.Total, worth)
	}
	return q
}

func TestAward(t *testing.T) {
	const ma = "m method 1 right-square; a accuracy 2 equal+square-form needs m"
	for _, row := range []struct{ scheme, answer, want string }{
		{ma, "right-square 1, equal 1, square-form 1", "m 1/1; a 2/2; total 3/3; lost 0"},
		{ma, "right-square 1, square-form 1", "m 1/1; a 0/2; total 1/3; lost 1"},
		{ma, "equal 1, square-form 1", "m 0/1; a 0/2; total 0/3; lost 2"},
		{ma, "right-square 0..1, equal 1, square-form 1", "m person; a person; total 0/3; lost 2"},
		{ma, "right-square 0..1, square-form 1", "m person; a 0/2; total 0/3; lost 2"},
		{ma, "right-square 1, equal 0..1", "m 1/1; a 0/2; total 1/3; lost 1"},
		{ma, "right-square 1/2, equal 1, square-form 1", "m 1/2/1; a 2/2; total 5/2/3; lost 1"},
		{"m method 3 each-solution|right-up-to-order", "each-solution 1/3", "m 1/3; total 1/3; lost 1"},
		{"m method 3 each-solution|right-up-to-order", "each-solution 1/3, right-up-to-order 1", "m 3/3; total 3/3; lost 0"},
		{"m method 3 each-solution|right-up-to-order", "each-solution 0..1, right-up-to-order 1", "m 3/3; total 3/3; lost 0"},
		{"m method 3 each-solution|right-up-to-order", "each-solution 0..1", "m person; total 0/3; lost 1"},
		{"a accuracy 1 equal needs b; b accuracy 1 square-form needs c; c method 1/2 right-square", "equal 1, square-form 1", "a 0/1; b 0/1; c 0/1/2; total 0/5/2; lost 3"},
	} {
		out := award(scheme(t, row.scheme), teachers, answered(t, row.answer))
		var parts []string
		for _, c := range out.Criteria {
			if c.NeedsPerson {
				assert.Zero(t, c.Awarded.Sign())
				parts = append(parts, c.ID+" person")
				continue
			}
			parts = append(parts, fmt.Sprintf("%s %s/%s", c.ID, c.Awarded.RatString(), c.Of.RatString()))
		}
		parts = append(parts, fmt.Sprintf("total %s/%s", out.Marks.RatString(), out.Total.RatString()), fmt.Sprintf("lost %d", len(out.Feedback)))
		assert.Equal(t, row.want, strings.Join(parts, "; "), "%s with %s", row.scheme, row.answer)
	}
}

// The teacher's own sentence is shown for a lost mark, but not while a person
// still decides.
func TestTeachersSentence(t *testing.T) {
	q := scheme(t, "m method 1 equal")
	q.Marks[0].Feedback = rubric.Plain("Look at the middle term.")
	assert.Equal(t, "Look at the middle term.", award(q, teachers, answered(t, "")).Feedback[0].Sentence)
	assert.Equal(t, "because of equal", award(q, teachers, answered(t, "equal 0..1")).Feedback[0].Sentence)
}

// Marks lie between zero and the total, and settling an open finding never
// takes marks away.
func TestMarksStayInBounds(t *testing.T) {
	codes := []string{"equal", "square-form", "right-square", "remaining-constant", "one-slip"}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "criteria")
		q := &rubric.Question{Kind: rubric.SquareForm, Total: new(big.Rat)}
		for i := 0; i < n; i++ {
			worth := big.NewRat(rapid.Int64Range(1, 6).Draw(t, "worth"), rapid.Int64Range(1, 4).Draw(t, "part"))
			c := &rubric.Criterion{ID: rubric.Plain(fmt.Sprint("c", i)), Worth: worth, ForAny: rapid.Bool().Draw(t, "any")}
			for _, f := range rapid.SliceOfN(rapid.SampledFrom(codes), 1, 3).Draw(t, "for") {
				c.For = append(c.For, rubric.Plain(f))
			}
			if i > 0 && rapid.Bool().Draw(t, "needs") {
				c.Needs = []rubric.Text{rubric.Plain(fmt.Sprint("c", rapid.IntRange(0, i-1).Draw(t, "need")))}
			}
			q.Marks = append(q.Marks, c)
			q.Total.Add(q.Total, worth)
		}
		open, settled := table{}, table{}
		for _, code := range codes {
			d := rapid.SampledFrom([]degree{unmet, partly(half), met, withheld}).Draw(t, "degree")
			open[code], settled[code] = d, d
			if d.open() {
				settled[code] = rapid.SampledFrom([]degree{unmet, met}).Draw(t, "settled")
			}
		}
		before, after := award(q, teachers, open), award(q, teachers, settled)
		for _, out := range []QuestionResult{before, after} {
			if out.Marks.Sign() < 0 || out.Marks.Cmp(out.Total) > 0 {
				t.Fatalf("%s of %s marks", out.Marks, out.Total)
			}
			lost := 0
			for _, c := range out.Criteria {
				if c.Awarded.Cmp(c.Of) != 0 {
					lost++
				}
			}
			if lost != len(out.Feedback) {
				t.Fatalf("%d sentences for %d lost marks", len(out.Feedback), lost)
			}
		}
		if after.NeedsPerson {
			t.Fatalf("nothing is open, but a person is asked for")
		}
		if before.Marks.Cmp(after.Marks) > 0 {
			t.Fatalf("settling takes marks away: %s, then %s", before.Marks, after.Marks)
		}
	})
}
