package syntax

import "strings"

// MathML prints a tree as one inline math element in the MathML Core
// vocabulary (math mrow mi mn mo mtext mspace mfrac msqrt mroot msub msup
// munderover), for people to see; the minus sign is U+2212. alttext carries
// the plain text. Cost: linear in the tree.
func MathML(n *Node) string {
	w := mathWriter{}
	w.put(`<math xmlns="http://www.w3.org/1998/Math/MathML" alttext="`)
	w.put(escapeXML(Plain(n)))
	w.put(`">`)
	w.node(n, nil, 0)
	w.put("</math>")
	return w.b.String()
}

func escapeXML(s string) string {
	return strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;").Replace(s)
}

type mathWriter struct{ b strings.Builder }

func (w *mathWriter) put(s string) { w.b.WriteString(s) }

// element prints an element that holds text.
func (w *mathWriter) element(tag, text string) {
	w.put("<" + tag + ">" + escapeXML(text) + "</" + tag + ">")
}

func (w *mathWriter) op(s string) { w.element("mo", s) }

// words prints words with a space on either side.
func (w *mathWriter) words(s string) {
	w.put("<mtext>\u00a0" + s + "\u00a0</mtext>")
}

// in prints an element with printed content.
func (w *mathWriter) in(tag string, content ...func()) {
	w.put("<" + tag + ">")
	for _, c := range content {
		c()
	}
	w.put("</" + tag + ">")
}

// row prints a node as exactly one element.
func (w *mathWriter) row(n *Node) func() {
	return func() {
		switch {
		case is(n, oneElement):
			w.node(n, nil, 0)
		default:
			w.in("mrow", func() { w.node(n, nil, 0) })
		}
	}
}

// oneElement are the kinds that print as one element already.
const oneElement = 1<<Number | 1<<Name | 1<<Div | 1<<Root | 1<<Pow | 1<<Abs | 1<<Infinity | 1<<Standard | 1<<Tuple | 1<<Set

// loose reports that kid i of n needs brackets.
func (w *mathWriter) loose(n *Node, i int) bool { return precedence(n.Kids[i], false) < wants(n, i) }

func (w *mathWriter) kid(n *Node, i int) {
	k := n.Kids[i]
	if !w.loose(n, i) {
		w.node(k, n, i)
		return
	}
	w.fenced("(", ")", func() { w.node(k, nil, 0) })
}

func (w *mathWriter) fenced(left, right string, content func()) {
	w.in("mrow", func() { w.op(left) }, content, func() { w.op(right) })
}

func (w *mathWriter) seq(n *Node, sep func()) {
	for i := range n.Kids {
		if i > 0 {
			sep()
		}
		w.kid(n, i)
	}
}

func (w *mathWriter) sign(s string) func() { return func() { w.op(s) } }

func (w *mathWriter) node(n, parent *Node, place int) {
	switch n.Kind {
	case Number:
		w.element("mn", n.Text)
	case Name:
		w.name(n)
	case Neg:
		w.op("\u2212")
		w.kid(n, 0)
	case Plus:
		w.op("+")
		w.kid(n, 0)
	case Add:
		w.seq(n, w.sign("+"))
	case Sub:
		w.seq(n, w.sign("\u2212"))
	case PlusMinus:
		if len(n.Kids) == 1 {
			w.op("±")
		}
		w.seq(n, w.sign("±"))
	case Mul:
		times := "\u2062"
		if !n.Implicit || n.Kids[1].Kind == Number || n.Kids[0].Kind == Number && n.Kids[1].Kind == Div {
			times = "⋅"
		}
		w.seq(n, w.sign(times))
	case Div:
		w.in("mfrac", w.row(n.Kids[0]), w.row(n.Kids[1]))
	case Pow:
		base := w.row(n.Kids[0])
		if w.loose(n, 0) {
			base = func() { w.kid(n, 0) }
		}
		w.in("msup", base, w.row(n.Kids[1]))
	case Root:
		if k := n.Kids[1]; k.Kind == Number && k.Text == "2" {
			w.in("msqrt", w.row(n.Kids[0]))
		} else {
			w.in("mroot", w.row(n.Kids[0]), w.row(k))
		}
	case Abs:
		w.fenced("|", "|", func() { w.node(n.Kids[0], nil, 0) })
	case BigSum:
		w.in("munderover", w.sign("∑"),
			func() {
				w.in("mrow", func() { w.element("mi", greekSign(n.Text)) }, w.sign("="), func() { w.node(n.Kids[0], nil, 0) })
			}, w.row(n.Kids[1]))
		w.kid(n, 2)
	case Ellipsis:
		w.dots(n)
	default:
		w.statement(n, parent, place)
	}
}

