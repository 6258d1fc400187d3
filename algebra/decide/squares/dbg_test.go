package squares

import (
	"fmt"
	"squaremark/algebra/budget"
	"squaremark/algebra/decide/internal/written"
	"testing"
	"time"
)

func dbg(text string, normed bool) {
	c, err := written.Conjunction(text, 1<<40)
	if err != nil {
		panic(err)
	}
	l := budget.Default()
	l.Work = 1 << 40
	m := budget.New(l)
	r := c.Ring.With(m)
	st := time.Now()
	w := m.Left()
	lap := func(what string, x ...any) {
		fmt.Println(what, w-m.Left(), time.Since(st), fmt.Sprint(x...))
		st = time.Now()
		w = m.Left()
	}
	s := newSystem(c, r, normed)
	for _, f := range s.facts {
		fmt.Println("  ", r.String(f.p), f.strict, len(f.by))
	}
	lap("system")
	tb, _ := newTable(s)
	lap("table", len(tb.basis))
	points, poss := s.tightPoints(tb)
	lap("points", points, poss)
	for _, d := range s.degrees() {
		ps := s.products(tb, d)
		n := len(ps)
		ps = append(ps, s.positiveMonomials(tb, d, ps)...)
		lap(fmt.Sprint("products d=", d), n, len(ps))
		_, ok := s.linearProof(c, tb, ps, d, s.homogeneous(), points)
		lap("linear", ok)
		if ok {
			return
		}
		_, ok = s.gramProof(c, tb, ps, d, s.homogeneous(), points)
		lap("gram", ok)
		if ok {
			return
		}
	}
}
func TestDbg(t *testing.T) {
	dbg("a > 0; b > 0; c > 0; 1/(a^3+b^3+a*b*c) + 1/(b^3+c^3+a*b*c) + 1/(c^3+a^3+a*b*c) > 1/(a*b*c)", false)
	dbg("r >= 0; s >= 0; t >= 0; r^2 = a^2 + b^2; s^2 = x^2 + y^2; t^2 = (a+x)^2 + (b+y)^2; t > r + s", false)
}
