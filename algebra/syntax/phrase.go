package syntax

// phrase reads the words that are answers: "no solutions", "none", "there
// are no integer solutions", "all integers", "from -2 to 5".
func (p *parser) phrase() *Node {
	from := p.i
	at := func(w word) bool { return p.k == tWord && word(p.tok().aux) == w }
	start := func() *Node { p.i = from; p.look(); return p.expected(codeWord, "a formula") }
	switch {
	case at(wNone):
		p.next()
		return p.node(None, p.since(from))
	case at(wFrom):
		return p.rangeFrom()
	case at(wAll), at(wThing) && p.beforeFrom():
		if at(wAll) {
			p.next()
		}
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
		if set == "Z" && at(wFrom) {
			return p.rangeFrom()
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

// rangeFrom reads the first value of "from -2 to 5"; the rest is read as that
// of "-2 to 5".
func (p *parser) rangeFrom() *Node {
	p.next()
	n := p.signed()
	if n != nil && !(p.k == tWord && word(p.tok().aux) == wTo) {
		return p.expected(codeWord, "to and a last value")
	}
	return n
}

// beforeFrom reports that "integers" and "from" stand here.
func (p *parser) beforeFrom() bool {
	return p.tokText(p.tok())[0]|0x20 == 'i' && p.i+1 < len(p.toks) && p.toks[p.i+1].kind == tWord && word(p.toks[p.i+1].aux) == wFrom
}
