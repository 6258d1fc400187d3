package syntax

// sum := signed (("+"|"-"|"±") signed)*, or a sum with dots
func (p *parser) sum() *Node {
	left := p.signed()
	for left != nil {
		if p.column && p.tok().broken {
			return left
		}
		k := p.k
		switch k {
		case tPlus, tMinus:
			if p.peek(1) == tDots {
				return p.dotted(left)
			}
			if k == tPlus && p.peek(1) == tMinus && !p.toks[p.i+1].spaced {
				p.note(notePlusNegative, span(p.text, p.tok(), &p.toks[p.i+1]))
			}
		case tPlusMinus:
		case tDots:
			return p.failTok(codeDots, "expected a sign or a comma before the dots", "write a_1 + ... + a_n; products with dots are not read")
		default:
			return left
		}
		p.next()
		right := p.signed()
		if !p.value(left) || !p.value(right) {
			return nil
		}
		switch k {
		case tPlus:
			left = p.binary(Add, left, right)
		case tMinus:
			left = p.binary(Sub, left, right)
		default:
			left = p.binary(PlusMinus, left, right)
		}
	}
	return nil
}

// signed := ("+"|"-"|"±") signed | term. A sign in front takes the whole
// term: -2x is -(2x), -x^2 is -(x^2).
func (p *parser) signed() *Node {
	k := p.k
	if k != tPlus && k != tMinus && k != tPlusMinus {
		return p.term()
	}
	return p.afterSign(k, p.signed)
}

// afterSign reads a sign and what it applies to.
func (p *parser) afterSign(k kind, operand func() *Node) *Node {
	defer p.leave()
	if !p.enter() {
		return nil
	}
	from := p.i
	if k == tPlus && p.peek(1) == tMinus && !p.toks[p.i+1].spaced {
		p.next()
		p.note(notePlusMinus, p.toksFrom(from))
		k = tPlusMinus
	}
	p.next()
	n := operand()
	if n == nil {
		return nil
	}
	if n.Kind == Infinity && k != tPlusMinus {
		if k == tPlus {
			n.At = p.since(from)
			return n
		}
		return p.unary(Neg, p.since(from), n)
	}
	if !p.value(n) {
		return nil
	}
	at := p.toksFrom(from)
	at.End = n.At.End
	switch k {
	case tPlus:
		return p.unary(Plus, at, n)
	case tMinus:
		return p.unary(Neg, at, n)
	}
	return p.unary(PlusMinus, at, n)
}

// term := power (("*"|"/"|nothing) power)*, from left to right. After a
// written sign the factor may have a sign of its own.
func (p *parser) term() *Node {
	left := p.power()
	for left != nil {
		var right *Node
		kind, implicit := Mul, false
		switch {
		case p.k == tTimes:
			p.next()
			right = p.signedPower()
		case p.k == tDivide, p.k == tColon && !p.ctx.braces:
			kind = Div
			p.next()
			right = p.signedPower()
		case p.startsFactor(left):
			implicit = true
			if !p.checkImplicit(left) {
				return nil
			}
			right = p.power()
		default:
			return left
		}
		if !p.value(left) || !p.value(right) {
			return nil
		}
		left = p.binary(kind, left, right)
		if left != nil {
			left.Implicit = implicit
		}
	}
	return nil
}

// signedPower is a factor after * or /: 2*-3.
func (p *parser) signedPower() *Node {
	if p.k == tPlus || p.k == tMinus {
		return p.afterSign(p.k, p.signedPower)
	}
	return p.power()
}

// startsFactor reports that the next token begins a factor without a sign.
func (p *parser) startsFactor(left *Node) bool {
	switch p.k {
	case tNumber, tName, tVulgar, tSqrt, tLatexSqrt, tRoot, tAbs, tSum, tFrac, tLParen, tLBar, tInfinity:
	case tLBracket:
		if p.ctx.interval {
			return false
		}
	case tBar:
		if p.ctx.bars || p.ctx.builder {
			return false
		}
	default:
		return false
	}
	if p.brackets == 0 && p.tok().broken {
		return false
	}
	return is(left, valueKinds)
}

