package decide

import "squaremark/algebra/evidence"

// remap turns a refutation of a part into one of the whole: condition k of the
// part is condition to[k] of the whole. Conditions that Cases add come after
// those of the conjunction, so they move by the difference in length.
func remap(r evidence.Refutation, to []int, whole int) evidence.Refutation {
	index := func(k int) int {
		if k < len(to) {
			return to[k]
		}
		return whole + k - len(to)
	}
	list := func(ks []int) []int {
		if ks == nil {
			return nil
		}
		out := make([]int, len(ks))
		for i, k := range ks {
			out[i] = index(k)
		}
		return out
	}
	switch r := r.(type) {
	case *evidence.Combination:
		out := &evidence.Combination{}
		for _, t := range r.Terms {
			out.Terms = append(out.Terms, evidence.Term{
				Coef: t.Coef, Root: t.Root, Factors: list(t.Factors), NonZero: list(t.NonZero),
			})
		}
		for _, m := range r.Multiples {
			out.Multiples = append(out.Multiples, evidence.Multiple{Cond: index(m.Cond), By: m.By})
		}
		return out
	case *evidence.Cases:
		return &evidence.Cases{P: r.P, Neg: remap(r.Neg, to, whole), Zero: remap(r.Zero, to, whole), Pos: remap(r.Pos, to, whole)}
	case *evidence.Substitution:
		return &evidence.Substitution{Cond: index(r.Cond), Var: r.Var, Value: r.Value, Then: remap(r.Then, to, whole)}
	case *evidence.OneVariable:
		return &evidence.OneVariable{Var: r.Var, Use: list(r.Use), Roots: r.Roots}
	}
	return nil
}
