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
