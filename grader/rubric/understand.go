package rubric

import (
	"regexp"
	"strconv"

	"squaremark/algebra/budget"
	"squaremark/algebra/source"
	"squaremark/algebra/syntax"
)

// Understand is a text of mathematics as it is read, in plain notation. ok is
// false where it cannot be read. Cost: that of syntax.Read.
func Understand(text string) (plain string, ok bool) {
	r, bad := syntax.Read(text, budget.New(budget.Default()))
	if bad != nil {
		return "", false
	}
	return syntax.Plain(r.Root), true
}

// mathematics checks that a text can be read. A fault is reported at the
// place in the file where its part of the text stands.
func (l *loader) mathematics(texts ...Text) {
	for _, t := range texts {
		if t.IsZero() {
			continue
		}
		if _, bad := syntax.Read(t.Value, budget.New(budget.Default())); bad != nil {
			l.add(t.Fault(bad))
		}
	}
}

// Fault is a fault inside t, told at its place in the file.
func (t Text) Fault(d *source.Diag) *source.Diag {
	moved := *d
	moved.At = t.Span(d.At)
	moved.Message = t.placed(d.Message)
	return &moved
}

var innerPlace = regexp.MustCompile(`\bat (\d+):(\d+)\b`)

// placed is a message about t with the places that it names taken to the
// file.
func (t Text) placed(message string) string {
	return innerPlace.ReplaceAllStringFunc(message, func(found string) string {
		m := innerPlace.FindStringSubmatch(found)
		line, _ := strconv.Atoi(m[1])
		column, _ := strconv.Atoi(m[2])
		return "at " + t.Place(source.Position{Line: line, Column: column}).String()
	})
}
