package rubric

// verify checks what concerns several parts of a file.
func (l *loader) verify(r *Rubric) {
	ids := map[string]Text{}
	for _, q := range r.Questions {
		if other, twice := ids[q.ID.Value]; twice && !q.ID.IsZero() {
			l.add(l.idTwice(q.ID, other, "question"))
		}
		ids[q.ID.Value] = q.ID
		l.dependencies(q)
		l.mathematics(q.Givens...)
		l.mathematics(q.Solve...)
		l.mathematics(q.Expression, q.Claim, q.Least, q.Greatest, q.Equality)
		if q.Kind != Values {
			l.mathematics(q.Model.Text)
		}
		for _, line := range q.Model.Lines {
			l.mathematics(line.Text)
		}
	}
}

// dependencies checks the ids of a mark scheme and that no criterion needs
// itself, however indirectly.
func (l *loader) dependencies(q *Question) {
	byID := map[string]*Criterion{}
	var names []string
	for _, c := range q.Marks {
		if other := byID[c.ID.Value]; other != nil && !c.ID.IsZero() {
			l.add(l.idTwice(c.ID, other.ID, "criterion"))
			continue
		}
		byID[c.ID.Value] = c
		names = append(names, c.ID.Value)
	}
	for _, c := range q.Marks {
		for _, need := range c.Needs {
			l.criterionKnown(need, byID, names)
		}
	}
	seen := map[string]Text{}
	for _, group := range q.BestOf {
		for _, id := range group {
			if other, twice := seen[id.Value]; twice {
				l.add(l.idTwice(id, other, "criterion"))
			}
			seen[id.Value] = id
			l.criterionKnown(id, byID, names)
		}
	}
	for _, c := range q.Caps {
		for _, id := range c.Of {
			l.criterionKnown(id, byID, names)
		}
	}
	const (
		open = iota + 1
		done
	)
	state := map[*Criterion]int{}
	var visit func(c *Criterion) bool
	visit = func(c *Criterion) bool {
		switch state[c] {
		case done:
			return true
		case open:
			return false
		}
		state[c] = open
		ok := true
		for _, need := range c.Needs {
			if next := byID[need.Value]; next != nil && !visit(next) {
				ok = false
			}
		}
		state[c] = done
		return ok
	}
	for _, c := range q.Marks {
		if !visit(c) {
			l.add(l.needsItself(c))
		}
	}
}

func (l *loader) criterionKnown(id Text, byID map[string]*Criterion, names []string) {
	if byID[id.Value] == nil {
		l.add(l.unknownCriterion(id, nearest(id.Value, names)))
	}
}