// checkImplicit notes or refuses products without a sign that may be meant
// otherwise.
func (p *parser) checkImplicit(left *Node) bool {
	t, before := p.tok(), &p.toks[p.i-1]
	switch {
	case p.k == tNumber && before.kind == tNumber && before.level == onLine:
		p.failTok(codeNumbers, "expected a sign between the numbers "+quote(p.tokText(before))+" and "+quote(p.tokText(t)), "write 2*3 for a product, 2 + 1/2 for a mixed number")
		return false
	case p.k == tNumber:
		p.note(noteLetterNumber, span(p.text, before, t))
	case left.Kind == Div && !left.Grouped:
		p.note(noteDivision, p.here())
	case p.i == p.bareRoot && !t.spaced:
		p.note(noteBareRoot, left.At)
	}
	return true
}

// power := primary [raised] | primary "^" exponent
func (p *parser) power() *Node {
	base := p.primary()
	if base == nil || p.k != tPower && (p.k != tOther || p.level != onLine) {
		return base
	}
	return p.powerOf(base)
}

// powerOf reads the exponent of a base already read, if there is one.
// 2^3^2 is 2^(3^2).
func (p *parser) powerOf(base *Node) *Node {
	var exp *Node
	switch {
	case p.k == tOther && p.tok().level == raised:
		exp = p.atLevel(raised, p.sum)
		if exp != nil && (p.k == tPower || p.k == tOther && p.tok().level == raised) {
			return p.failTok(codePower, "expected the end of the power, found "+p.found(), "use brackets: (x²)^3 or x^(2^3)")
		}
	case p.k == tPower:
		p.next()
		exp = p.exponent()
	default:
		return base
	}
	if !p.value(base) || !p.value(exp) {
		return nil
	}
	if base.Kind == Name && len(base.Kids) == 0 && (p.k == tUnder || p.k == tOther && p.tok().level == lowered) {
		base = p.indexed(base) // a²_i is a_i²
	}
	n := p.binary(Pow, base, exp)
	if n != nil {
		n.At.End = p.since(p.i - 1).End
	}
	return n
}

// exponent := sign exponent | group [^ exponent] | power
func (p *parser) exponent() *Node {
	defer p.leave()
	if !p.enter() {
		return nil
	}
	switch p.k {
	case tPlus, tMinus:
		return p.afterSign(p.k, p.exponent)
	case tLBrace:
		n := p.braced()
		if n != nil && p.k == tPower {
			return p.powerOf(n)
		}
		return n
	}
	return p.power()
}

// dotted reads a sum with dots: left is the sum before them, and the current
// token is the sign before the dots. All its terms, before and after, become
// the kids of one Ellipsis.
func (p *parser) dotted(left *Node) *Node {
	if !p.value(left) {
		return nil
	}
	base := len(p.items)
	p.flatten(left)
	split := len(p.items) - base
	p.next()
	p.next()
	if p.k != tPlus && p.k != tMinus {
		return p.expected(codeDots, "a sign and a last term")
	}
	for p.k == tPlus || p.k == tMinus {
		minus, from := p.k == tMinus, p.i
		p.next()
		if p.k == tDots {
			return p.failTok(codeDots, "expected one sum with dots, found dots again", "put each sum in brackets")
		}
		n := p.signed()
		if !p.value(n) {
			return nil
		}
		if minus {
			at := p.toksFrom(from)
			at.End = n.At.End
			n = p.unary(Neg, at, n)
		}
		p.items = append(p.items, n)
	}
	if p.k == tPlusMinus {
		return p.failTok(codeDots, "expected + or - in a sum with dots, found "+p.found(), "")
	}
	n := p.listOf(Ellipsis, p.items[base:])
	p.items = p.items[:base]
	if n != nil {
		n.Split = split
	}
	return n
}

// flatten pushes the terms of a sum; a subtracted one as its negative.
func (p *parser) flatten(n *Node) {
	if n.Grouped || n.Kind != Add && n.Kind != Sub {
		p.items = append(p.items, n)
		return
	}
	p.flatten(n.Kids[0])
	right := n.Kids[1]
	if n.Kind == Sub {
		right = p.unary(Neg, right.At, right)
	}
	p.items = append(p.items, right)
}
