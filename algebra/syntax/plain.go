package syntax

// Plain prints a tree as plain text that reads back to an equal tree. It uses
// no more brackets than that needs, ASCII where an exact spelling exists, and
// ℝ ℤ ℕ ℚ, ∞, ±, ∪, ∩, ∖ where not. Cost: linear in the text, for products of
// at most a few factors each.
func Plain(n *Node) string {
	w := plainWriter{}
	w.node(n, nil, 0)
	return string(w.b)
}

type plainWriter struct {
	b     []byte
	words bool // write |x| as abs(x): inside bars or braces
}

func (w *plainWriter) put(s string) { w.b = append(w.b, s...) }

// kid prints kid i of n, in brackets where it needs them.
func (w *plainWriter) kid(n *Node, i int) {
	k := n.Kids[i]
	if precedence(k, true) >= wants(n, i) {
		w.node(k, n, i)
		return
	}
	w.put("(")
	w.node(k, nil, 0)
	w.put(")")
}

// seq prints kids from to to with a separator between them.
func (w *plainWriter) seq(n *Node, sep string) {
	for i := range n.Kids {
		if i > 0 {
			w.put(sep)
		}
		w.kid(n, i)
	}
}

func (w *plainWriter) node(n, parent *Node, place int) {
	switch n.Kind {
	case Number:
		w.put(n.Text)
	case Name:
		w.name(n)
	case Neg:
		w.put("-")
		w.kid(n, 0)
	case Plus:
		w.put("+")
		w.kid(n, 0)
	case Add:
		w.seq(n, " + ")
	case Sub:
		w.seq(n, " - ")
	case PlusMinus:
		if len(n.Kids) == 1 {
			w.put("±")
			w.kid(n, 0)
			return
		}
		w.seq(n, " ± ")
	case Mul:
		w.product(n)
	case Div:
		w.seq(n, "/")
	case Pow:
		w.kid(n, 0)
		w.put("^")
		if e := n.Kids[1]; e.Kind == Neg && (e.Kids[0].Kind == Number || e.Kids[0].Kind == Name) {
			w.node(e, n, 1)
			return
		}
		w.kid(n, 1)
	case Root:
		if k := n.Kids[1]; k.Kind == Number && k.Text == "2" {
			w.put("sqrt(")
		} else {
			w.put("root(")
			w.node(n.Kids[1], nil, 0)
			w.put(", ")
		}
		w.node(n.Kids[0], nil, 0)
		w.put(")")
	case Abs:
		w.abs(n)
	case BigSum:
		w.put("sum(" + n.Text + "=")
		w.node(n.Kids[0], nil, 0)
		w.put("..")
		w.node(n.Kids[1], nil, 0)
		w.put(", ")
		w.node(n.Kids[2], nil, 0)
		w.put(")")
	case Ellipsis:
		w.dots(n)
	case Relation:
		for i := range n.Kids {
			if i > 0 {
				w.put(" " + n.Rels[i-1].String() + " ")
			}
			w.kid(n, i)
		}
	case And:
		switch n.Text {
		case "":
			w.seq(n, " and ")
		default:
			w.seq(n, n.Text+" ")
		}
	case Or:
		w.seq(n, " or ")
	case Not:
		w.put("not ")
		w.kid(n, 0)
	case Implies:
		w.seq(n, " => ")
	case Iff:
		w.seq(n, " <=> ")
	case Tuple:
		w.put("(")
		w.seq(n, ", ")
		w.put(")")
	case Set, Compose:
		w.set(n)
	case List:
		w.list(n)
	case Interval:
		left, right := intervalBrackets(n, parent, place)
		w.put(left)
		w.node(n.Kids[0], nil, 0)
		w.put(", ")
		w.node(n.Kids[1], nil, 0)
		w.put(right)
	case Infinity:
		w.put("∞")
	case Standard:
		w.put(doubleStruck(n.Text))
	case In:
		w.kid(n, 0)
		if n.Negated {
			w.put(" not")
		}
		w.put(" in ")
		w.kid(n, 1)
	case Union:
		w.seq(n, " ∪ ")
	case Intersection:
		w.seq(n, " ∩ ")
	case Without:
		w.seq(n, " ∖ ")
	case None:
		w.put("no solutions")
	}
}

func (w *plainWriter) name(n *Node) {
	w.put(n.Text)
	if len(n.Kids) == 0 {
		return
	}
	w.put("_")
	if i := n.Kids[0]; i.Kind == Number || i.Kind == Name && len(i.Kids) == 0 {
		w.put(i.Text)
		return
	}
	w.put("{")
	w.node(n.Kids[0], nil, 0)
	w.put("}")
}

func (w *plainWriter) abs(n *Node) {
	if w.words {
		w.put("abs(")
		w.node(n.Kids[0], nil, 0)
		w.put(")")
		return
	}
	w.words = true
	w.put("|")
	w.node(n.Kids[0], nil, 0)
	w.put("|")
	w.words = false
}

func (w *plainWriter) set(n *Node) {
	old := w.words
	w.words = true
	w.put("{")
	if n.Kind == Set {
		w.seq(n, ", ")
	} else {
		w.node(n.Kids[0], nil, 0)
		w.put(" | ")
		w.node(n.Kids[1], nil, 0)
	}
	w.put("}")
	w.words = old
}

func (w *plainWriter) list(n *Node) {
	for i := range n.Kids {
		switch {
		case i == 0:
		case n.Text != "" && i == len(n.Kids)-1:
			w.put(" " + n.Text + " ")
		default:
			w.put(", ")
		}
		w.kid(n, i)
	}
}

// dots prints a sum with dots, or the dots alone.
func (w *plainWriter) dots(n *Node) {
	if len(n.Kids) == 0 {
		w.put("...")
	}
	for i, k := range n.Kids {
		switch {
		case i != n.Split || i == 0:
		case k.Kind == Neg:
			w.put(" - ...")
		default:
			w.put(" + ...")
		}
		switch {
		case i == 0:
			w.kid(n, i)
		case k.Kind == Neg:
			w.put(" - ")
			w.kid(k, 0)
		default:
			w.put(" + ")
			w.kid(n, i)
		}
	}
}

// doubleStruck is the sign of a standard set.
func doubleStruck(letter string) string {
	switch letter {
	case "R":
		return "ℝ"
	case "Z":
		return "ℤ"
	case "N":
		return "ℕ"
	}
	return "ℚ"
}
