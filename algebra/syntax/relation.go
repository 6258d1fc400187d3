package syntax

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
// set is wanted, and the letter R into ℝ.
func (p *parser) asInterval(n *Node) {
	if n.Kind == Name && len(n.Kids) == 0 && (n.Text == "R" || n.Text == "Z" || n.Text == "N" || n.Text == "Q") {
		n.Kind = Standard
	}
	if n.Kind == Tuple && len(n.Kids) == 2 && is(n.Kids[0], valueKinds) && is(n.Kids[1], valueKinds) {
		n.Kind, n.LeftOpen, n.RightOpen = Interval, true, true
	}
}
