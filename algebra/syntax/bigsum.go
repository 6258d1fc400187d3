package syntax

import "squaremark/algebra/source"

// bounds of a sum: the index and its range; from and to may be missing.
type bounds struct {
	index    string
	from, to *Node
}

// bigSum := Σ [_ lower] [^ upper] signed | sum(i=1..n, body). The body is one
// term with all its factors: Σ a_i b_i + 1 is (Σ a_i b_i) + 1.
func (p *parser) bigSum() *Node {
	defer p.leave()
	if !p.enter() {
		return nil
	}
	from := p.i
	p.next()
	if p.k == tLParen && (p.hasRange() || p.tokText(&p.toks[from]) == "sum" && p.peek(1) == tName && p.peek(2) == tRelation) {
		return p.sumFunction(from)
	}
	sign := span(p.text, &p.toks[from], &p.toks[from])
	var b bounds
	for lower, upper := false, false; ; {
		switch {
		case !lower && (p.k == tUnder || p.k == tOther && p.tok().level == lowered):
			lower = true
			p.lower(&b)
		case !upper && p.k == tPower:
			upper = true
			p.next()
			b.to = p.script()
		case !upper && p.k == tOther && p.tok().level == raised:
			upper = true
			b.to = p.atLevel(raised, p.sum)
		default:
			return p.finishSum(from, sign, b, p.signed())
		}
		if p.err != nil {
			return nil
		}
	}
}

// hasRange looks for .. in the brackets that open here.
func (p *parser) hasRange() bool {
	depth := 0
	for _, t := range p.toks[p.i:] {
		switch t.kind {
		case tLParen:
			depth++
		case tRParen:
			depth--
		case tRange:
			if depth == 1 {
				return true
			}
		}
		if depth == 0 {
			return false
		}
	}
	return false
}

// sumFunction := sum(i=1..n, body) | sum(body, i=1..n)
func (p *parser) sumFunction(from int) *Node {
	open := p.i
	p.next()
	var b bounds
	body := p.inside(context{}, func() *Node {
		first := p.k == tName && p.peek(1) == tRelation
		var body *Node
		if first {
			p.rangeOf(&b)
		} else {
			body = p.sum()
		}
		if p.k != tComma && p.k != tSemicolon {
			return p.expected(codeSum, "a comma, as in sum(i=1..n, a_i),")
		}
		p.next()
		if first {
			return p.sum()
		}
		p.rangeOf(&b)
		return body
	})
	if body == nil || p.err != nil {
		return nil
	}
	if p.k != tRParen {
		return p.unclosed(open, tRParen)
	}
	p.next()
	return p.makeSum(from, b, body)
}

// rangeOf := name "=" sum [".." sum]
func (p *parser) rangeOf(b *bounds) {
	if p.k != tName || p.peek(1) != tRelation || Rel(p.toks[p.i+1].aux) != Eq {
		p.expected(codeSum, "an index and its first value, as in i=1,")
		return
	}
	b.index = p.indexText()
	p.next()
	b.from = p.sum()
	if p.k == tRange {
		p.next()
		b.to = p.sum()
	}
}

// indexText takes a name as the index of a sum.
func (p *parser) indexText() string {
	t := p.tok()
	p.next()
	if t.aux != 0 {
		return nameText(t.aux)
	}
	return p.tokText(t)
}

// lower reads what stands below a sum sign.
func (p *parser) lower(b *bounds) {
	read := func() *Node {
		switch {
		case p.k == tWord && word(p.tok().aux) == wCyclic:
			p.failTok(codeSum, "sums over all shifts or orders are not read without their terms", "write the terms out")
		case p.k == tName && p.peek(1) != tRelation:
			b.index = p.indexText()
		case p.k == tName && Rel(p.toks[p.i+1].aux) == Eq:
			p.rangeOf(b)
		default: // 1 <= i <= n
			b.from = p.sum()
			if p.k != tRelation || Rel(p.tok().aux) != Le || p.peek(1) != tName {
				p.expected(codeSum, "an index and its first value, as in i=1,")
				return nil
			}
			p.next()
			b.index = p.indexText()
			if p.k != tRelation || Rel(p.tok().aux) != Le {
				p.expected(codeSum, "'<=' and the last value of the index")
				return nil
			}
			p.next()
			b.to = p.sum()
		}
		return nil
	}
	if p.k == tOther {
		p.atLevel(lowered, read)
		return
	}
	p.next()
	open, end := p.i, tEnd
	switch p.k {
	case tLBrace:
		end = tRBrace
	case tLParen:
		end = tRParen
	case tName:
		b.index = p.indexText()
		return
	default:
		p.expected(codeSum, "the index of the sum, as in _{i=1},")
		return
	}
	p.next()
	p.inside(context{}, read)
	if p.k != end {
		p.unclosed(open, end)
		return
	}
	p.next()
}

