package syntax

// paren := "(" sentence ")": a grouped expression or formula, a tuple, or an
// interval whose left end is open.
func (p *parser) paren() *Node {
	open := p.i
	p.next()
	n := p.inside(context{}, p.sentence)
	if n == nil {
		return nil
	}
	switch {
	case p.k == tRParen:
	case p.k == tRBracket && n.Kind == List && len(n.Kids) == 2:
		p.next()
		return p.interval(open, n.Kids[0], n.Kids[1], true, false)
	default:
		return p.unclosed(open, tRParen)
	}
	if n.Kind == List && !n.Grouped {
		if len(n.Kids) == 2 && (infinite(n.Kids[0]) || infinite(n.Kids[1])) {
			p.next()
			return p.interval(open, n.Kids[0], n.Kids[1], true, true)
		}
		if n.Text != "" {
			return p.fail(codeMixed, n.At, "expected a tuple in the brackets, found alternatives: "+quote(n.At.In(p.text)), "write the alternatives without brackets")
		}
		if !p.finite(n.Kids) {
			return nil
		}
		n.Kind = Tuple
	}
	return p.closeWith(tRParen, open, n)
}

// finite refuses ∞ among elements.
func (p *parser) finite(kids []*Node) bool {
	for _, k := range kids {
		if infinite(k) {
			p.failInfinity(k)
			return false
		}
	}
	return true
}

// bracket := ("["|"]") sum (","|";") sum ("]"|"["|")") | "[" sum "]"
func (p *parser) bracket() *Node {
	defer p.leave()
	if !p.enter() {
		return nil
	}
	open := p.i
	leftOpen := p.k == tRBracket
	p.next()
	left := p.inside(context{}, p.sum)
	if left == nil {
		return nil
	}
	if p.k == tRBracket && !leftOpen {
		if !p.value(left) {
			return nil
		}
		return p.closeWith(tRBracket, open, left)
	}
	if p.k != tComma && p.k != tSemicolon {
		if leftOpen {
			return p.expected(codeInterval, "a comma and the right end of the interval")
		}
		return p.expected(codeInterval, "']' or a comma and the right end of the interval")
	}
	right := p.inside(context{interval: true}, func() *Node {
		if p.k == tComma {
			p.looksDecimal()
		}
		p.next()
		return p.sum()
	})
	if right == nil {
		return nil
	}
	switch p.k {
	case tRBracket, tLBracket, tRParen:
	case tComma, tSemicolon:
		return p.failTok(codeInterval, "expected the end of the interval after its two ends, found "+p.found(), "write a set with braces: {1, 2, 3}")
	default:
		return p.unclosed(open, tRBracket)
	}
	rightOpen := p.k != tRBracket
	p.next()
	return p.interval(open, left, right, leftOpen, rightOpen)
}

// interval makes an interval; an infinite end must be open.
func (p *parser) interval(open int, left, right *Node, leftOpen, rightOpen bool) *Node {
	for i, n := range [...]*Node{left, right} {
		if infinite(n) {
			if i == 0 && !leftOpen || i == 1 && !rightOpen {
				return p.fail(codeInterval, p.since(open), "an interval cannot contain ∞: an infinite end is open", "write (-∞, 3] or ]-∞, 3]")
			}
		} else if !p.value(n) {
			return nil
		}
	}
	n := p.binary(Interval, left, right)
	if n != nil {
		n.LeftOpen, n.RightOpen = leftOpen, rightOpen
		n.At = p.since(open)
	}
	return n
}

// braces := "{" [sentence] "}" | "{" item "|" sentence "}": a set. Braces
// around one expression with a power behind only group, as in LaTeX.
func (p *parser) braces() *Node {
	open := p.i
	end := tRBrace
	if p.k == tLSet {
		end = tRSet
	}
	c := context{braces: true, builder: p.oddBars()}
	p.next()
	if p.k == end {
		p.next()
		return p.node(Set, p.since(open))
	}
	n := p.inside(c, p.sentence)
	if n == nil {
		return nil
	}
	if p.k == tColon || p.k == tBar {
		return p.compose(open, end, n)
	}
	if p.k != end {
		return p.unclosed(open, end)
	}
	var set *Node
	switch {
	case n.Kind == List && !n.Grouped:
		if !p.finite(n.Kids) {
			return nil
		}
		set = n
		set.Kind, set.Text = Set, ""
	case is(n, valueKinds) && n.Kind != Ellipsis && end == tRBrace && p.onlyGroups():
		if !p.value(n) {
			return nil
		}
		return p.closeWith(end, open, n)
	case is(n, formulaKinds), n.Kind == None, infinite(n):
		return p.fail(codeSet, n.At, "expected the elements of the set, found "+what(n)+": "+quote(n.At.In(p.text)), "write {x | condition}")
	default:
		set = p.unary(Set, n.At, n)
	}
	set = p.closeWith(end, open, set)
	if set != nil {
		set.Grouped = false
	}
	return set
}

// onlyGroups reports that a power or an index follows the closing brace.
func (p *parser) onlyGroups() bool {
	k := p.peek(1)
	return k == tPower || p.i+1 < len(p.toks) && p.toks[p.i+1].level == raised && k != tEnd
}

// compose reads the condition of {x | condition}.
func (p *parser) compose(open int, end kind, n *Node) *Node {
	if !is(n, valueKinds) && n.Kind != In && n.Kind != Tuple {
		return p.fail(codeSet, n.At, "expected a name before the condition of the set, found "+what(n)+": "+quote(n.At.In(p.text)), "")
	}
	p.next()
	condition := p.inside(context{}, p.sentence)
	if condition == nil {
		return nil
	}
	if !is(condition, formulaKinds) {
		return p.fail(codeFormula, condition.At, "expected a condition in the set, found "+what(condition)+": "+quote(condition.At.In(p.text)), "")
	}
	set := p.closeWith(end, open, p.binary(Compose, n, condition))
	if set != nil {
		set.Grouped = false
	}
	return set
}

// oddBars counts the | up to the matching brace, leaving out sets inside: an
// odd number means that one of them is "such that".
func (p *parser) oddBars() bool {
	depth, bars := 0, 0
	for _, t := range p.toks[p.i:] {
		switch t.kind {
		case tLBrace, tLSet:
			depth++
		case tRBrace, tRSet:
			depth--
		case tBar:
			if depth == 1 {
				bars++
			}
		}
		if depth == 0 {
			break
		}
	}
	return bars%2 == 1
}

// bars := "|" sum "|"
func (p *parser) bars(end kind) *Node {
	defer p.leave()
	if !p.enter() {
		return nil
	}
	open := p.i
	p.next()
	n := p.inside(context{bars: end == tBar}, p.sum)
	if n == nil || !p.value(n) {
		return nil
	}
	if p.k != end {
		return p.unclosed(open, end)
	}
	p.next()
	return p.unary(Abs, p.since(open), n)
}
