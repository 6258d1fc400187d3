package grader

import (
	"squaremark/algebra"
	"squaremark/algebra/source"
)

// values checks that the model answer tells the extreme value and exactly the
// places where it is taken, or exactly where equality holds.
func (c *checker) values(q *question) {
	r := q.rubric
	model := r.Model.Text
	statement := r.Equality
	if statement.IsZero() {
		statement = r.Least
		if statement.IsZero() {
			statement = r.Greatest
		}
		if q.model.value == "" {
			c.add(source.Error, "wrong-key", model.At(), model.Value, "write the value and the place: 11 at x = 7", "expected a model answer that tells the value")
			return
		}
		expression, relation := extreme(r)
		bound := q.engine.Truth("(" + expression + ") " + relation + " (" + q.model.value + ")")
		switch {
		case bound.Unreadable != nil:
			c.fault(statement, bound.Unreadable)
			return
		case bound.Verdict == algebra.Fails:
			c.add(source.Error, "wrong-key", model.At(), model.Value, "", "expected the extreme value%s", compared(bound.Witness, "the expression", "the answer"))
			return
		case bound.Verdict == algebra.Unsettled:
			c.add(source.Error, "unsettled", statement.At(), statement.Value, "", "the engine cannot tell whether the model answer is the extreme value: %s", ended(bound.Reason))
			return
		}
	} else if out := q.engine.Truth(statement.Value); out.Verdict == algebra.Fails {
		c.add(source.Error, "false-claim", statement.At(), statement.Value, "", "expected an inequality that is true for all values%s", compared(out.Witness, "the left side", "the right side"))
		return
	}
	right, _, bad := q.placesAre(q.model.place)
	switch {
	case bad != nil && bad.Field == "left":
		c.fault(statement, bad)
	case bad != nil:
		c.fault(model, bad)
	case right.degree.open():
		c.add(source.Error, "unsettled", model.At(), model.Value, "", "the engine cannot tell whether the model answer names the right places: %s", ended(right.because))
	case !right.degree.full():
		c.add(source.Error, "wrong-key", model.At(), model.Value, "", "expected exactly the places that are asked for: %s", ended(right.because))
	}
}
