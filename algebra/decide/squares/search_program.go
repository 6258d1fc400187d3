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

// outcome of a program: inner, a solution with room in all directions; tight,
// a solution of highest rank that has none; none, no solution.
type outcome int

const (
	none outcome = iota
	inner
	tight
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
			return s.solution(0), tight
		}
		if !s.step(rp, rd, mu) {
			if pInf < 1e-5 && math.Abs(room) < 1e-3 {
				return s.solution(0), tight
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

// step makes one predictor-corrector step; false when numbers break down.
func (s *interior) step(rp []float64, rd []square, mu float64) bool {
	for k, z := range s.z {
		l := newSquare(z.n)
		if !z.cholesky(l) {
			return false
		}
		l.inverse(s.zInv[k])
	}
	factor, ok := s.schur()
	if !ok {
		return false
	}
	xrz := s.between(s.x, rd)
	base := make([]float64, len(s.rows))
	for i, row := range s.rows {
		base[i] = rp[i] + inner2(row, s.x) + inner2(row, xrz)
	}
	dx, _, dz := s.direction(factor, base, rd, 0, nil)
	ap, ad := stepLength(s.x, dx), stepLength(s.z, dz)
	after := 0.0
	for k := range dx {
		for i := range dx[k].a {
			after += (s.x[k].a[i] + ap*dx[k].a[i]) * (s.z[k].a[i] + ad*dz[k].a[i])
		}
	}
	ratio := after / float64(s.size) / mu
	sigma := min(1, max(ratio*ratio*ratio, 1e-4))
	corrector := s.between(dx, dz)
	dx, dy, dz := s.direction(factor, base, rd, sigma*mu, corrector)
	ap, ad = stepLength(s.x, dx), stepLength(s.z, dz)
	if ap < 1e-8 && ad < 1e-8 {
		return false
	}
	for k := range dx {
		for i := range dx[k].a {
			s.x[k].a[i] += ap * dx[k].a[i]
			s.z[k].a[i] += ad * dz[k].a[i]
		}
	}
	for i := range dy {
		s.y[i] += ad * dy[i]
	}
	return true
}

// between is the symmetric part of u·v·z⁻¹, block by block.
func (s *interior) between(u, v []square) []square {
	out := make([]square, len(u))
	for k := range u {
		t := newSquare(u[k].n)
		t.multiply(u[k], v[k])
		out[k] = newSquare(u[k].n)
		out[k].multiply(t, s.zInv[k])
		out[k].symmetrise()
	}
	return out
}

// direction solves for the step towards x·z = target, less the corrector.
func (s *interior) direction(factor square, base []float64, rd []square, target float64, corrector []square) (dx []square, dy []float64, dz []square) {
	dy = make([]float64, len(base))
	for i, row := range s.rows {
		dy[i] = base[i]
		if target != 0 {
			dy[i] -= target * inner2(row, s.zInv)
		}
		if corrector != nil {
			dy[i] += inner2(row, corrector)
		}
	}
	factor.solve(dy)
	dz = make([]square, len(rd))
	for k := range rd {
		dz[k] = square{rd[k].n, append([]float64(nil), rd[k].a...)}
	}
	s.subtractAdjoint(dz, dy)
	dx = s.between(s.x, dz)
	for k := range dx {
		for i := range dx[k].a {
			v := target*s.zInv[k].a[i] - s.x[k].a[i] - dx[k].a[i]
			if corrector != nil {
				v -= corrector[k].a[i]
			}
			dx[k].a[i] = v
		}
	}
	return dx, dy, dz
}

// schur is the Cholesky factor of the matrix ⟨A_i, x·A_j·z⁻¹⟩.
func (s *interior) schur() (factor square, ok bool) {
	m := newSquare(len(s.rows))
	for k, x := range s.x {
		n := x.n
		w, u := newSquare(n), newSquare(n)
		touched := make([]bool, n)
		for _, j := range s.byRow[k] {
			clear(w.a)
			clear(touched)
			for _, e := range s.rows[j] {
				if e.k != k {
					continue
				}
				addScaled(w.row(e.p), s.zInv[k].row(e.q), e.c)
				touched[e.p] = true
				if e.p != e.q {
					addScaled(w.row(e.q), s.zInv[k].row(e.p), e.c)
					touched[e.q] = true
				}
			}
			clear(u.a)
			for p, t := range touched {
				if !t {
					continue
				}
				for i := range n {
					addScaled(u.row(i), w.row(p), x.a[i*n+p])
				}
			}
			for _, i := range s.byRow[k] {
				if i > j {
					break
				}
				sum := 0.0
				for _, e := range s.rows[i] {
					if e.k != k {
						continue
					}
					if e.p == e.q {
						sum += e.c * u.a[e.p*n+e.p]
					} else {
						sum += e.c * (u.a[e.p*n+e.q] + u.a[e.q*n+e.p])
					}
				}
				m.a[j*m.n+i] += sum
			}
		}
	}
	for i := range m.n {
		m.a[i*m.n+i] *= 1 + 1e-13
		m.a[i*m.n+i] += 1e-300
	}
	factor = newSquare(m.n)
	return factor, m.cholesky(factor)
}

func addScaled(to, from []float64, c float64) {
	for i, v := range from {
		to[i] += c * v
	}
}

// stepLength is a step along d, at most 1, that keeps the blocks positive
// definite.
func stepLength(x, d []square) float64 {
	best := 1.0
	for k := range x {
		l, t := newSquare(x[k].n), newSquare(x[k].n)
		alpha := best
		for range 60 {
			for i := range t.a {
				t.a[i] = x[k].a[i] + alpha*d[k].a[i]
			}
			if t.cholesky(l) {
				break
			}
			alpha *= 0.85
		}
		best = min(best, alpha)
	}
	if best < 1 {
		best *= 0.96
	}
	return best
}