// script reads what stands above a sum sign: braces, brackets, or one thing.
func (p *parser) script() *Node {
	if p.k == tLBrace {
		return p.braced()
	}
	return p.single()
}

// finishSum fills in bounds that were not written: a sum without bounds runs
// over the only index in its body, from 1 to n.
func (p *parser) finishSum(from int, sign source.Span, b bounds, body *Node) *Node {
	if !p.value(body) {
		return nil
	}
	if b.index == "" {
		if b.index = onlyIndex(body); b.index == "" || b.to != nil {
			return p.fail(codeSum, sign, "expected the bounds of the sum", "write sum(i=1..n, ...)")
		}
	}
	switch {
	case b.from == nil && b.to == nil:
		p.note(noteSumBounds, sign)
		b.from, b.to = p.leaf(Number, sign, "1"), p.leaf(Name, sign, "n")
	case b.to == nil:
		return p.fail(codeSum, sign, "expected the last value of the index "+quote(b.index), "write sum("+b.index+"=1..n, ...)")
	case b.from == nil:
		return p.fail(codeSum, sign, "expected the first value of the index "+quote(b.index), "write sum("+b.index+"=1..n, ...)")
	}
	if body.Kind != Mul || body.Grouped || body.Kids[1].Kind != BigSum || body.Kids[1].Grouped || occurs(b.index, body.Kids[1]) {
		return p.makeSum(from, b, body)
	}
	// Σ a_i Σ b_i: the second sum does not depend on the first index, so that
	// it is a factor of the whole as well as of each term.
	left := p.makeSum(from, b, body.Kids[0])
	if left == nil {
		return nil
	}
	left.At.End = body.Kids[0].At.End
	n := p.binary(Mul, left, body.Kids[1])
	if n != nil {
		n.Implicit = body.Implicit
	}
	return n
}

// occurs reports that a name stands in n outside sums over that same name.
func occurs(name string, n *Node) bool {
	kids := n.Kids
	switch {
	case n.Kind == Name && n.Text == name:
		return true
	case n.Kind == BigSum && n.Text == name:
		kids = kids[:2]
	}
	for _, k := range kids {
		if occurs(name, k) {
			return true
		}
	}
	return false
}

func (p *parser) makeSum(from int, b bounds, body *Node) *Node {
	if b.to == nil && p.err == nil {
		return p.failTok(codeSum, "expected the last value of the index "+quote(b.index), "write sum("+b.index+"=1..n, ...)")
	}
	if !p.value(b.from) || !p.value(b.to) || !p.value(body) {
		return nil
	}
	n := p.node(BigSum, p.since(from))
	if n != nil {
		n.Text = b.index
		n.Kids = p.room(3)
		n.Kids[0], n.Kids[1], n.Kids[2] = b.from, b.to, body
	}
	return n
}

// onlyIndex is the one letter used as an index in n, "" if there is none or
// more than one.
func onlyIndex(n *Node) string {
	found, several := "", false
	var walk func(n *Node, inIndex bool)
	walk = func(n *Node, inIndex bool) {
		if n.Kind == Name && inIndex {
			several = several || found != "" && found != n.Text
			found = n.Text
		}
		for _, k := range n.Kids {
			walk(k, inIndex || n.Kind == Name)
		}
	}
	walk(n, false)
	if several {
		return ""
	}
	return found
}
