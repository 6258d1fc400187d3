package rubric

// marksOf reads the mark scheme of a question, or takes the default one.
func (f fields) marksOf(q *Question) {
	list := f.kids["marks"]
	if list == nil {
		q.Marks = DefaultMarks(q.Kind)
		f.groupsOf(q)
		q.Total = q.attainable()
	} else {
		q.OwnMarks = true
		if list.shape != sequence || len(list.kids) == 0 {
			f.add(f.wanted(list, "a list of criteria"))
			return
		}
		if len(list.kids) > maxCriteria {
			f.add(f.tooMany(list.at, "criteria", len(list.kids), maxCriteria))
			return
		}
		for _, k := range list.kids {
			if c := f.criterion(k, q.Kind); c != nil {
				q.Marks = append(q.Marks, c)
			}
		}
		f.groupsOf(q)
		q.Total = q.attainable()
		if !f.has("total") {
			f.add(f.missingKey(list.at, "question with marks", "total"))
		}
	}
	q.TotalAt = f.spanOf("total")
	if stated := f.marks("total", true); stated != nil && !f.failed() && stated.Cmp(q.Total) != 0 {
		f.add(f.wrongTotal(f.text("total"), q.Total, "the criteria"))
	}
}

// criterion reads one line of a mark scheme.
func (l *loader) criterion(n *node, kind Kind) *Criterion {
	f, ok := l.open("criterion", n)
	if !ok {
		return nil
	}
	c := &Criterion{
		At: f.at, ID: f.id("id"), Worth: f.marks("worth", true), Needs: f.texts("needs"),
		Moves: f.texts("moves"), Slips: f.texts("slips"), Feedback: f.text("feedback"),
		Type: Type(f.choice("type", string(Method), string(Accuracy), string(Independent))),
	}
	c.FollowThrough = f.yes("follow-through", c.Type != Accuracy)
	if n := f.kids["for"]; n != nil {
		l.findings(c, n)
	}
	l.arising(c, f, kind)
	return c
}

// findings reads what earns a criterion: one finding, or all: or any: with a
// list.
func (l *loader) findings(c *Criterion, n *node) {
	if n.shape == scalar {
		c.For = []Text{n.text}
		return
	}
	if n.shape != mapping || len(n.keys) != 1 || n.keys[0].Value != "all" && n.keys[0].Value != "any" {
		l.add(l.wanted(n, "a finding, or all: or any: with a list of findings"))
		return
	}
	c.ForAny = n.keys[0].Value == "any"
	c.For = l.textsOf(n.kids[0], n.keys[0].Value)
}

// arising checks that the findings of a criterion are known and arise for the
// kind, and that the keys that belong to certain findings stand with them.
func (l *loader) arising(c *Criterion, f fields, kind Kind) {
	has := map[string]bool{}
	for _, t := range c.For {
		has[t.Value] = true
		l.known(t, kind)
	}
	for _, need := range []struct {
		key, finding string
		must         bool
	}{{"moves", "uses-move", true}, {"slips", "one-slip", false}} {
		switch {
		case f.has(need.key) && !has[need.finding]:
			l.add(l.keyWithoutFinding(f.keyAt[need.key], need.finding))
		case need.must && has[need.finding] && !f.has(need.key):
			l.add(l.missingKey(f.at, "criterion for "+need.finding, need.key))
		}
	}
}

// known checks that a finding is in the catalogue and arises for the kind.
func (l *loader) known(t Text, kind Kind) {
	var codes []string
	for _, info := range Findings {
		if info.Earns && info.ArisesFor(kind) {
			codes = append(codes, info.Code)
		}
	}
	info, known := FindingByCode(t.Value)
	switch {
	case !known || !info.Earns:
		l.add(l.unknownFinding(t, nearest(t.Value, codes), codes))
	case !info.ArisesFor(kind):
		l.add(l.findingOfOtherKind(t, info, kind))
	}
}

// examplesOf reads the examples of a question.
func (f fields) examplesOf(q *Question) {
	list := f.kids["examples"]
	if list == nil {
		return
	}
	if list.shape != sequence || len(list.kids) == 0 {
		f.add(f.wanted(list, "a list of examples"))
		return
	}
	if len(list.kids) > maxExamples {
		f.add(f.tooMany(list.at, "examples", len(list.kids), maxExamples))
		return
	}
	for _, k := range list.kids {
		g, ok := f.open("example", k)
		if !ok {
			continue
		}
		e := &Example{At: g.at, Marks: g.marks("marks", false), MarksAt: g.spanOf("marks"), Note: g.text("note")}
		if g.has("answer") {
			e.Answer = f.answer(g.kids["answer"], q.Kind, "answer")
		}
		q.Examples = append(q.Examples, e)
	}
}
