package syntax

// assemble puts the items of a group together. joins[i] stands between
// items[i] and items[i+1]: tComma, tAnd or tOr. Both slices are scratch.
//
// Values beside a relation join it: "x = 0, 1 or 2" and "a, b, c > 0". Then
// either all items are values (a list) or all are formulas.
func (p *parser) assemble(items []*Node, joins []kind) *Node {
	if p.err != nil {
		return nil
	}
	items, joins = p.attach(items, joins)
	if p.err != nil {
		return nil
	}
	formulas := countFormulas(items)
	switch {
	case formulas == 0:
		return p.list(items, p.joinText(joins, items[0], items[len(items)-1]))
	case formulas < len(items):
		return p.mixed(items)
	case len(items) == 1:
		return items[0]
	case serial(items, joins):
		return p.listOf(Or, items)
	}
	if only(joins, tComma) {
		if n := p.solutions(items); n != nil {
			return n
		}
	}
	return p.alternatives(items, joins)
}

// joinText is the Text of a list with these joins.
func (p *parser) joinText(joins []kind, first, last *Node) string {
	text := ""
	for _, j := range joins {
		switch {
		case j == tOr:
			text = "or"
		case j == tAnd && text == "":
			text = "and"
			p.note(noteAndList, first.At.To(last.At))
		}
	}
	return text
}

// list makes a List of values; ∞ and empty answers are none.
func (p *parser) list(items []*Node, text string) *Node {
	for _, n := range items {
		if n.Kind == None || n.Kind == List {
			return p.fail(codeMixed, n.At, "expected a value in the list, found "+what(n)+": "+quote(n.At.In(p.text)), "")
		}
	}
	n := p.listOf(List, items)
	if n != nil {
		n.Text = text
	}
	return n
}

func (p *parser) mixed(items []*Node) *Node {
	for _, n := range items {
		if !is(n, formulaKinds) {
			return p.fail(codeMixed, n.At, "expected a formula beside the other formulas, found "+what(n)+": "+quote(n.At.In(p.text)), "write x = ... for each value")
		}
	}
	return nil
}

// attach joins runs of values to the relation before them, when its last
// sign is = or ≠, or else to the relation or membership after them. A run of
// plain names between two formulas goes to the one after.
func (p *parser) attach(items []*Node, joins []kind) ([]*Node, []kind) {
	var out []*Node
	var outJoins []kind
	if n := countFormulas(items); n == 0 || n == len(items) {
		return items, joins
	}
	for i := 0; i < len(items); {
		if i > 0 && len(out) > 0 {
			outJoins = append(outJoins, joins[i-1])
		}
		if is(items[i], formulaKinds) {
			out = append(out, items[i])
			i++
			continue
		}
		end := i
		names := true
		for end < len(items) && !is(items[end], formulaKinds) {
			names = names && (items[end].Kind == Name || items[end].Kind == Ellipsis)
			end++
		}
		run := items[i:end]
		if len(out) > 0 && takesRight(out[len(out)-1]) && !(end < len(items) && names && joins[end-1] != tOr && takesLeft(items[end])) {
			p.attachRight(out[len(out)-1], run, joins[i-1:end-1])
			outJoins = outJoins[:len(outJoins)-1]
			i = end
			continue
		}
		if end < len(items) && takesLeft(items[end]) && p.attachLeft(items[end], run, joins[i:end]) {
			out = append(out, items[end])
			i = end + 1
			continue
		}
		out = append(out, run...)
		outJoins = append(outJoins, joins[i:end-1]...)
		i = end
	}
	return out, outJoins
}

func takesRight(n *Node) bool {
	if n.Kind != Relation || n.Grouped {
		return false
	}
	r := n.Rels[len(n.Rels)-1]
	return r == Eq || r == Ne
}

func takesLeft(n *Node) bool {
	return (n.Kind == Relation || n.Kind == In) && !n.Grouped && n.Kids[0].Kind != List
}

func (p *parser) attachRight(rel *Node, run []*Node, joins []kind) {
	last := len(rel.Kids) - 1
	items := append([]*Node{rel.Kids[last]}, run...)
	list := p.list(items, p.joinText(joins, rel, run[len(run)-1]))
	if list != nil {
		rel.Kids[last] = list
		rel.At.End = list.At.End
	}
}

// attachLeft refuses a bare number: 0,75x > 1 is no list.
func (p *parser) attachLeft(rel *Node, run []*Node, joins []kind) bool {
	for _, n := range run {
		if n.Kind == Number || n.Kind == Neg && n.Kids[0].Kind == Number {
			return false
		}
	}
	items := append(append([]*Node(nil), run...), rel.Kids[0])
	list := p.list(items, p.joinTextLeft(joins))
	if list == nil {
		return false
	}
	rel.Kids[0] = list
	rel.At.Start = list.At.Start
	return true
}

func (p *parser) joinTextLeft(joins []kind) string {
	for _, j := range joins {
		if j == tOr {
			return "or"
		}
	}
	for _, j := range joins {
		if j == tAnd {
			return "and"
		}
	}
	return ""
}

// serial recognises "x = 0, x = 1 or x = 2": equations for the same left
// side, the last join is or and the others are commas.
func serial(items []*Node, joins []kind) bool {
	last := len(joins) - 1
	if last < 1 || joins[last] != tOr {
		return false
	}
	for _, j := range joins[:last] {
		if j != tComma {
			return false
		}
	}
	for _, n := range items {
		if n.Kind != Relation || len(n.Rels) != 1 || n.Rels[0] != Eq || !Equal(n.Kids[0], items[0].Kids[0]) {
			return false
		}
	}
	return true
}

// alternatives splits at or; and and comma bind tighter.
func (p *parser) alternatives(items []*Node, joins []kind) *Node {
	var parts []*Node
	from, comma, or := 0, false, false
	for i := 0; i <= len(joins); i++ {
		if i < len(joins) && joins[i] != tOr {
			comma = comma || joins[i] == tComma
			continue
		}
		or = or || i < len(joins)
		part := items[from]
		if i > from {
			part = p.listOf(And, items[from:i+1])
			if part == nil {
				return nil
			}
			part.Text = ","
			for _, j := range joins[from:i] {
				if j == tAnd {
					part.Text = ""
				}
			}
		}
		parts = append(parts, part)
		from = i + 1
	}
	if comma && or {
		p.note(noteCommaOr, items[0].At.To(items[len(items)-1].At))
	}
	if len(parts) == 1 {
		return parts[0]
	}
	return p.listOf(Or, parts)
}
