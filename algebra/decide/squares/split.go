package squares

import (
	"squaremark/algebra/evidence"
)

func (p *prover) split(c *evidence.Conjunction, depth int) (evidence.Refutation, bool) {
	return nil, false
}
