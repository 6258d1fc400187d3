package series

import (
	"errors"
	"fmt"

	"squaremark/algebra/budget"
	"squaremark/algebra/formula"
	"squaremark/algebra/poly"
)

// claim says that p is the sum of the parts plus e, for every n ≥ Proof.From.
type claim struct {
	scope *formula.Scope
	p     poly.Poly
	ends  *formula.Scope
	e     formula.Fraction
	parts []part
}

// part is the sum of f over its running indices from 1 to n + to; over
// different ones only where distinct is set.
type part struct {
	win      *formula.Window
	f        formula.Fraction
	to       int64
	copies   int
	distinct bool
}

func (s *prover) claim(c claim) {
	s.proof.claims = append(s.proof.claims, c)
	text := s.Scope.Ring.String(c.p) + " is"
	parts := 0
	for _, p := range c.parts {
		if p.f.Num.IsZero() {
			continue
		}
		if parts++; parts > 1 {
			text += " and"
		}
		where := ""
		if p.distinct {
			where = " over different indices"
		}
		text += fmt.Sprintf(" the sum%s of %s", where, show(p.win.Scope, p.f))
	}
	switch {
	case c.e.Num.IsZero() && parts == 0:
		text += " zero"
	case parts == 0:
		text += " " + show(c.ends, c.e)
	case !c.e.Num.IsZero():
		text += ", plus " + show(c.ends, c.e)
	}
	s.step("%s", text)
	for k := range s.Sums.Atoms {
		if v, ok := s.Scope.Ring.Index(s.Sums.Atoms[k].Name); ok && s.Scope.Ring.DegreeIn(c.p, v) > 0 {
			s.step("%s", s.Sums.Text(k))
		}
	}
}

func show(scope *formula.Scope, f formula.Fraction) string {
	if p, ok := scope.IsPolynomial(f); ok {
		return scope.Ring.String(p)
	}
	return "(" + scope.Ring.String(f.Num) + ")/(" + scope.Ring.String(f.Den) + ")"
}

// Recheck writes every claim out for n terms, with the sums of the question's
// own text, and compares both sides as fractions. Errors: a claim that does
// not hold; what WriteOut reports, among it an exhausted meter.
func (p *Proof) Recheck(n int64, m *budget.Meter) error {
	for _, c := range p.claims {
		if err := p.recheck(c, n, m); err != nil {
			return err
		}
	}
	return nil
}

var errClaim = errors.New("a claim about sums does not hold when it is written out")

// table gathers the places of variables to be written out.
type table struct {
	places []formula.Place
	rows   [][]int // for each use, the place of each variable; -1 for none
}

func (t *table) row(vars []int, length int, place func(v int) formula.Place) {
	row := make([]int, length)
	for i := range row {
		row[i] = -1
	}
	for _, v := range vars {
		row[v] = len(t.places)
		t.places = append(t.places, place(v))
	}
	t.rows = append(t.rows, row)
}

func (p *Proof) recheck(c claim, n int64, m *budget.Meter) error {
	var t table
	outer := func(scope *formula.Scope, f formula.Fraction) {
		t.row(varsOf(scope.Ring, f), scope.Ring.Len(), func(v int) formula.Place { return p.sums.OuterPlace(scope, v) })
	}
	left := one(c.scope.Ring, c.p)
	outer(c.scope, left)
	outer(c.ends, c.e)
	for _, q := range c.parts {
		each(q, n, func(index []int64) {
			t.row(varsOf(q.win.Ring, q.f), q.win.Ring.Len(), func(v int) formula.Place { return q.win.Place(v, index...) })
		})
	}
	scope, values, err := p.sums.WriteOut(n, m, t.places)
	if err != nil {
		return err
	}
	use := 0
	put := func(ring *poly.Ring, f formula.Fraction) formula.Fraction {
		row := t.rows[use]
		use++
		value := func(v int) formula.Fraction { return values[row[v]] }
		num, den := scope.Put(ring, f.Num, value), scope.Put(ring, f.Den, value)
		return scope.Times(num, formula.Fraction{Num: den.Den, Den: den.Num})
	}
	want := put(c.scope.Ring, left)
	got := put(c.ends.Ring, c.e)
	for _, q := range c.parts {
		each(q, n, func([]int64) { got = scope.Plus(got, put(q.win.Ring, q.f)) })
	}
	if want.Den.IsZero() || got.Den.IsZero() || !scope.Equal(want, got) {
		return errClaim
	}
	return m.Err()
}

func varsOf(r *poly.Ring, f formula.Fraction) []int {
	seen := make([]bool, r.Len())
	var list []int
	for _, p := range []poly.Poly{f.Num, f.Den} {
		for _, v := range r.Vars(p) {
			if !seen[v] {
				seen[v] = true
				list = append(list, v)
			}
		}
	}
	return list
}

// each visits the running indices of a part.
func each(q part, n int64, visit func([]int64)) {
	index := make([]int64, q.copies)
	var run func(c int)
	run = func(c int) {
		if c == q.copies {
			visit(index)
			return
		}
		for i := int64(1); i <= n+q.to; i++ {
			if q.distinct && c > 0 && index[0] == i {
				continue
			}
			index[c] = i
			run(c + 1)
		}
	}
	run(0)
}
