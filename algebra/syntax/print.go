package syntax

// Precedences shared by the printers, from loose to tight. A kid that binds
// looser than its place wants gets brackets.
const (
	atAny    = iota
	atLink   // beside ⇒ and ⇔
	atOr     // between semicolons
	atAnd    // beside or
	atItem   // beside and: relations
	atSet    // beside a sign of relation, in lists
	atMeet   // beside ∪ and ∖
	atSum    // beside ∩, left of + and -
	atSigned // what a sign in front makes
	atTerm   // right of + and -, after a sign; Σ without brackets of its own
	atFactor // left of * and /
	atPower  // right of * and /
	atAtom   // base of a power
)

// precedence is how tight a node binds. flat tells plain text, where a sum
// and a root are functions with brackets and a fraction is a quotient, from
// two-dimensional notation.
func precedence(n *Node, flat bool) int {
	switch n.Kind {
	case Implies, Iff:
		return atAny
	case And:
		if n.Text == ";" {
			return atLink
		}
		return atAnd
	case List:
		return atLink
	case Or:
		return atOr
	case Relation, In, Not:
		return atItem
	case Union, Without:
		return atSet
	case Intersection:
		return atMeet
	case Add, Sub:
		return atSum
	case PlusMinus:
		if len(n.Kids) == 1 {
			return atSigned
		}
		return atSum
	case Ellipsis:
		if len(n.Kids) == 0 {
			return atAtom
		}
		return atSum
	case Neg, Plus:
		return atSigned
	case BigSum:
		if flat {
			return atAtom
		}
		return atTerm
	case Mul:
		return atFactor
	case Div:
		if flat {
			return atFactor
		}
		return atPower
	case Pow:
		return atPower
	}
	return atAtom
}

// wants is how tight kid i of n must bind to stand without brackets.
func wants(n *Node, i int) int {
	k := n.Kids[i]
	switch n.Kind {
	case Implies, Iff:
		return atLink
	case And:
		switch {
		case n.Text == ";":
			return atOr
		case holdsList(k):
			return atAtom
		}
		return atItem
	case Or:
		if k.Kind == And && k.Text == "," || holdsList(k) {
			return atAtom
		}
		return atAnd
	case Not:
		if holdsList(k) {
			return atAtom
		}
		return atItem
	case Relation, In:
		if k.Kind == List {
			return atAny
		}
		return atSet
	case List, Tuple, Set:
		return atSet
	case Union, Without:
		if i == 0 && k.Kind != Union || i == 0 && n.Kind == Without {
			return atSet
		}
		return atMeet
	case Intersection:
		return atSum
	case Add, Sub, PlusMinus:
		if len(n.Kids) == 1 || i == 1 {
			return atTerm
		}
		if k.Kind == Ellipsis {
			return atAtom
		}
		return atSum
	case Neg, Plus:
		return atTerm
	case Mul, Div:
		if i == 0 {
			return atFactor
		}
		return atPower
	case Pow:
		if i == 0 {
			return atAtom
		}
		return atPower
	case Ellipsis:
		if i == 0 {
			return atSigned
		}
		return atTerm
	case BigSum:
		if i == 2 {
			return atSigned
		}
	}
	return atAny
}

// holdsList reports a relation or membership with a list in it.
func holdsList(n *Node) bool {
	if n.Kind != Relation && n.Kind != In {
		return false
	}
	for _, k := range n.Kids {
		if k.Kind == List {
			return true
		}
	}
	return false
}

// boundedBySet reports that n stands where "(2, 5)" is an interval and not a
// tuple: right of ∈, or in a union.
func boundedBySet(parent *Node, i int) bool {
	if parent == nil {
		return false
	}
	switch parent.Kind {
	case In:
		return i == 1
	case Union, Intersection, Without:
		return true
	}
	return false
}

// interval says how to write the brackets of an interval: reversed square
// brackets when round ones would make a tuple.
func intervalBrackets(n, parent *Node, i int) (left, right string) {
	left, right = "[", "]"
	if n.LeftOpen {
		left = "("
	}
	if n.RightOpen {
		right = ")"
	}
	if n.LeftOpen && n.RightOpen && !boundedBySet(parent, i) && !infinite(n.Kids[0]) && !infinite(n.Kids[1]) {
		return "]", "["
	}
	return left, right
}
