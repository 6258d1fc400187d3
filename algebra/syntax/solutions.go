package syntax

// solutions reads several values of one name, with nothing but commas,
// semicolons or line breaks between them, as alternatives: "x = 1, x = -2",
// and "x = 1, y = 2; x = 2, y = 1", also with commas throughout. Read
// together they could not hold. It returns nil for anything else.
func (p *parser) solutions(items []*Node) *Node {
	rows := items
	if width := period(items); width > 1 {
		rows = nil
		for i := 0; i < len(items); i += width {
			row := p.listOf(And, items[i:i+width])
			if row == nil {
				return nil
			}
			row.Text = ","
			rows = append(rows, row)
		}
	}
	if len(rows) < 2 {
		return nil
	}
	first, ok := assigned(rows[0])
	if !ok {
		return nil
	}
	for _, row := range rows[1:] {
		names, ok := assigned(row)
		if !ok || len(names) != len(first) {
			return nil
		}
		for i := range names {
			if !contains(names, first[i]) {
				return nil
			}
		}
	}
	p.note(noteAlternatives, items[0].At.To(items[len(items)-1].At))
	return p.listOf(Or, rows)
}

// assigned lists the names that "x = 1" or "x = 1, y = 2" gives a value, each
// once.
func assigned(n *Node) ([]*Node, bool) {
	parts := []*Node{n}
	if n.Kind == And {
		parts = n.Kids
	}
	names := make([]*Node, 0, len(parts))
	for _, k := range parts {
		if k.Kind != Relation || len(k.Rels) != 1 || k.Rels[0] != Eq || k.Kids[0].Kind != Name || hasName(k.Kids[1]) || contains(names, k.Kids[0]) {
			return nil, false
		}
		names = append(names, k.Kids[0])
	}
	return names, true
}

// period is the number of items after which the name of the first one comes
// again, when that goes into the number of items.
func period(items []*Node) int {
	for i, n := range items {
		if n.Kind != Relation || i > 0 && Equal(n.Kids[0], items[0].Kids[0]) {
			if n.Kind == Relation && len(items)%i == 0 {
				return i
			}
			return 0
		}
	}
	return 0
}

func contains(names []*Node, name *Node) bool {
	for _, n := range names {
		if Equal(n, name) {
			return true
		}
	}
	return false
}

func hasName(n *Node) bool {
	if n.Kind == Name {
		return true
	}
	for _, k := range n.Kids {
		if hasName(k) {
			return true
		}
	}
	return false
}

// endsInTuple reports a tuple, or a relation whose last side is one.
func endsInTuple(n *Node) bool {
	return n.Kind == Tuple || n.Kind == Relation && n.Kids[len(n.Kids)-1].Kind == Tuple
}

func only(joins []kind, k kind) bool {
	for _, j := range joins {
		if j != k {
			return false
		}
	}
	return true
}

// columnOfNumbers reports a text of two or more lines, each of them one
// number with or without a sign, so that a sign that begins a line belongs to
// the number after it.
func columnOfNumbers(toks []token) bool {
	toks = toks[:len(toks)-1] // the end token
	lines := 0
	for from := 0; from < len(toks); lines++ {
		to := from + 1
		for to < len(toks) && !toks[to].broken {
			to++
		}
		if !isNumberLine(toks[from:to]) {
			return false
		}
		from = to
	}
	return lines > 1
}

// isNumberLine reports 3, -3, 3/2 or -3/2, with or without a comma or
// semicolon after it.
func isNumberLine(line []token) bool {
	if k := line[len(line)-1].kind; k == tComma || k == tSemicolon {
		line = line[:len(line)-1]
	}
	if len(line) > 1 && (line[0].kind == tMinus || line[0].kind == tPlus || line[0].kind == tPlusMinus) {
		line = line[1:]
	}
	return len(line) == 1 && line[0].kind == tNumber ||
		len(line) == 3 && line[0].kind == tNumber && line[1].kind == tDivide && line[2].kind == tNumber
}
