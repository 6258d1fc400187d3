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
	formulas := 0
	for _, n := range items {
		if is(n, formulaKinds) {
			formulas++
		}
	}
	switch formulas {
	case len(items):
		n := p.listOf(And, items)
		if n != nil {
			n.Text = ";"
		}
		return n
	case 0:
		for _, n := range items {
			if n.Kind == List {
				n.Kind, n.Text = Tuple, ""
				p.note(noteTuples, n.At)
			}
		}
		return p.list(items, "")
	}
	return p.mixed(items)
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
		case join == tWord && word(p.tok().aux) == wTo:
			at := p.here()
			p.note(noteRange, at)
			p.joins = append(p.joins, tComma)
			p.items = append(p.items, p.node(Ellipsis, at))
			join = tComma
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

// relation := sets (sign sets)* | sets ∈ sets
func (p *parser) relation() *Node {
	left := p.sets()
	if left == nil {
		return nil
	}
	switch p.k {
	case tNot:
		if p.peek(1) != tIn {
			return left
		}
		p.next()
		return p.member(left, true)
	case tIn, tNotIn:
		return p.member(left, p.k == tNotIn)
	case tRelation:
		return p.chain(left)
	}
	return left
}

func (p *parser) member(left *Node, negated bool) *Node {
	sign := quote(p.tokText(p.tok()))
	p.next()
	right := p.sets()
	if right == nil || !p.operand(left) {
		return nil
	}
	if right.Kind == Name && len(right.Kids) == 0 && len(right.Text) == 1 {
		switch right.Text {
		case "R", "Z", "N", "Q":
			right.Kind = Standard
		}
	}
	p.asInterval(right)
	if !is(right, setKinds) {
		return p.fail(codeSet, right.At, "expected a set after "+sign+", found "+what(right)+": "+quote(right.At.In(p.text)), "")
	}
	n := p.binary(In, left, right)
	if n != nil {
		n.Negated = negated
	}
	return n
}

func (p *parser) chain(left *Node) *Node {
	if !p.operand(left) {
		return nil
	}
	r := Rel(p.tok().aux)
	p.next()
	right := p.sets()
	if right == nil || !p.operand(right) {
		return nil
	}
	n := p.binary(Relation, left, right)
	if n == nil {
		return nil
	}
	n.Rels = p.oneRel(r)
	for p.k == tRelation {
		r := Rel(p.tok().aux)
		p.next()
		k := p.sets()
		if k == nil || !p.operand(k) {
			return nil
		}
		n.Rels = append(n.Rels, r)
		n.Kids = append(n.Kids, k)
		n.At.End = k.At.End
	}
	if p.k == tIn || p.k == tNotIn {
		return p.failTok(codeUnexpected, "a chain of relations cannot go on with "+p.found(), "write two formulas joined by and")
	}
	return n
}

// operand checks that n may stand beside a sign of relation.
func (p *parser) operand(n *Node) bool {
	switch {
	case infinite(n):
		p.failInfinity(n)
		return false
	case is(n, formulaKinds), n.Kind == None, n.Kind == Ellipsis && len(n.Kids) == 0:
		p.fail(codeOperand, n.At, "expected an expression beside a relation, found "+what(n)+": "+quote(n.At.In(p.text)), "")
		return false
	}
	return true
}

// sets := meet ((∪|∖) meet)*
func (p *parser) sets() *Node {
	left := p.meet()
	for left != nil {
		k := p.k
		if k == tName && p.tokText(p.tok()) == "U" && (is(left, setKinds) || left.Kind == Tuple) {
			p.note(noteUnionLetter, p.here())
			k = tUnion
		}
		if k != tUnion && k != tWithout {
			return left
		}
		p.next()
		left = p.join(map[bool]Kind{true: Union, false: Without}[k == tUnion], left, p.meet())
	}
	return nil
}

// meet := sum (∩ sum)*
func (p *parser) meet() *Node {
	left := p.sum()
	for left != nil && p.k == tMeet {
		p.next()
		left = p.join(Intersection, left, p.sum())
	}
	return left
}

// join makes a set from two sets; unions and intersections of more than two
// lie in one node.
func (p *parser) join(k Kind, left, right *Node) *Node {
	if left == nil || right == nil {
		return nil
	}
	for _, n := range [...]*Node{left, right} {
		p.asInterval(n)
		if !is(n, setKinds) {
			return p.fail(codeSet, n.At, "expected a set, found "+what(n)+": "+quote(n.At.In(p.text)), "")
		}
	}
	if k != Without && left.Kind == k && !left.Grouped {
		left.Kids = append(left.Kids, right)
		left.At.End = right.At.End
		return left
	}
	return p.binary(k, left, right)
}

// asInterval turns (2, 5), read as a tuple, into the open interval where a
// set is wanted.
func (p *parser) asInterval(n *Node) {
	if n.Kind == Tuple && len(n.Kids) == 2 && is(n.Kids[0], valueKinds) && is(n.Kids[1], valueKinds) {
		n.Kind, n.LeftOpen, n.RightOpen = Interval, true, true
	}
}
