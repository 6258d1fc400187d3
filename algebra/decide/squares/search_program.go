package squares

import "math"

// spot is an entry of a symmetric constraint matrix: c at (p, q) and (q, p) of
// block k, p ≤ q.
type spot struct {
	k, p, q int
	c       float64
}

// program asks for positive semidefinite blocks X with Σ c·X = b[i] over the
// spots of each row i.
type program struct {
	sizes []int
	rows  [][]spot
	b     []float64
}

// outcome of a program: inner, a solution with room in all directions; onEdge,
// a solution of highest rank that has none; none, no solution.
type outcome int

const (
	none outcome = iota
	inner
	onEdge
)

// reach is the room that is enough: X − reach·I is not asked to be better.
const reach = 1.0

// maxIterations bounds the steps of the interior-point method.
const maxIterations = 45

// interior is the state of the method: primal x, dual y and z, by blocks; the
// last block, of size 1, is the shortfall t: x + (reach − t)·I solves the
// program.
type interior struct {
	rows  [][]spot
	b     []float64
	size  int
	x, z  []square
	zInv  []square
	y     []float64
	byRow [][]int // for each block the rows that have spots in it
}

// solve maximises the least eigenvalue of the solution up to reach, by a
// primal-dual path-following method with predictor and corrector.
//
// Source: C. Helmberg, F. Rendl, R. J. Vanderbei, H. Wolkowicz, An
// interior-point method for semidefinite programming, SIAM J. Optim. 6 (1996);
// S. Mehrotra's corrector (1992) (from memory).
func (s *interior) solve(spend func(int64) bool) (x []square, result outcome) {
	cost := s.cost()
	for range maxIterations {
		if !spend(cost) {
			return nil, none
		}
		rp, rd, mu, pInf, dInf := s.residuals()
		t := s.x[len(s.x)-1].a[0]
		dual := dot(s.b, s.y)
		room := reach - t
		switch {
		case pInf < 1e-8 && room > 0 && (room > reach/2 || dInf < 1e-6 && room > 0.6*(reach-dual)):
			return s.solution(room), inner
		case dInf < 1e-7 && dual > reach+1e-5:
			return nil, none
		case pInf < 1e-7 && dInf < 1e-7 && mu < 1e-11:
			if room > 1e-4 {
				return s.solution(room), inner
			}
			if room < -1e-4 {
				return nil, none
			}
			return s.solution(0), onEdge
		}
		if !s.step(rp, rd, mu) {
			if pInf < 1e-5 && math.Abs(room) < 1e-3 {
				return s.solution(0), onEdge
			}
			return nil, none
		}
	}
	return nil, none
}

func newInterior(g *program) *interior {
	s := &interior{b: append([]float64(nil), g.b...), y: make([]float64, len(g.b))}
	last := len(g.sizes)
	for i, row := range g.rows {
		trace, norm := 0.0, 0.0
		for _, e := range row {
			if e.p == e.q {
				trace += e.c
				norm += e.c * e.c
			} else {
				norm += 2 * e.c * e.c
			}
		}
		scale := 1 / math.Sqrt(norm+trace*trace+1e-300)
		scaled := make([]spot, 0, len(row)+1)
		for _, e := range row {
			e.c *= scale
			scaled = append(scaled, e)
		}
		if trace != 0 {
			scaled = append(scaled, spot{last, 0, 0, -trace * scale})
		}
		s.rows = append(s.rows, scaled)
		s.b[i] = (s.b[i] - reach*trace) * scale
	}
	start := 10.0
	for _, n := range append(append([]int(nil), g.sizes...), 1) {
		x, z := newSquare(n), newSquare(n)
		for i := range n {
			x.a[i*n+i], z.a[i*n+i] = start, start
		}
		s.x, s.z, s.zInv = append(s.x, x), append(s.z, z), append(s.zInv, newSquare(n))
		s.size += n
	}
	s.byRow = make([][]int, len(s.x))
	for i, row := range s.rows {
		for _, e := range row {
			if l := s.byRow[e.k]; len(l) == 0 || l[len(l)-1] != i {
				s.byRow[e.k] = append(l, i)
			}
		}
	}
	return s
}

// cost of one step in budget units, about ten operations each.
func (s *interior) cost() int64 {
	m := int64(len(s.rows))
	flops := m * m * m / 6
	for k, x := range s.x {
		n := int64(x.n)
		flops += 12 * n * n * n
		for _, i := range s.byRow[k] {
			flops += n * n * min(n, 2*int64(len(s.rows[i])))
		}
		flops += int64(len(s.byRow[k])) * int64(len(s.byRow[k])) * 4
	}
	return flops/8 + 50
}

func (s *interior) solution(room float64) []square {
	out := s.x[:len(s.x)-1]
	for _, x := range out {
		for i := range x.n {
			x.a[i*x.n+i] += room
		}
	}
	return out
}

func inner2(row []spot, x []square) float64 {
	sum := 0.0
	for _, e := range row {
		m := x[e.k]
		if e.p == e.q {
			sum += e.c * m.a[e.p*m.n+e.p]
		} else {
			sum += e.c * (m.a[e.p*m.n+e.q] + m.a[e.q*m.n+e.p])
		}
	}
	return sum
}

func (s *interior) residuals() (rp []float64, rd []square, mu, pInf, dInf float64) {
	rp = make([]float64, len(s.rows))
	bNorm := 1.0
	for i, row := range s.rows {
		rp[i] = s.b[i] - inner2(row, s.x)
		pInf = max(pInf, math.Abs(rp[i]))
		bNorm = max(bNorm, math.Abs(s.b[i]))
	}
	rd = make([]square, len(s.z))
	for k, z := range s.z {
		rd[k] = newSquare(z.n)
		for i, v := range z.a {
			rd[k].a[i] = -v
		}
	}
	rd[len(rd)-1].a[0]++
	s.subtractAdjoint(rd, s.y)
	for k, r := range rd {
		for i, v := range r.a {
			dInf = max(dInf, math.Abs(v))
			mu += s.x[k].a[i] * s.z[k].a[i]
		}
	}
	return rp, rd, mu / float64(s.size), pInf / bNorm, dInf
}

// subtractAdjoint subtracts Σ y_i·A_i.
func (s *interior) subtractAdjoint(m []square, y []float64) {
	for i, row := range s.rows {
		v := y[i]
		if v == 0 {
			continue
		}
		for _, e := range row {
			b := m[e.k]
			b.a[e.p*b.n+e.q] -= v * e.c
			if e.p != e.q {
				b.a[e.q*b.n+e.p] -= v * e.c
			}
		}
	}
}