func (w *mathWriter) statement(n, parent *Node, place int) {
	switch n.Kind {
	case Relation:
		for i := range n.Kids {
			if i > 0 {
				w.op([...]string{"=", "≠", "<", "≤", ">", "≥"}[n.Rels[i-1]])
			}
			w.kid(n, i)
		}
	case And:
		if n.Text == "" {
			w.seq(n, func() { w.words("and") })
		} else {
			w.seq(n, w.sign(n.Text))
		}
	case Or:
		w.seq(n, func() { w.words("or") })
	case Not:
		w.op("¬")
		w.kid(n, 0)
	case Implies:
		w.seq(n, w.sign("⇒"))
	case Iff:
		w.seq(n, w.sign("⇔"))
	case Tuple:
		w.fenced("(", ")", func() { w.seq(n, w.sign(",")) })
	case Set:
		w.fenced("{", "}", func() { w.seq(n, w.sign(",")) })
	case Compose:
		w.fenced("{", "}", func() {
			w.node(n.Kids[0], nil, 0)
			w.op("∣")
			w.node(n.Kids[1], nil, 0)
		})
	case List:
		for i := range n.Kids {
			switch {
			case i == 0:
			case n.Text != "" && i == len(n.Kids)-1:
				w.words(n.Text)
			default:
				w.op(",")
			}
			w.kid(n, i)
		}
	case Interval:
		left, right := intervalBrackets(n, parent, place)
		w.fenced(left, right, func() {
			w.node(n.Kids[0], nil, 0)
			w.op(",")
			w.node(n.Kids[1], nil, 0)
		})
	case Infinity:
		w.element("mi", "∞")
	case Standard:
		w.element("mi", doubleStruck(n.Text))
	case In:
		sign := "∈"
		if n.Negated {
			sign = "∉"
		}
		w.seq(n, w.sign(sign))
	case Union:
		w.seq(n, w.sign("∪"))
	case Intersection:
		w.seq(n, w.sign("∩"))
	case Without:
		w.seq(n, w.sign("∖"))
	case None:
		w.element("mtext", "no solutions")
	}
}

func (w *mathWriter) name(n *Node) {
	letter := func() { w.element("mi", greekSign(n.Text)) }
	if len(n.Kids) == 0 {
		letter()
		return
	}
	w.in("msub", letter, w.row(n.Kids[0]))
}

func (w *mathWriter) dots(n *Node) {
	if len(n.Kids) == 0 {
		w.op("…")
	}
	for i, k := range n.Kids {
		if i == n.Split && i > 0 {
			if k.Kind == Neg {
				w.op("\u2212")
			} else {
				w.op("+")
			}
			w.op("⋯")
		}
		switch {
		case i == 0:
			w.kid(n, i)
		case k.Kind == Neg:
			w.op("\u2212")
			w.kid(k, 0)
		default:
			w.op("+")
			w.kid(n, i)
		}
	}
}

// greekSign is the letter itself for a Greek letter's name.
func greekSign(name string) string {
	aux := auxGreekName(name)
	switch {
	case aux == 0:
		return name
	case aux >= auxCapital:
		i := rune(aux - auxCapital)
		if name == "Sigma" {
			i = 0x3a3 - 0x391
		}
		return string(0x391 + i)
	case name == "sigma":
		return "σ"
	}
	return string(0x3b1 + rune(aux-auxGreek))
}
