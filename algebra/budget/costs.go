package budget

// Costs in units of work. One table, so that what a question may cost can be
// read in one place.
const (
	CostToken     = 5   // reading one token
	CostTerm      = 2   // adding, copying or comparing one term
	CostTermMul   = 3   // multiplying two terms with machine-word coefficients
	CostBigMul    = 30  // extra for one coefficient product beyond machine words
	CostRootStep  = 200 // one bisection step of root isolation
	CostEvaluate  = 20  // evaluating one term at a point
	CostCandidate = 50  // one candidate point of a witness search
)
