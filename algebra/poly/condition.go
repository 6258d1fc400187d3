package poly

// Rel compares a polynomial with zero.
type Rel uint8

const (
	Eq Rel = iota // = 0
	Ne            // ≠ 0
	Lt            // < 0
	Le            // ≤ 0
	Gt            // > 0
	Ge            // ≥ 0
)

// String is the plain sign: = != < <= > >=.
func (r Rel) String() string { return [...]string{"=", "!=", "<", "<=", ">", ">="}[r] }

// Not is the relation that holds exactly where r does not.
func (r Rel) Not() Rel { return [...]Rel{Ne, Eq, Ge, Gt, Le, Lt}[r] }

// Flip is the relation of -p where r is that of p.
func (r Rel) Flip() Rel { return [...]Rel{Eq, Ne, Gt, Ge, Lt, Le}[r] }

// Strict reports <, > and ≠: relations that zero does not satisfy.
func (r Rel) Strict() bool { return r == Ne || r == Lt || r == Gt }

// Holds reports whether a number of this sign (-1, 0, 1) stands in relation r
// to zero.
func (r Rel) Holds(sign int) bool {
	switch r {
	case Eq:
		return sign == 0
	case Ne:
		return sign != 0
	case Lt:
		return sign < 0
	case Le:
		return sign <= 0
	case Gt:
		return sign > 0
	default:
		return sign >= 0
	}
}

// Condition is a sign condition on a polynomial: P Rel 0 (Basu, Pollack, Roy,
// Algorithms in Real Algebraic Geometry, section 2.1: from memory). It is the
// one form to which every relation of a line is brought.
type Condition struct {
	P   Poly
	Rel Rel
}

// Not is the condition that holds exactly where c does not.
func (c Condition) Not() Condition { return Condition{c.P, c.Rel.Not()} }
