package syntax

// mixedNumber joins a whole number with a fraction written tight behind it:
// 2½ is 2 + 1/2, and so is 2\frac{1}{2}.
func (p *parser) mixedNumber(whole *Node, t *token) *Node {
	if whole == nil || t.level != onLine {
		return whole
	}
	next := p.tok()
	switch {
	case p.k == tVulgar && !next.spaced:
		p.next()
	case p.k == tFrac && p.numericFrac():
		p.note(noteMixedNumber, p.toksFrom(p.i-1))
	default:
		return whole
	}
	var part *Node
	if next.kind == tVulgar {
		part = p.vulgar(next)
	} else {
		part = p.fraction()
	}
	n := p.binary(Add, whole, part)
	if n != nil {
		n.Grouped = true
		n.At.End = p.since(p.i - 1).End
	}
	return n
}

// numericFrac reports that a \frac of two whole numbers stands here.
func (p *parser) numericFrac() bool {
	i := p.i + 1
	if p.peek(1) == tNumber {
		return p.toks[i].end-p.toks[i].start == 2 || p.peek(2) == tNumber
	}
	return p.peek(1) == tLBrace && p.peek(2) == tNumber && p.peek(3) == tRBrace &&
		p.peek(4) == tLBrace && p.peek(5) == tNumber && p.peek(6) == tRBrace
}

func (p *parser) vulgar(t *token) *Node {
	const digits = "0123456789"
	num, den := t.aux>>4, t.aux&15
	text := "10"
	if den < 10 {
		text = digits[den : den+1]
	}
	at := span(p.text, t, t)
	n := p.binary(Div, p.leaf(Number, at, digits[num:num+1]), p.leaf(Number, at, text))
	if n != nil {
		n.Grouped = true
	}
	return n
}

// fraction := \frac arg arg
func (p *parser) fraction() *Node {
	from := p.i
	p.next()
	num := p.arg()
	den := p.arg()
	n := p.binary(Div, num, den)
	if n != nil {
		n.Grouped = true
		n.At = p.since(from)
	}
	return n
}

// arg is the argument of a LaTeX command: braces, one digit (\frac12), or
// one thing without a power.
func (p *parser) arg() *Node {
	if p.k == tLBrace {
		return p.braced()
	}
	t := p.tok()
	if p.k == tNumber && t.level == onLine && t.end-t.start > 1 && isDigit(p.text[t.start]) && isDigit(p.text[t.start+1]) {
		one := *t
		one.end = t.start + 1
		t.start, t.col, t.spaced = one.end, t.col+1, false
		return p.leaf(Number, span(p.text, &one, &one), p.text[one.start:one.end])
	}
	return p.single()
}

// single reads one thing without a power; recursion is counted.
func (p *parser) single() *Node {
	defer p.leave()
	if !p.enter() {
		return nil
	}
	n := p.primary()
	if !p.value(n) {
		return nil
	}
	return n
}

// root makes a root node from token from to here.
func (p *parser) root(from int, radicand, index *Node) *Node {
	n := p.binary(Root, radicand, index)
	if n != nil {
		n.At = p.since(from)
	}
	return n
}

// indexOf is the index of √, ∛ and ∜ as a node.
func (p *parser) indexOf(t *token) *Node {
	index := uint8(2)
	if t.kind == tSqrt {
		index = t.aux
	}
	return p.leaf(Number, span(p.text, t, t), "0123456789"[index:index+1])
}

// bareOrFunction := √ primary [power] | sqrt(...)
func (p *parser) bareOrFunction() *Node {
	from, t := p.i, p.tok()
	p.next()
	if p.k == tLBrace {
		return p.root(from, p.braced(), p.indexOf(t))
	}
	bare := p.k != tLParen && p.k != tLBracket && p.k != tBar && p.k != tLBar
	n := p.single()
	if n == nil {
		return nil
	}
	if bare && (p.k == tPower || p.k == tOther && p.tok().level == raised) {
		p.note(noteBareRoot, p.toksFrom(from))
		if n = p.powerOf(n); n == nil {
			return nil
		}
	}
	if bare {
		p.bareRoot = p.i
	}
	return p.root(from, n, p.indexOf(t))
}

// latexRoot := \sqrt ["[" sum "]"] arg
func (p *parser) latexRoot() *Node {
	defer p.leave()
	if !p.enter() {
		return nil
	}
	from, t := p.i, p.tok()
	p.next()
	var index *Node
	if p.k == tLBracket {
		open := p.i
		p.next()
		index = p.inside(context{}, p.sum)
		if !p.value(index) {
			return nil
		}
		if index = p.closeWith(tRBracket, open, index); index == nil {
			return nil
		}
	} else {
		index = p.indexOf(t)
	}
	if p.k == tLBrace {
		return p.root(from, p.braced(), index)
	}
	return p.root(from, p.single(), index)
}

// rootFunction := root(n, x)
func (p *parser) rootFunction() *Node {
	from := p.i
	p.next()
	if p.k != tLParen {
		return p.expected(codeRoot, "'(' and two arguments, as in root(3, x),")
	}
	n := p.paren()
	if n == nil {
		return nil
	}
	if n.Kind != Tuple || len(n.Kids) != 2 {
		return p.fail(codeRoot, n.At, "expected two arguments, as in root(3, x), found "+quote(n.At.In(p.text)), "")
	}
	if !p.value(n.Kids[0]) || !p.value(n.Kids[1]) {
		return nil
	}
	return p.root(from, n.Kids[1], n.Kids[0])
}
