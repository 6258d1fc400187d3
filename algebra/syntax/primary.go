package syntax

import "strings"

// primary reads what is not taken apart by signs.
func (p *parser) primary() *Node {
	from := p.i
	t := p.tok()
	switch p.k {
	case tNumber:
		p.next()
		return p.mixedNumber(p.leaf(Number, span(p.text, t, t), p.numberText(t)), t)
	case tName:
		return p.name()
	case tVulgar:
		p.next()
		return p.vulgar(t)
	case tLParen:
		return p.paren()
	case tLBracket, tRBracket:
		return p.bracket()
	case tLBrace, tLSet:
		return p.braces()
	case tBar:
		return p.bars(tBar)
	case tLBar:
		return p.bars(tRBar)
	case tAbs:
		p.next()
		if p.k != tLParen {
			return p.expected(codeExpected, "'(' and an expression")
		}
		n := p.paren()
		if !p.value(n) {
			return nil
		}
		return p.unary(Abs, p.since(from), n)
	case tSqrt:
		return p.bareOrFunction()
	case tLatexSqrt:
		return p.latexRoot()
	case tRoot:
		return p.rootFunction()
	case tFrac:
		return p.fraction()
	case tSum:
		return p.bigSum()
	case tInfinity:
		p.next()
		return p.node(Infinity, span(p.text, t, t))
	case tStandard:
		p.next()
		return p.leaf(Standard, span(p.text, t, t), string(rune(t.aux)))
	case tEmpty:
		p.next()
		return p.node(Set, span(p.text, t, t))
	case tWord:
		return p.phrase()
	}
	return p.expected(codeExpected, "an expression")
}

// name reads a letter with its index.
func (p *parser) name() *Node {
	t := p.tok()
	text := p.text[t.start:t.end]
	if t.aux != 0 {
		text = nameText(t.aux)
	}
	p.next()
	n := p.leaf(Name, span(p.text, t, t), text)
	if n != nil && (p.k == tUnder || p.k == tOther && p.level == onLine && p.tok().level == lowered) {
		return p.indexed(n)
	}
	return n
}

// indexed reads the index of a name: one number, one letter, or an expression
// in braces or brackets.
func (p *parser) indexed(n *Node) *Node {
	var index *Node
	if p.k == tOther {
		index = p.atLevel(lowered, p.sum)
	} else {
		p.next()
		t := p.tok()
		switch p.k {
		case tNumber:
			p.next()
			index = p.leaf(Number, span(p.text, t, t), p.numberText(t))
		case tName:
			p.next()
			text := p.text[t.start:t.end]
			if t.aux != 0 {
				text = nameText(t.aux)
			}
			index = p.leaf(Name, span(p.text, t, t), text)
			if after := p.tok(); p.k == tName && !after.spaced && after.start == t.end && p.peek(1) != tUnder {
				p.note(noteIndexLetter, p.here())
			}
		case tLBrace:
			index = p.braced()
		case tLParen:
			index = p.paren()
		default:
			return p.expected(codeIndex, "an index: a number, a letter or {...}")
		}
	}
	if index == nil || !p.value(index) {
		return nil
	}
	if index.Kind == Number && strings.IndexByte(index.Text, '.') >= 0 {
		return p.fail(codeIndex, index.At, "expected a whole number as index, found "+quote(index.At.In(p.text)), "")
	}
	if p.k == tUnder {
		return p.failTok(codeIndex, "expected the end of the index, found '_'", "write the whole index in braces: a_{i+1}")
	}
	n.At.End = p.since(p.i - 1).End
	n.Kids = p.room(1)
	n.Kids[0] = index
	return n
}

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

// braced reads {...} where LaTeX wants an argument: braces that only group.
func (p *parser) braced() *Node {
	open := p.i
	defer p.leave()
	if !p.enter() {
		return nil
	}
	p.next()
	n := p.inside(context{}, p.sum)
	if n == nil || !p.value(n) {
		return nil
	}
	return p.closeWith(tRBrace, open, n)
}

// inside reads the content of a bracket.
func (p *parser) inside(c context, read func() *Node) *Node {
	old := p.ctx
	p.ctx = c
	p.brackets++
	n := read()
	p.brackets--
	p.ctx = old
	return n
}

// closeWith wants the closing bracket k of the bracket at token open. The
// place of n then takes in both brackets.
func (p *parser) closeWith(k kind, open int, n *Node) *Node {
	if n == nil {
		return nil
	}
	if p.k != k {
		return p.unclosed(open, k)
	}
	p.next()
	if p.err != nil {
		return nil
	}
	n.Grouped = true
	n.At = p.since(open)
	return n
}

// unclosed tells which bracket is open and where.
func (p *parser) unclosed(open int, k kind) *Node {
	if p.err != nil {
		return nil
	}
	t := &p.toks[open]
	return p.failTok(codeUnclosed, "expected "+closing(k)+" to close the "+quote(p.tokText(t))+" at "+
		itoa(int(t.line))+":"+itoa(int(t.col))+", found "+p.found(), p.hintFor())
}

func closing(k kind) string {
	switch k {
	case tRParen:
		return "')'"
	case tRBracket:
		return "']'"
	case tRBrace:
		return "'}'"
	case tRSet:
		return `'\}'`
	case tRBar:
		return `'\right|'`
	}
	return "'|'"
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

// phrase reads the words that are answers: "no solutions", "none", "there
// are no integer solutions", "all integers".
func (p *parser) phrase() *Node {
	from := p.i
	at := func(w word) bool { return p.k == tWord && word(p.tok().aux) == w }
	start := func() *Node { p.i = from; p.look(); return p.expected(codeWord, "a formula") }
	switch {
	case at(wNone):
		p.next()
		return p.node(None, p.since(from))
	case at(wAll):
		p.next()
		set := ""
		for at(wThing) {
			switch p.tokText(p.tok())[0] | 0x20 {
			case 'i':
				set = "Z"
			case 'r':
				if w := p.tokText(p.tok()); len(w) > 2 && w[1]|0x20 == 'e' {
					set = "R"
				} else {
					set = "Q"
				}
			}
			p.next()
		}
		if set == "" {
			return start()
		}
		return p.leaf(Standard, p.since(from), set)
	case at(wThere):
		p.next()
		if !at(wIs) {
			return start()
		}
		p.next()
		if !at(wNo) {
			return start()
		}
	case !at(wNo):
		return start()
	}
	p.next()
	things := 0
	for at(wThing) || p.k == tRoot && p.peek(1) != tLParen || things > 0 && p.k == tIn {
		things++
		p.next()
	}
	if things == 0 {
		return start()
	}
	return p.node(None, p.since(from))
}
