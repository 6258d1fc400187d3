package move

import (
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// hypothesis is one relation that a step may use, with the line it stands in.
type hypothesis struct {
	atom  *Atom
	diff  poly.Poly
	index int
}

// maxHypotheses bounds how many relations are tried together.
const maxHypotheses = 10

// hypotheses lists the polynomial relations that may be used to reach To: the
// line before first, then earlier lines from the latest on, then the givens.
func (p *Pair) hypotheses() []hypothesis {
	var list []hypothesis
	add := func(l *Line, index int) {
		kids := []*Line{l}
		if l.Shape == Both {
			kids = l.Kids
		}
		for _, k := range kids {
			if k.Shape != Single || len(list) >= maxHypotheses || k.Atom.Sign == poly.Ne {
				continue
			}
			if f, ok := p.polynomial(k.Atom.Diff); ok && !f.IsZero() {
				list = append(list, hypothesis{k.Atom, f, index})
			}
		}
	}
	add(p.From, p.Index)
	for i := len(p.Earlier) - 1; i >= 0; i-- {
		add(p.Earlier[i].Line, p.Earlier[i].Index)
	}
	for _, g := range p.lines {
		add(g, Given)
	}
	return list
}

// combination is a way to write a relation as a sum of multiples of others
// and a number that is not negative.
type combination struct {
	hyps    []hypothesis
	factors []number.Num
	rest    number.Num
}

// combine writes To as a sum of at least two hypotheses: positive multiples
// of inequalities, any multiples of equations, and a number.
func (p *Pair) combine() (combination, bool) {
	if p.To.Shape != Single {
		return combination{}, false
	}
	target := p.To.Atom
	goal, ok := p.polynomial(target.Diff)
	if !ok || target.Sign == poly.Ne || goal.IsZero() {
		return combination{}, false
	}
	hyps := p.hypotheses()
	for i := range hyps {
		for j := i + 1; j < len(hyps); j++ {
			if c, ok := p.span(goal, target.Sign, []hypothesis{hyps[i], hyps[j]}); ok {
				return c, true
			}
		}
	}
	if len(hyps) > 2 {
		if c, ok := p.span(goal, target.Sign, hyps); ok {
			return c, true
		}
		turned := make([]hypothesis, len(hyps))
		for i, h := range hyps {
			turned[len(hyps)-1-i] = h
		}
		return p.span(goal, target.Sign, turned)
	}
	return combination{}, false
}

// span solves goal = Σ factor·hypothesis + rest exactly, first without a rest,
// and checks that the signs of the factors allow the conclusion.
func (p *Pair) span(goal poly.Poly, sign poly.Rel, hyps []hypothesis) (combination, bool) {
	for _, loose := range [...]bool{false, true} {
		if loose && sign == poly.Eq {
			break
		}
		factors, ok := p.solve(goal, hyps, loose)
		if !ok {
			continue
		}
		c := combination{}
		strict := false
		sum := goal
		for i, f := range factors {
			if f.IsZero() {
				continue
			}
			h := hyps[i]
			if h.atom.Sign != poly.Eq && (f.Sign() < 0 || sign == poly.Eq) {
				ok = false
				break
			}
			strict = strict || h.atom.Sign == poly.Gt
			c.hyps, c.factors = append(c.hyps, h), append(c.factors, f)
			sum = p.Ring.Sub(sum, p.Ring.Scale(h.diff, f))
		}
		rest, isNumber := sum.IsConst()
		if !ok || !isNumber || len(c.hyps) < 2 || rest.Sign() < 0 || sign == poly.Eq && !rest.IsZero() {
			continue
		}
		if sign == poly.Gt && !strict && rest.IsZero() {
			continue
		}
		c.rest = rest
		return c, true
	}
	return combination{}, false
}

// solve finds factors with goal - Σ factor·hypothesis equal to 0, or to any
// number when loose, by Gaussian elimination over the coefficients; factors
// that stay free are 0.
func (p *Pair) solve(goal poly.Poly, hyps []hypothesis, loose bool) ([]number.Num, bool) {
	n := len(hyps)
	rows := map[string][]number.Num{}
	var order []string
	enter := func(f poly.Poly, column int) {
		p.Ring.Each(f, func(exps []uint8, c number.Num) bool {
			key := string(exps)
			if loose && allZero(exps) {
				return true
			}
			row, ok := rows[key]
			if !ok {
				row = make([]number.Num, n+1)
				rows[key] = row
				order = append(order, key)
			}
			row[column] = c
			return true
		})
	}
	for i, h := range hyps {
		enter(h.diff, i)
	}
	enter(goal, n)
	matrix := make([][]number.Num, len(order))
	for i, key := range order {
		matrix[i] = rows[key]
	}
	return eliminate(matrix, n)
}

func allZero(exps []uint8) bool {
	for _, e := range exps {
		if e != 0 {
			return false
		}
	}
	return true
}

// eliminate solves a linear system given as rows of n coefficients and a right
// side.
func eliminate(rows [][]number.Num, n int) ([]number.Num, bool) {
	pivots := make([]int, 0, n)
	at := 0
	for col := 0; col < n && at < len(rows); col++ {
		k := at
		for k < len(rows) && rows[k][col].IsZero() {
			k++
		}
		if k == len(rows) {
			continue
		}
		rows[at], rows[k] = rows[k], rows[at]
		inv, _ := rows[at][col].Inv()
		for j := col; j <= n; j++ {
			rows[at][j] = rows[at][j].Mul(inv)
		}
		for i := range rows {
			if i == at || rows[i][col].IsZero() {
				continue
			}
			f := rows[i][col]
			for j := col; j <= n; j++ {
				rows[i][j] = rows[i][j].Sub(f.Mul(rows[at][j]))
			}
		}
		pivots = append(pivots, col)
		at++
	}
	for i := at; i < len(rows); i++ {
		if !rows[i][n].IsZero() {
			return nil, false
		}
	}
	out := make([]number.Num, n)
	for i, col := range pivots {
		out[col] = rows[i][n]
	}
	return out, true
}

// way is the direction that a combination justifies.
func (c combination) way(plain bool) Way {
	w := Way{Status: Proved, Plain: plain}
	for _, h := range c.hyps {
		w.Uses = union(w.Uses, []int{h.index})
	}
	return w
}

// equations reports that only equations are combined.
func (c combination) equations() bool {
	for _, h := range c.hyps {
		if h.atom.Sign != poly.Eq {
			return false
		}
	}
	return true
}
