package integer

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"squaremark/algebra/decide/onevar"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/poly/uni"
)

// family is a part of the solution set with infinitely many members: the
// unknowns are the values of back where the slots satisfy the conditions (and
// the slot of runs lies in them).
type family struct {
	back  []poly.Poly
	conds []poly.Condition
	runs  onevar.Runs
	slot  int // of runs; −1 for none
	note  string
}

// emit records a solution, or a family when slots are left free.
func (s *search) emit(p *problem, runs onevar.Runs, slot int) bool {
	tuple := make([]*big.Int, len(p.back))
	for i, b := range p.back {
		v, ok := b.IsConst()
		if !ok {
			return s.addFamily(family{back: p.back, runs: runs, slot: slot})
		}
		tuple[i] = v.Floor()
	}
	if len(runs) == 0 && slot >= 0 {
		return true
	}
	return s.record(tuple)
}

// costListed is the price of one solution: kept, sorted, put into the question
// and written out.
const costListed = 100

// record keeps one solution.
func (s *search) record(tuple []*big.Int) bool {
	if !s.m.Spend(costListed) {
		return false
	}
	var room [64]byte
	key := room[:0]
	for _, k := range tuple {
		key = append(k.Append(key, 62), ',')
	}
	if _, known := s.found[string(key)]; known {
		return true
	}
	if s.found[string(key)] = tuple; len(s.found) > MaxListed {
		return s.tooMany()
	}
	return true
}

func (s *search) tooMany() bool {
	return s.giveUp(fmt.Sprintf("there are more solutions than the %d that are listed", MaxListed))
}

// listAll records the solutions with each value of slot v, of which the
// unknowns are polynomials; done is false when another slot is left free.
func (s *search) listAll(p *problem, v int, runs onevar.Runs) (done, settled bool) {
	forms := make([]uni.Uni, len(p.back))
	varies := false
	for i, b := range p.back {
		f, ok := s.ring.ToUni(b, v)
		if !ok {
			return false, false
		}
		forms[i] = f
		varies = varies || f.Degree() == 1
	}
	// A linear form has another value for each value of the slot.
	if varies && runs.Len().Cmp(big.NewInt(MaxListed)) > 0 {
		return true, s.tooMany()
	}
	for _, run := range runs {
		for k := run.Lo; k.Cmp(run.Hi) <= 0; k = new(big.Int).Add(k, one) {
			tuple := make([]*big.Int, len(forms))
			for i, f := range forms {
				tuple[i] = f.Eval(number.FromBigInt(k)).Floor()
			}
			if !s.record(tuple) {
				return true, false
			}
		}
	}
	return true, true
}

func (s *search) addFamily(f family) bool {
	if len(s.families) >= maxFamilies {
		return s.giveUp("the solution set has too many parts to be described")
	}
	s.families = append(s.families, f)
	return true
}

// text describes the family in the unknowns: "x = y", "x >= 3 and y = 1",
// "x = 2 + 3*t and y = 1 - 2*t for integers t".
func (s *search) text(f family) string {
	f, names, free := s.named(f)
	ring := poly.NewRing(names, s.m)
	var parts []string
	for i, g := range f.back {
		if text := ring.String(g); text != s.unknowns[i] {
			parts = append(parts, s.unknowns[i]+" = "+text)
		}
	}
	if f.slot >= 0 {
		text := f.runs.Text(names[f.slot])
		if len(f.runs) > 1 && (len(parts) > 0 || len(f.conds) > 0) {
			text = "(" + text + ")"
		}
		if len(f.runs.Complement()) > 0 {
			parts = append(parts, text)
		}
	}
	for _, c := range f.conds {
		parts = append(parts, conditionText(ring, c))
	}
	if len(parts) == 0 {
		return strings.Join(s.unknowns, ", ") + " are any integers"
	}
	text := strings.Join(parts, " and ")
	if len(free) > 0 {
		text += " for integers " + strings.Join(free, ", ")
	}
	return text + f.note
}

