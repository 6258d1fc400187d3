package syntax

// sentence := groups [link groups]
func (p *parser) sentence() *Node {
	defer p.leave()
	if !p.enter() {
		return nil
	}
	n := p.groups()
	link, width := p.linkAt(p.i)
	if link == NoLink || n == nil || p.k == tEnd {
		return n
	}
	for range width {
		p.next()
	}
	right := p.groups()
	if right == nil {
		return nil
	}
	if again, _ := p.linkAt(p.i); again != NoLink && p.k != tEnd {
		return p.failTok(codeChain, "expected the end after one link, found a second one: "+p.found(), "write one formula per line")
	}
	for _, side := range [...]*Node{n, right} {
		if !is(side, formulaKinds) {
			return p.fail(codeFormula, side.At, "expected a formula beside the link, found "+what(side)+": "+quote(side.At.In(p.text)), "")
		}
	}
	switch link {
	case TwoWay:
		return p.binary(Iff, n, right)
	case Backward:
		m := p.binary(Implies, right, n)
		if m != nil {
			m.At = n.At.To(right.At)
		}
		return m
	}
	return p.binary(Implies, n, right)
}

// linkAt recognises a link at token i and says how many tokens it takes.
func (p *parser) linkAt(i int) (Link, int) {
	t := p.toks[i:]
	if t[0].kind == tLink && t[0].level == onLine {
		return Link(t[0].aux), 1
	}
	if len(t) > 4 && t[0].kind == tWord && word(t[0].aux) == wIf && t[1].kind == tAnd &&
		t[2].kind == tWord && word(t[2].aux) == wOnly && t[3].kind == tWord && word(t[3].aux) == wIf {
		return TwoWay, 4
	}
	return NoLink, 0
}

// groups := group (";" group)*; outside brackets a line break between two
// groups separates as well.
func (p *parser) groups() *Node {
	first := p.group()
	if first == nil || !p.separated() {
		return first
	}
	base := len(p.items)
	p.items = append(p.items, first)
	for p.separated() {
		if p.k == tSemicolon {
			p.next()
			if p.k == tEnd && p.toks[p.i].kind == tEnd && p.brackets == 0 {
				break // a semicolon at the end
			}
		}
		n := p.group()
		if n == nil {
			return nil
		}
		p.items = append(p.items, n)
	}
	items := p.items[base:]
	p.items = p.items[:base]
	if len(items) == 1 {
		return items[0]
	}
	if p.ctx.tight {
		return p.failTok(codeMixed, "expected commas or semicolons between values, found both", "")
	}
	if formulas := countFormulas(items); formulas > 0 && formulas < len(items) { // "x = 1; 2"
		joins := make([]kind, len(items)-1)
		for i := range joins {
			joins[i] = tComma
		}
		items, _ = p.attach(items, joins)
	}
	switch formulas := countFormulas(items); {
	case p.err != nil:
		return nil
	case len(items) == 1:
		return items[0]
	case formulas == len(items):
		if n := p.solutions(items); n != nil {
			return n
		}
		n := p.listOf(And, items)
		if n != nil {
			n.Text = ";"
		}
		return n
	case formulas > 0:
		return p.mixed(items)
	}
	for _, n := range items {
		if n.Kind == List {
			n.Kind, n.Text = Tuple, ""
			p.note(noteTuples, n.At)
		}
	}
	return p.list(items, "")
}

func countFormulas(items []*Node) int {
	n := 0
	for _, k := range items {
		if is(k, formulaKinds) {
			n++
		}
	}
	return n
}

// separated reports that another group follows.
func (p *parser) separated() bool {
	return p.k == tSemicolon || p.brackets == 0 && p.tok().broken && p.k != tEnd && p.k != tRelation && p.k != tLink
}

// group := item ((","|and|or) item)*, put together by assemble.
func (p *parser) group() *Node {
	base, joins := len(p.items), len(p.joins)
	for {
		n := p.item()
		if n == nil {
			return nil
		}
		p.items = append(p.items, n)
		join := p.k
		switch {
		case join == tComma:
			p.looksDecimal()
		case join == tAnd || join == tOr:
		case join == tRange, join == tWord && word(p.tok().aux) == wTo: // 1..5, 1 to 5
			at := p.here()
			p.note(noteRange, at)
			p.joins = append(p.joins, tComma)
			p.items = append(p.items, p.node(Ellipsis, at))
			join = tComma
		case join == tLParen && endsInTuple(n): // (1, 2) (2, 1)
			p.joins = append(p.joins, tComma)
			continue
		default:
			join = tEnd
		}
		if join == tEnd {
			break
		}
		p.next()
		if join == tComma && (p.k == tAnd || p.k == tOr) { // "1, 2, or 3"
			join = p.k
			p.next()
		}
		p.joins = append(p.joins, join)
	}
	if len(p.items) == base+1 {
		n := p.items[base]
		p.items = p.items[:base]
		return n
	}
	n := p.assemble(p.items[base:], p.joins[joins:])
	p.items, p.joins = p.items[:base], p.joins[:joins]
	return n
}

// looksDecimal remembers a comma tight between digits: if the text cannot be
// read with it as a separator, it is a decimal comma.
func (p *parser) looksDecimal() {
	if p.i == 0 || p.i+1 >= len(p.toks) {
		return
	}
	a, c, b := &p.toks[p.i-1], p.tok(), &p.toks[p.i+1]
	if a.kind == tNumber && b.kind == tNumber && a.level == onLine && !c.spaced && !b.spaced {
		p.tight, p.ctx.tight = true, true
		if p.brackets == 0 && (b.end-b.start > 1 || p.tokText(a) == "0") {
			p.note(noteListComma, span(p.text, a, b))
		}
	}
}

// item := not item | "..." | relation
func (p *parser) item() *Node {
	switch p.k {
	case tNot:
		defer p.leave()
		if !p.enter() {
			return nil
		}
		from := p.i
		p.next()
		n := p.item()
		if n != nil && !is(n, formulaKinds) {
			return p.fail(codeFormula, n.At, "expected a formula after not, found "+what(n)+": "+quote(n.At.In(p.text)), "")
		}
		return p.unary(Not, p.since(from), n)
	case tDots:
		at := p.here()
		if before := p.i > 0 && p.toks[p.i-1].kind == tComma; !before {
			return p.failTok(codeDots, "expected a value before the dots", "write 1, 2, ..., 9 or a_1 + ... + a_n")
		}
		p.next()
		if p.k != tComma && p.k != tAnd && p.k != tOr {
			return p.expected(codeDots, "a comma and a last value")
		}
		return p.node(Ellipsis, at)
	}
	return p.relation()
}
