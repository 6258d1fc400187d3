package move

import (
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// Earlier is a line that a step may use besides the one before it.
type Earlier struct {
	Line  *Line
	Index int // Given for a given
}

// Pair is two lines, with what the moves find out about them together.
type Pair struct {
	*Setting
	From, To *Line
	Index    int       // of From
	Earlier  []Earlier // may be used to get from From to To
	Restate  bool      // To may repeat a given: the argument starts at facts
	Fact     bool      // To may be a new fact of its own
	Known    bool      // To may be a fact that one has to know, not only to see
	OneWay   bool      // only the direction from From to To is claimed
	Back     bool      // only the direction from To to From is
	same     *Result   // what the core of rewriting says
	scale    number.Num
	factors  *factoring
}

// Between makes a pair.
func (s *Setting) Between(from, to *Line, index int, earlier []Earlier) *Pair {
	return &Pair{Setting: s, From: from, To: to, Index: index, Earlier: earlier}
}

// atoms gives the two relations of a pair of single ones.
func (p *Pair) atoms() (a, b *Atom, ok bool) {
	if p.From.Shape != Single || p.To.Shape != Single {
		return nil, nil, false
	}
	return p.From.Atom, p.To.Atom, true
}

// rewriting is the core of all rewriting: two relations are the same
// statement when left minus right is the same up to a positive factor (any
// factor other than 0 for = and ≠). scale is the c with the first difference c
// times the second. Relations that differ in strictness only go one way.
func (p *Pair) rewriting() (r Result, scale number.Num) {
	if p.same == nil {
		r, c := p.rewrite()
		p.same, p.scale = &r, c
	}
	return *p.same, p.scale
}

func (p *Pair) rewrite() (Result, number.Num) {
	a, b, ok := p.atoms()
	if !ok {
		return refused(CodeShape), number.Num{}
	}
	c, ok := p.proportional(a.Diff, b.Diff)
	if !ok || c.IsZero() {
		return refused(CodeUnequal), c
	}
	var r Result
	if a.Diff.Num.IsZero() {
		if !a.Sign.Holds(0) || !b.Sign.Holds(0) {
			return refused(CodeUnequal), c
		}
		r = bothWays
	} else {
		if passes(a.Sign, b.Sign, c.Sign()) {
			r.Forward = proved
		}
		if passes(b.Sign, a.Sign, c.Sign()) {
			r.Backward = proved
		}
	}
	if !r.found() {
		return refused(CodeUnequal), c
	}
	return p.whereDefined(r), c
}

// whereDefined adds to both directions that the line they lead to is defined.
func (p *Pair) whereDefined(r Result) Result {
	a, b, ok := p.atoms()
	if !ok {
		return r
	}
	if r.Forward.Status != No && len(b.Domain) > 0 {
		r.Forward = r.Forward.both(p.defined(p.From, b))
	}
	if r.Backward.Status != No && len(a.Domain) > 0 {
		r.Backward = r.Backward.both(p.defined(p.To, a))
	}
	return r
}

// passes reports that d from 0 gives k·d to 0 for a number k of the given sign.
func passes(from, to poly.Rel, k int) bool {
	if k < 0 && from != poly.Eq && to != poly.Ne {
		return false
	}
	return weaker(from, to)
}

// reversible reports that both directions are proved.
func (r Result) reversible() bool {
	return r.Forward.Status == Proved && r.Backward.Status == Proved
}

// rewrites is the result of a rewriting move whose form fits the pair: that of
// the core where it is reversible or conditional, nothing else.
func (p *Pair) rewrites(fits bool) Result {
	r, _ := p.rewriting()
	if !r.found() {
		return r
	}
	if !fits {
		return refused(CodeShape)
	}
	return r
}

// sidewise compares the sides of the two relations one by one, turned so that
// greater goes with greater. swapped tells that an equation was turned.
func (p *Pair) sidewise() (great, small, swapped bool) {
	a, b, ok := p.atoms()
	if !ok {
		return false, false, false
	}
	great, small = p.Setting.same(a.great(), b.great()), p.Setting.same(a.small(), b.small())
	if !(great && small) && (a.Sign == poly.Eq || a.Sign == poly.Ne) &&
		p.Setting.same(a.great(), b.small()) && p.Setting.same(a.small(), b.great()) {
		return true, true, true
	}
	return great, small, false
}

// sideEqual reports that both sides keep their values.
func (p *Pair) sideEqual() bool {
	great, small, _ := p.sidewise()
	return great && small
}

// matched gives the sides of the two relations that belong together.
func (p *Pair) matched() (pairs [2][2]*Side) {
	a, b := p.From.Atom, p.To.Atom
	_, _, swapped := p.sidewise()
	if swapped {
		return [2][2]*Side{{&a.Left, &b.Right}, {&a.Right, &b.Left}}
	}
	return [2][2]*Side{{a.Great(), b.Great()}, {a.Small(), b.Small()}}
}

// fraction is a polynomial over 1.
func (s *Setting) fraction(f poly.Poly) formula.Fraction {
	return formula.Fraction{Num: f, Den: s.Ring.Int(1)}
}