// covers reports that a tuple is seen to belong to a family: each slot is, up
// to sign and a constant, one of the unknowns, and everything fits.
func (s *search) covers(f family, tuple []*big.Int) bool {
	f, names, _ := s.named(f)
	at := make([]number.Num, s.ring.Len())
	for v, name := range names {
		if i := slices.Index(s.unknowns, name); i >= 0 {
			at[v] = number.FromBigInt(tuple[i])
		}
	}
	for i, b := range f.back {
		if !s.ring.EvalAll(b, at).Equal(number.FromBigInt(tuple[i])) {
			return false
		}
	}
	for _, c := range f.conds {
		if !c.Rel.Holds(s.ring.EvalAll(c.P, at).Sign()) {
			return false
		}
	}
	return f.slot < 0 || f.runs.Contains(at[f.slot].Floor())
}

// named gives each slot in use the name of an unknown that it equals, after a
// shift or a change of sign where that helps, and a new letter otherwise.
func (s *search) named(f family) (g family, names, free []string) {
	r := s.ring
	used := make([]bool, r.Len())
	for _, b := range f.back {
		for _, v := range r.Vars(b) {
			used[v] = true
		}
	}
	names = make([]string, r.Len())
	taken := make([]bool, len(f.back))
	g = f
	for v := range used {
		names[v] = "_" + strings.Repeat("_", v)
		if !used[v] {
			continue
		}
		for i := len(g.back) - 1; i >= 0; i-- { // x = y rather than y = x
			b := g.back[i]
			if cs := r.Coeffs(b, v); !taken[i] && len(cs) == 2 {
				a, ok1 := cs[1].IsConst()
				k, ok2 := cs[0].IsConst()
				if !ok1 || !ok2 || !a.Abs().IsOne() || v == f.slot && !(a.IsOne() && k.IsZero()) {
					continue
				}
				// unknown = a·v + k, so v = a·unknown − a·k.
				image := r.Add(r.Scale(r.Var(v), a), r.Const(a.Mul(k).Neg()))
				g = s.reparametrised(g, v, image)
				names[v], taken[i] = s.unknowns[i], true
				break
			}
		}
	}
	for v := range used {
		if !used[v] || !strings.HasPrefix(names[v], "_") {
			continue
		}
		for _, l := range [...]string{"t", "s", "r", "q", "p", "k", "l", "m", "n", "u", "v", "w"} {
			if !slices.Contains(s.unknowns, l) && !slices.Contains(names, l) {
				if v != f.slot {
					g = s.shifted(g, v)
				}
				names[v] = l
				free = append(free, l)
				break
			}
		}
	}
	return g, names, free
}

// shifted starts a parameter where the first unknown that is linear in it
// alone has its least non-negative value: 3t + 2 rather than −3t − 7.
func (s *search) shifted(f family, v int) family {
	for _, b := range f.back {
		cs := s.ring.Coeffs(b, v)
		if len(cs) != 2 {
			continue
		}
		a, ok1 := cs[1].IsConst()
		k, ok2 := cs[0].IsConst()
		if !ok1 || !ok2 {
			continue
		}
		size := a.Abs()
		ratio, _ := k.Div(size)
		turns := number.FromBigInt(ratio.Floor())
		image := s.ring.Scale(s.ring.Sub(s.ring.Var(v), s.ring.Const(turns)), number.Int(int64(a.Sign())))
		return s.reparametrised(f, v, image)
	}
	return f
}

func (s *search) reparametrised(f family, v int, image poly.Poly) family {
	g := f
	g.back = make([]poly.Poly, len(f.back))
	for i, b := range f.back {
		g.back[i] = s.ring.Subst(b, v, image)
	}
	g.conds = make([]poly.Condition, len(f.conds))
	for i, c := range f.conds {
		g.conds[i] = poly.Condition{P: s.ring.Subst(c.P, v, image), Rel: c.Rel}
	}
	return g
}

// conditionText writes P Rel 0 with the negative terms on the other side:
// x^2 <= y + 3.
func conditionText(r *poly.Ring, c poly.Condition) string {
	var left, right poly.Poly
	r.Each(c.P, func(exps []uint8, k number.Num) bool {
		if t := r.Monomial(k, powers(exps)); k.Sign() > 0 {
			left = r.Add(left, t)
		} else {
			right = r.Sub(right, t)
		}
		return true
	})
	rel := c.Rel
	if _, constant := left.IsConst(); constant && !right.IsZero() {
		left, right = right, left
		if rel != poly.Eq && rel != poly.Ne {
			rel = rel.Flip()
		}
	}
	return r.String(left) + " " + rel.String() + " " + r.String(right)
}
