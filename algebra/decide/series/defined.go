package series

import (
	"squaremark/algebra/decide"
	"squaremark/algebra/evidence"
)

// Defined reports that the summands of the first sums that were rewritten are
// defined for every value of the index, by the assumptions for every index.
// Cost: bounded by the meter of the scope's ring.
func Defined(p *Problem, sums int) bool {
	for k := range sums {
		w, body, ok, err := p.Sums.Body(k)
		if !ok || err != nil {
			return false
		}
		scope := on(w.Scope, p.Scope.Ring.Meter().Part(workMember))
		if len(body.Domain) > 0 && decide.Always(scope, w.Given, conditions(body.Domain)).Verdict != evidence.Holds {
			return false
		}
	}
	return true
}
