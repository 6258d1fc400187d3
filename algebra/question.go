package algebra

import (
	"squaremark/algebra/budget"
	"squaremark/algebra/formula"
)

// Question is the setting of one or more questions: the variables with their
// ranges and the assumptions, read once. A Question is immutable and may be
// used by many goroutines; each call gets a meter of its own.
type Question struct {
	vars   []formula.Variable
	assume []reading
	limits budget.Limits
}
