package move

// Justification is what the catalogue says about a step: each direction with
// the moves that lead there.
type Justification struct {
	Forward, Backward           Way
	ForwardMoves, BackwardMoves []string
}

// Reversible reports that moves lead both ways.
func (j Justification) Reversible() bool {
	return j.Forward.Status == Proved && j.Backward.Status == Proved
}

// Justify looks for moves from one line to another: a run of rewritings and at
// most two other moves. Lines that consist of several relations are compared
// part by part.
// Cost: bounded by the setting's meter; a rewriting costs one comparison of
// polynomials and a look at the form of the lines.
func (p *Pair) Justify() Justification {
	j := p.direct()
	if j.Reversible() {
		return j
	}
	if j.Forward.Status != Proved {
		if w, ids := p.partwise(p.From, p.To, p.Earlier, 0); w.Status == Proved {
			j.Forward, j.ForwardMoves = w, ids
		}
	}
	if j.Backward.Status != Proved {
		if w, ids := p.partwise(p.To, p.From, nil, 0); w.Status == Proved {
			j.Backward, j.BackwardMoves = w, ids
		}
	}
	if !p.enough(j) {
		p.twoMoves(&j)
	}
	return j
}

// enough reports that moves lead in every direction that is claimed.
func (p *Pair) enough(j Justification) bool {
	return (p.Back || j.Forward.Status == Proved) && (p.OneWay || j.Backward.Status == Proved)
}

// direct tries the catalogue on the pair as it stands.
func (p *Pair) direct() Justification {
	var j Justification
	if r, _ := p.rewriting(); r.found() {
		j.Forward, j.Backward = r.Forward, r.Backward
		ids := p.rewritingNames()
		j.ForwardMoves, j.BackwardMoves = ids, ids
		if r.reversible() {
			return j
		}
		if a, b, ok := p.atoms(); ok && a.Sign != b.Sign {
			ids = append(ids[:len(ids):len(ids)], strictToLoose.ID)
			j.ForwardMoves, j.BackwardMoves = ids, ids
			return j
		}
	}
	for _, m := range rest() {
		r := m.Try(p)
		if better := j.Forward.better(r.Forward); better.Status != j.Forward.Status || better.Plain != j.Forward.Plain {
			j.Forward, j.ForwardMoves = better, []string{m.ID}
		}
		if better := j.Backward.better(r.Backward); better.Status != j.Backward.Status || better.Plain != j.Backward.Plain {
			j.Backward, j.BackwardMoves = better, []string{m.ID}
		}
		if j.Reversible() && j.Forward.Plain && j.Backward.Plain || p.Ring.Meter().Exhausted() {
			break
		}
	}
	return j
}

// rewritingNames names a run of rewritings: squares that were made, or else
// how the line is written, and what was done to both sides.
func (p *Pair) rewritingNames() []string {
	var ids []string
	first := func(group []*Move, most int) {
		for _, m := range group {
			if most > 0 && m.Try(p).found() {
				ids = append(ids, m.ID)
				most--
			}
		}
	}
	first(squares, 2)
	if len(ids) == 0 {
		first(written, 1)
	}
	first(across, 1)
	first([]*Move{&solveLinear}, 1)
	if ids == nil {
		ids = []string{rearrange.ID}
	}
	return ids
}

// maxDepth bounds the parts within parts that are compared.
const maxDepth = 4

// partwise looks for the way from one line to another that consists of
// several relations: to each of several that must all hold, from each of
// several cases, to one of several, from one of several.
func (p *Pair) partwise(from, to *Line, earlier []Earlier, depth int) (Way, []string) {
	if depth > maxDepth || p.Ring.Meter().Exhausted() || from.Shape == Single && to.Shape == Single && depth == 0 {
		return Way{}, nil
	}
	if depth > 0 {
		q := p.Between(from, to, p.Index, earlier)
		q.Fact, q.Known, q.Restate = p.Fact, p.Known, p.Restate
		j := q.direct()
		if j.Forward.Status == Proved || from.Shape == Single && to.Shape == Single {
			return j.Forward, j.ForwardMoves
		}
	}
	switch {
	case to.Shape == Both:
		return p.every(to.Kids, func(k *Line) (Way, []string) { return p.partwise(from, k, earlier, depth+1) })
	case from.Shape == Either:
		return p.every(from.Kids, func(k *Line) (Way, []string) { return p.partwise(k, to, earlier, depth+1) })
	case to.Shape == Either && from.Shape == Single:
		return p.some(to.Kids, func(k *Line) (Way, []string) { return p.partwise(from, k, earlier, depth+1) })
	case from.Shape == Both:
		w, ids := p.some(from.Kids, func(k *Line) (Way, []string) { return p.partwise(k, to, earlier, depth+1) })
		if w.Status != Proved && to.Shape == Single {
			if v, more := p.withTheOthers(from, to); v.Status == Proved {
				return v, more
			}
		}
		if w.Status != Proved && to.Shape == Either {
			if v, more := p.some(to.Kids, func(k *Line) (Way, []string) { return p.partwise(from, k, earlier, depth+1) }); v.Status > w.Status {
				return v, more
			}
		}
		return w, ids
	}
	return Way{}, nil
}

// withTheOthers goes from one of several relations that all hold to a single
// one, with the others supposed.
func (p *Pair) withTheOthers(from, to *Line) (Way, []string) {
	for i, k := range from.Kids {
		if k.Shape != Single || p.Ring.Meter().Exhausted() {
			continue
		}
		others := append(append([]*Line(nil), from.Kids[:i]...), from.Kids[i+1:]...)
		j := p.supposing(others).Between(k, to, p.Index, nil).direct()
		if j.Forward.Status == Proved {
			return Way{Status: Proved, Plain: j.Forward.Plain}, j.ForwardMoves
		}
	}
	return Way{}, nil
}

func (p *Pair) every(kids []*Line, try func(*Line) (Way, []string)) (Way, []string) {
	total := proved
	var ids []string
	for _, k := range kids {
		w, more := try(k)
		if w.Status == No {
			return w, nil
		}
		total = total.both(w)
		ids = unite(ids, more)
	}
	return total, ids
}

func (p *Pair) some(kids []*Line, try func(*Line) (Way, []string)) (Way, []string) {
	var best Way
	var ids []string
	for _, k := range kids {
		w, more := try(k)
		if w.Status == Proved {
			return w, more
		}
		if w.Status > best.Status {
			best, ids = w, more
		}
	}
	return best, ids
}

func unite(a, b []string) []string {
	for _, id := range b {
		seen := false
		for _, x := range a {
			seen = seen || x == id
		}
		if !seen {
			a = append(a, id)
		}
	}
	return a
}
