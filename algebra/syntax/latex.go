package syntax

// LaTeX prints a tree as LaTeX for formulas (no dollar signs, AMS commands)
// that reads back to an equal tree. Cost: linear in the text, for products of
// at most a few factors each.
func LaTeX(n *Node) string {
	w := latexWriter{}
	w.node(n, nil, 0)
	return string(w.b)
}

type latexWriter struct{ b []byte }

func (w *latexWriter) put(s string) { w.b = append(w.b, s...) }

func (w *latexWriter) kid(n *Node, i int) {
	k := n.Kids[i]
	if precedence(k, false) >= wants(n, i) {
		w.node(k, n, i)
		return
	}
	w.put(`\left(`)
	w.node(k, nil, 0)
	w.put(`\right)`)
}

func (w *latexWriter) seq(n *Node, sep string) {
	for i := range n.Kids {
		if i > 0 {
			w.put(sep)
		}
		w.kid(n, i)
	}
}

// group prints a node in braces.
func (w *latexWriter) group(n *Node) {
	w.put("{")
	w.node(n, nil, 0)
	w.put("}")
}

func (w *latexWriter) node(n, parent *Node, place int) {
	switch n.Kind {
	case Number:
		w.put(n.Text)
	case Name:
		w.letter(n.Text)
		if len(n.Kids) > 0 {
			w.put("_")
			w.group(n.Kids[0])
		}
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
			w.put(`\pm `)
			w.kid(n, 0)
			return
		}
		w.seq(n, ` \pm `)
	case Mul:
		w.product(n)
	case Div:
		w.put(`\frac`)
		w.group(n.Kids[0])
		w.group(n.Kids[1])
	case Pow:
		w.kid(n, 0)
		w.put("^")
		w.group(n.Kids[1])
	case Root:
		w.put(`\sqrt`)
		if k := n.Kids[1]; k.Kind != Number || k.Text != "2" {
			w.put("[")
			w.node(k, nil, 0)
			w.put("]")
		}
		w.group(n.Kids[0])
	case Abs:
		w.put(`\left|`)
		w.node(n.Kids[0], nil, 0)
		w.put(`\right|`)
	case BigSum:
		w.put(`\sum_{`)
		w.letter(n.Text)
		w.put("=")
		w.node(n.Kids[0], nil, 0)
		w.put("}^")
		w.group(n.Kids[1])
		w.put(" ")
		w.kid(n, 2)
	case Ellipsis:
		w.dots(n)
	default:
		w.statement(n, parent, place)
	}
}

// statement prints what is not an expression: formulas, sets and answers.
func (w *latexWriter) statement(n, parent *Node, place int) {
	switch n.Kind {
	case Relation:
		for i := range n.Kids {
			if i > 0 {
				w.put(latexRel(n.Rels[i-1]))
			}
			w.kid(n, i)
		}
	case And:
		if n.Text == "" {
			w.seq(n, ` \text{ and } `)
		} else {
			w.seq(n, n.Text+`\; `)
		}
	case Or:
		w.seq(n, ` \text{ or } `)
	case Not:
		w.put(`\lnot `)
		w.kid(n, 0)
	case Implies:
		w.seq(n, ` \implies `)
	case Iff:
		w.seq(n, ` \iff `)
	case Tuple:
		w.put(`\left(`)
		w.seq(n, ", ")
		w.put(`\right)`)
	case Set:
		w.put(`\{`)
		w.seq(n, ", ")
		w.put(`\}`)
	case Compose:
		w.put(`\{`)
		w.node(n.Kids[0], nil, 0)
		w.put(` \mid `)
		w.node(n.Kids[1], nil, 0)
		w.put(`\}`)
	case List:
		for i := range n.Kids {
			switch {
			case i == 0:
			case n.Text != "" && i == len(n.Kids)-1:
				w.put(` \text{ ` + n.Text + ` } `)
			default:
				w.put(", ")
			}
			w.kid(n, i)
		}
	case Interval:
		left, right := intervalBrackets(n, parent, place)
		w.put(`\left` + left)
		w.node(n.Kids[0], nil, 0)
		w.put(", ")
		w.node(n.Kids[1], nil, 0)
		w.put(`\right` + right)
	case Infinity:
		w.put(`\infty`)
	case Standard:
		w.put(`\mathbb{` + n.Text + `}`)
	case In:
		w.kid(n, 0)
		if n.Negated {
			w.put(` \notin `)
		} else {
			w.put(` \in `)
		}
		w.kid(n, 1)
	case Union:
		w.seq(n, ` \cup `)
	case Intersection:
		w.seq(n, ` \cap `)
	case Without:
		w.seq(n, ` \setminus `)
	case None:
		w.put(`\text{no solutions}`)
	}
}

// letter prints a name: a letter, or a Greek letter by its command.
func (w *latexWriter) letter(text string) {
	if len(text) > 1 {
		w.put(`\`)
	}
	w.put(text)
}

func latexRel(r Rel) string {
	return [...]string{" = ", ` \neq `, " < ", ` \le `, " > ", ` \ge `}[r]
}

func (w *latexWriter) dots(n *Node) {
	if len(n.Kids) == 0 {
		w.put(`\dots`)
	}
	for i, k := range n.Kids {
		switch {
		case i != n.Split || i == 0:
		case k.Kind == Neg:
			w.put(` - \dots`)
		default:
			w.put(` + \dots`)
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

// product prints a product without a sign where it was written so and is
// not taken for a number with more digits or a mixed number.
func (w *latexWriter) product(n *Node) {
	w.kid(n, 0)
	at := len(w.b)
	w.kid(n, 1)
	sep := " "
	digit := isDigit(w.b[at-1])
	right := w.b[at:]
	fraction := len(right) > 5 && string(right[:5]) == `\frac`
	switch {
	case !n.Implicit, isDigit(right[0]), digit && fraction:
		sep = ` \cdot `
	case digit && (isLetter(right[0]) || right[0] == '\\'):
		sep = ""
	}
	if sep != "" {
		w.b = append(w.b, sep...)
		copy(w.b[at+len(sep):], w.b[at:])
		copy(w.b[at:], sep)
	}
}
