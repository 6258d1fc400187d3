package grader

import (
	"squaremark/algebra"
	"squaremark/algebra/source"
	"squaremark/grader/rubric"
	"squaremark/grader/slip"
)

// shown is how many runes of an answer a place repeats.
const shown = 60

// placeOf is a place inside an answer. Line is 0 for an answer that is not a
// chain; text is the part of the answer that p counts in.
func placeOf(line int, text rubric.Text, p source.Position, offending string) *Place {
	at := text.Place(p)
	return &Place{ChainLine: line, Line: at.Line, Column: at.Column, Text: source.Shorten(offending, shown)}
}

// wholeAnswer is the place of an answer as a whole.
func wholeAnswer(text rubric.Text) *Place {
	return placeOf(0, text, source.Position{Line: 1, Column: 1}, text.Value)
}

// unreadable is an answer that cannot be read.
func (v voice) unreadableAnswer(text rubric.Text, bad *algebra.Unreadable, rule rubric.Credit) blocked {
	place := placeOf(0, text, bad.Diag.At.Start, bad.Diag.Text)
	message := text.Fault(bad.Diag).Message
	return blocked{say: v, code: "unreadable", text: source.Shorten(text.Value, shown), one: fact{
		degree: degreeOf(rule), place: place, because: v.unreadable(0, place, bad.Diag.Code, message),
	}}
}

// unsettled is an answer about which the engine came to no verdict.
func (v voice) unsettledAnswer(text rubric.Text, reason string) blocked {
	return blocked{say: v, code: "unsettled", text: source.Shorten(text.Value, shown), one: fact{
		degree: withheld, because: v.unsettled(0, reason), place: wholeAnswer(text),
	}}
}

// evidence takes over the engine's evidence and witness.
func evidence(e *algebra.Evidence, w *algebra.Witness) *Evidence {
	if e == nil && w == nil {
		return nil
	}
	out := &Evidence{Kind: "witness"}
	if e != nil {
		out.Kind, out.Text = e.Kind, e.Text
	}
	if w != nil {
		for _, v := range w.Point {
			out.Witness = append(out.Witness, Value{Name: v.Name, Value: v.Value})
		}
		out.Left, out.Right = w.Left, w.Right
	}
	return out
}

// slipFindings tell the slips that explain a fault.
func (v voice) slipFindings(slips []*slip.Slip, place *Place) []Finding {
	list := []Finding{}
	for _, s := range slips {
		list = append(list, Finding{Code: "slip", State: "met", Place: place, Detail: v.slip(s).Title, Slip: s.ID})
	}
	return list
}

// first is the id of the first slip, "" for none.
func first(slips []*slip.Slip) string {
	if len(slips) == 0 {
		return ""
	}
	return slips[0].ID
}
