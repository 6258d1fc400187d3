package algebra

import (
	"errors"
	"fmt"
	"strings"
	"unicode"

	"squaremark/algebra/budget"
	"squaremark/algebra/formula"
	"squaremark/algebra/move"
	"squaremark/algebra/source"
	"squaremark/algebra/syntax"
)

// chain reads the claim and the lines and lowers them into one scope. The
// second result is set when there is nothing to be judged.
func (q *Question) chain(claim string, lines []Line) (*chain, *StepsOutcome) {
	limits := q.limits
	limits.Work *= int64(min(1+len(lines)/4, maxWorkFactor))
	m := budget.New(limits)
	c := &chain{session: &session{q: q, meter: m, given: formula.Always()}}
	c.claim = &written{index: -1, text: claim}
	r, bad := q.read("claim", claim, m)
	if bad != nil {
		return nil, claimFailed(&Outcome{Unreadable: bad, Reason: bad.Diag.Message})
	}
	c.claim.reading, c.claim.root, c.claim.spelled = r, r.root, claim
	if r.general {
		c.claim.root = r.sums
	}
	if len(lines) > maxLines {
		return nil, claimFailed(&Outcome{Reason: fmt.Sprintf("expected at most %d lines, found %d", maxLines, len(lines))})
	}
	vars := append([]formula.Variable(nil), q.vars...)
	before := ""
	for i, l := range lines {
		w := q.readLine(i, l, before, m)
		c.lines = append(c.lines, w)
		if i > 0 && w.root != nil && goesOn(l.Text, l.Link != "") && isExpression(c.lines[i-1].root) {
			c.lines[i-1].root, c.lines[i-1].opening = nil, true
		}
		if w.root == nil {
			continue
		}
		before = syntax.Plain(w.root)
		known := func(name string) bool { return declared(vars, name) }
		if name, _, ok := move.NameIntroduced(w.root, known); ok && i+1 <= len(lines) {
			w.name = name
			vars = append(vars, formula.Variable{Name: name})
		}
	}
	if out := c.lower(vars); out != nil {
		return nil, claimFailed(out)
	}
	return c, nil
}

// claimFailed is the outcome where the claim, or an assumption, could not be
// understood: there are no steps then.
func claimFailed(o *Outcome) *StepsOutcome {
	return &StepsOutcome{Unreadable: o.Unreadable, Unsettled: o.Unreadable == nil, Reason: "the claim was not understood: " + o.Reason}
}

func declared(vars []formula.Variable, name string) bool {
	for _, v := range vars {
		if v.Name == name {
			return true
		}
	}
	return false
}

// readLine reads one line. It may begin with a link, with "let", or with a
// sign of relation that goes on from the line before.
func (q *Question) readLine(i int, l Line, before string, m *budget.Meter) *written {
	w := &written{index: i, text: l.Text, link: linkNamed(l.Link)}
	field := fmt.Sprintf("lines[%d]", i)
	text := l.Text
	if rest, ok := afterLet(text); ok {
		text = rest
	} else if before != "" && goesOn(text, l.Link != "") {
		text = before + " " + strings.TrimSpace(text)
	}
	link, r, bad := syntax.ReadLine(text, m)
	if w.link == syntax.NoLink {
		w.link = link
	}
	if bad != nil {
		w.unreadable = &Unreadable{Field: field, Diag: bad}
		return w
	}
	w.reading, w.unreadable = q.written(reading{field: field, text: text, root: r.Root, notes: r.Notes}, m)
	w.spelled = syntax.Plain(r.Root)
	if w.unreadable == nil {
		w.root = w.reading.root
	}
	return w
}

// isExpression reports a tree that is no formula by its kind.
func isExpression(n *syntax.Node) bool {
	if n == nil {
		return false
	}
	switch n.Kind {
	case syntax.Relation, syntax.And, syntax.Or, syntax.In, syntax.None, syntax.Not, syntax.Implies, syntax.Iff:
		return false
	}
	return true
}

func linkNamed(text string) syntax.Link {
	switch strings.TrimSpace(text) {
	case "<=>":
		return syntax.TwoWay
	case "=>":
		return syntax.Forward
	case "<=":
		return syntax.Backward
	}
	return syntax.NoLink
}

// afterLet is what follows the word "let".
func afterLet(text string) (string, bool) {
	t := strings.TrimSpace(text)
	if len(t) < 4 || !strings.EqualFold(t[:3], "let") || !unicode.IsSpace(rune(t[3])) {
		return "", false
	}
	return t[4:], true
}

