package squares

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
