package rubric

import "math/big"

// Why a criterion gives less than it earned.
const (
	NotBest = "not-best" // another group of best-of counts
	Capped  = "capped"   // the marks of its group are bounded
)

// Settle applies best-of and the caps to what the criteria of the mark scheme
// earned, in their order. lifted tells whether the finding of a cap is met. The
// result is new; why tells for each criterion what took marks away, or "".
//
// Of best-of the group with the most marks counts, the first of equal ones. A
// cap takes from the last of its criteria first. Caps are applied in order.
func (q *Question) Settle(earned []*big.Rat, lifted func(finding string) bool) (settled []*big.Rat, why []string) {
	settled, why = make([]*big.Rat, len(earned)), make([]string, len(earned))
	at := map[string]int{}
	for i, c := range q.Marks {
		settled[i] = new(big.Rat).Set(earned[i])
		at[c.ID.Value] = i
	}
	sum := func(ids []Text) *big.Rat {
		total := new(big.Rat)
		for _, id := range ids {
			if i, ok := at[id.Value]; ok {
				total.Add(total, settled[i])
			}
		}
		return total
	}
	best := 0
	for g, ids := range q.BestOf {
		if sum(ids).Cmp(sum(q.BestOf[best])) > 0 {
			best = g
		}
	}
	for g, ids := range q.BestOf {
		for _, id := range ids {
			if i, ok := at[id.Value]; ok && g != best {
				settled[i], why[i] = new(big.Rat), NotBest
			}
		}
	}
	for _, c := range q.Caps {
		if !c.Unless.IsZero() && lifted(c.Unless.Value) {
			continue
		}
		over := new(big.Rat).Sub(sum(c.Of), c.AtMost)
		for k := len(c.Of) - 1; k >= 0 && over.Sign() > 0; k-- {
			i, ok := at[c.Of[k].Value]
			if !ok || settled[i].Sign() == 0 {
				continue
			}
			take := settled[i]
			if take.Cmp(over) > 0 {
				take = over
			}
			settled[i], why[i] = new(big.Rat).Sub(settled[i], take), Capped
			over = new(big.Rat).Sub(over, take)
		}
	}
	return settled, why
}

// attainable is what an answer gets that earns every mark: of each group of
// best-of alone, the most.
func (q *Question) attainable() *big.Rat {
	most := new(big.Rat)
	for g := 0; g < max(1, len(q.BestOf)); g++ {
		other := map[string]bool{}
		for k, ids := range q.BestOf {
			for _, id := range ids {
				other[id.Value] = k != g
			}
		}
		earned := make([]*big.Rat, len(q.Marks))
		for i, c := range q.Marks {
			earned[i] = new(big.Rat)
			if c.Worth != nil && !other[c.ID.Value] {
				earned[i] = c.Worth
			}
		}
		settled, _ := q.Settle(earned, func(string) bool { return true })
		if total := sumOf(settled); total.Cmp(most) > 0 {
			most = total
		}
	}
	return most
}

func sumOf(list []*big.Rat) *big.Rat {
	total := new(big.Rat)
	for _, v := range list {
		total.Add(total, v)
	}
	return total
}

// groupsOf reads best-of and the caps of a question.
func (f fields) groupsOf(q *Question) {
	for _, key := range []string{"best-of", "caps"} {
		list := f.kids[key]
		switch {
		case list == nil:
			continue
		case !q.OwnMarks:
			f.add(f.withoutMarks(f.keyAt[key]))
			continue
		case list.shape != sequence || len(list.kids) == 0 || key == "best-of" && len(list.kids) < 2:
			f.add(f.wanted(list, map[string]string{"best-of": "a list of two or more groups of criteria", "caps": "a list of caps"}[key]))
			continue
		}
		for _, k := range list.kids {
			if key == "best-of" {
				q.BestOf = append(q.BestOf, f.textsOf(k, key))
			} else if c := f.cap(k, q.Kind); c != nil {
				q.Caps = append(q.Caps, c)
			}
		}
	}
}

func (l *loader) cap(n *node, kind Kind) *Cap {
	f, ok := l.open("cap", n)
	if !ok {
		return nil
	}
	c := &Cap{At: f.at, Of: f.texts("of"), AtMost: f.marks("at-most", false), Unless: f.text("unless")}
	if c.AtMost == nil {
		c.AtMost = new(big.Rat)
	}
	if !c.Unless.IsZero() {
		l.known(c.Unless, kind)
	}
	return c
}