// goesOn reports a line that begins with a sign of relation. Without a link
// of its own, a leading <= is one.
func goesOn(text string, linked bool) bool {
	t := strings.TrimLeftFunc(text, unicode.IsSpace)
	switch {
	case strings.HasPrefix(t, "=>"), strings.HasPrefix(t, "<=>"), strings.HasPrefix(t, "==>"), strings.HasPrefix(t, "<==>"):
		return false
	case strings.HasPrefix(t, "<="):
		return linked
	}
	for _, sign := range []string{"=", "<", ">", "≤", "≥", "≠", "!=", `\le`, `\ge`, `\ne`, `\lt`, `\gt`} {
		if strings.HasPrefix(t, sign) && !strings.HasPrefix(t, `\left`) {
			return true
		}
	}
	return false
}

// written writes out the sums of a line, or leaves them where they are for
// every number of terms.
func (q *Question) written(r reading, m *budget.Meter) (reading, *Unreadable) {
	if !formula.HasSum(r.root) && !formula.HasOpenIndex(r.root) {
		return r, nil
	}
	r.sums = formula.CloseAllDots(r.root, q.cycle)
	root, err := formula.Expand(r.sums, formula.Setting{}, m)
	var diag *source.Diag
	switch {
	case err == nil:
		r.root = root
	case errors.As(err, &diag):
		return r, &Unreadable{Field: r.field, Diag: diag}
	default:
		r.root, r.general = r.sums, true
	}
	return r, nil
}

// lower makes the scope of the whole argument and takes every line apart. A
// line whose names are unknown, or that is no formula, is left out.
func (c *chain) lower(vars []formula.Variable) *Outcome {
	given, bad := c.takeSumsApart(vars)
	if bad != nil {
		return bad
	}
	base := append([]*syntax.Node{c.claim.root}, given...)
	trees := append([]*syntax.Node(nil), base...)
	for _, w := range c.lines {
		if w.root != nil {
			trees = append(trees, w.root)
		}
	}
	scope, err := c.scopeOf(vars, trees)
	if err != nil {
		if _, err := c.scopeOf(vars, base[:1]); err != nil {
			return failed("claim", err)
		}
		trees = base
		for _, w := range c.lines {
			if w.root == nil {
				continue
			}
			if _, err := c.scopeOf(vars, []*syntax.Node{w.root}); err != nil {
				w.refuse(err)
				continue
			}
			trees = append(trees, w.root)
		}
		if scope, err = c.scopeOf(vars, trees); err != nil {
			return failed("assume", err)
		}
	}
	c.Scope = scope
	reader := c.over(move.NewReader(scope))
	var givens []*move.Line
	for _, a := range given {
		l, err := reader.Read(a)
		if err != nil {
			return failed("assume", err)
		}
		givens = append(givens, l)
		c.given = formula.And(c.given, l.Body)
	}
	l, err := reader.Read(c.claim.root)
	if err != nil {
		return failed("claim", err)
	}
	if err := c.meter.Err(); err != nil {
		return failed("claim", err)
	}
	c.claim.line = l
	c.setting = c.over(move.New(scope, c.given, givens))
	for _, w := range c.lines {
		if w.root == nil {
			continue
		}
		l, err := c.setting.Read(w.root)
		if err == nil {
			err = c.meter.Err() // a line made after the work was used up means nothing
		}
		if err != nil {
			w.refuse(err)
			continue
		}
		w.line = l
		if w.name != "" {
			c.setting.Define(l)
			c.given = c.setting.Given
		}
	}
	if len(scope.Symbols) > 0 {
		all := append([]*move.Line{c.claim.line}, givens...)
		for _, w := range c.lines {
			if w.readable() {
				all = append(all, w.line)
			}
		}
		c.setting.Relate(all...)
	}
	return nil
}

// refuse notes why a line cannot be lowered.
func (w *written) refuse(err error) {
	w.root = nil
	var diag *source.Diag
	if errors.As(err, &diag) {
		w.unreadable = &Unreadable{Field: w.reading.field, Diag: diag}
		return
	}
	w.outside = err.Error()
}

// plain is the text of a line as understood.
func (w *written) plain() string {
	if w.line == nil || w.line.Tree == nil {
		return strings.TrimSpace(w.text)
	}
	return syntax.Plain(w.line.Tree)
}
