package syntax

import (
	"strings"
	"unicode/utf8"

	"squaremark/algebra/source"
)

// context is what a bracket changes for the text inside it.
type context struct {
	bars     bool // an | closes
	interval bool // a [ closes
	braces   bool // a : or an odd | means "such that"
	builder  bool
	tight    bool // a comma stands tight between digits
}

// parser turns tokens into a tree by recursive descent. After the first
// problem every method finds tEnd and returns nil.
type parser struct {
	text     string
	toks     []token
	i        int
	k        kind // of toks[i]; tOther when it stands at another level
	level    level
	depth    int
	maxDepth int
	left     int // nodes that may still be made
	brackets int // open brackets: line breaks inside are spaces
	ctx      context
	bareRoot int  // index of the token after a root without brackets
	tight    bool // some comma stands tight between digits
	err      *source.Diag
	notes    notes
	nodes    []Node
	kids     []*Node
	rels     []Rel
	items    []*Node
	joins    []kind
}

func (p *parser) next() {
	if p.i < len(p.toks)-1 {
		p.i++
	}
	p.look()
}

// look sets k from the current token.
func (p *parser) look() {
	t := &p.toks[p.i]
	switch {
	case p.err != nil:
		p.k = tEnd
	case t.level != p.level && t.kind != tEnd:
		p.k = tOther
	default:
		p.k = t.kind
	}
}

func (p *parser) tok() *token { return &p.toks[p.i] }

// peek is the kind of the token n places on, tEnd beyond the end.
func (p *parser) peek(n int) kind {
	if p.i+n < len(p.toks) && p.err == nil {
		return p.toks[p.i+n].kind
	}
	return tEnd
}

// atLevel runs read with the tokens of another level in view.
func (p *parser) atLevel(l level, read func() *Node) *Node {
	old := p.level
	p.level = l
	p.look()
	n := read()
	p.level = old
	p.look()
	return n
}

// enter counts one level of nesting; every recursion passes through it.
func (p *parser) enter() bool {
	p.depth++
	if p.depth > p.maxDepth {
		p.failTok(codeDepth, "the formula is nested more than "+itoa(p.maxDepth)+" levels deep", "")
		return false
	}
	return p.err == nil
}

func (p *parser) leave() { p.depth-- }

// fail records the first problem and turns the rest of the text into its end.
func (p *parser) fail(code string, at source.Span, message, hint string) *Node {
	if p.err == nil {
		p.err = errorAt(code, at, p.text, message, hint)
		p.k = tEnd
	}
	return nil
}

func (p *parser) failTok(code, message, hint string) *Node {
	return p.fail(code, p.here(), message, hint)
}

// expected says what was wanted, after what, and what was found instead.
func (p *parser) expected(code, want string) *Node {
	if p.err != nil {
		return nil
	}
	after := " at the start"
	if p.i > 0 {
		after = " after " + quote(p.tokText(&p.toks[p.i-1]))
	}
	return p.failTok(code, "expected "+want+after+", found "+p.found(), p.hintFor())
}

// found describes the current token.
func (p *parser) found() string {
	t := p.tok()
	if t.kind == tEnd {
		if int(t.start) < len(p.text) {
			return "the end of the line"
		}
		return "the end of the text"
	}
	return quote(p.tokText(t))
}

// hintFor is a hint for a token that stands where it cannot.
func (p *parser) hintFor() string {
	switch t := p.tok(); t.kind {
	case tWord:
		return "only formulas are read; put a sign between the letters of a product"
	case tRelation:
		return "write both sides, as in x >= 2"
	case tLink:
		return "a link stands between two formulas"
	}
	return ""
}

func (p *parser) note(code string, at source.Span) { p.notes.add(code, at, p.text) }

func (p *parser) here() source.Span { return span(p.text, p.tok(), p.tok()) }

func (p *parser) tokText(t *token) string { return p.text[t.start:t.end] }

// span is the stretch from token a to token b.
func span(text string, a, b *token) source.Span {
	runes := 1
	if b.end-b.start != 1 {
		runes = utf8.RuneCountInString(text[b.start:b.end])
	}
	return source.Span{
		Start: source.Position{Line: int(a.line), Column: int(a.col), Offset: int(a.start)},
		End:   source.Position{Line: int(b.line), Column: int(b.col) + runes, Offset: int(b.end)},
	}
}

// since is the span from token index from to the last token read.
func (p *parser) since(from int) source.Span {
	to := max(p.i-1, from)
	return span(p.text, &p.toks[from], &p.toks[to])
}

// toksFrom is the span from token index from to the current token.
func (p *parser) toksFrom(from int) source.Span { return span(p.text, &p.toks[from], p.tok()) }

// node takes a node from the slab. It is nil once the text is refused.
func (p *parser) node(k Kind, at source.Span) *Node {
	if p.err != nil {
		return nil
	}
	if p.left--; p.left < 0 {
		return p.fail(codeNodes, at, "the formula is too large", "")
	}
	if len(p.nodes) == cap(p.nodes) {
		p.nodes = make([]Node, 0, 32)
	}
	p.nodes = p.nodes[:len(p.nodes)+1]
	n := &p.nodes[len(p.nodes)-1]
	n.Kind, n.At = k, at
	return n
}

func (p *parser) leaf(k Kind, at source.Span, text string) *Node {
	n := p.node(k, at)
	if n != nil {
		n.Text = text
	}
	return n
}

// room takes a slice of n kids from the slab.
func (p *parser) room(n int) []*Node {
	if len(p.kids)+n > cap(p.kids) {
		p.kids = make([]*Node, 0, max(32, n))
	}
	from := len(p.kids)
	p.kids = p.kids[:from+n]
	return p.kids[from : from+n : from+n]
}

// unary, binary and listOf make a node from kids that may be nil after a
// problem.
func (p *parser) unary(k Kind, at source.Span, a *Node) *Node {
	if a == nil {
		return nil
	}
	n := p.node(k, at)
	if n != nil {
		n.Kids = p.room(1)
		n.Kids[0] = a
	}
	return n
}

func (p *parser) binary(k Kind, a, b *Node) *Node {
	if a == nil || b == nil {
		return nil
	}
	n := p.node(k, a.At.To(b.At))
	if n != nil {
		n.Kids = p.room(2)
		n.Kids[0], n.Kids[1] = a, b
	}
	return n
}

func (p *parser) listOf(k Kind, kids []*Node) *Node {
	if p.err != nil || len(kids) == 0 {
		return nil
	}
	n := p.node(k, kids[0].At.To(kids[len(kids)-1].At))
	if n != nil {
		n.Kids = p.room(len(kids))
		copy(n.Kids, kids)
	}
	return n
}

func (p *parser) oneRel(r Rel) []Rel {
	if len(p.rels) == cap(p.rels) {
		p.rels = make([]Rel, 0, 8)
	}
	from := len(p.rels)
	p.rels = append(p.rels, r)
	return p.rels[from : from+1 : from+1]
}

// Sets of kinds, for checks of what may stand where.
const (
	valueKinds   = 1<<Number | 1<<Name | 1<<Neg | 1<<Plus | 1<<Add | 1<<Sub | 1<<Mul | 1<<Div | 1<<Pow | 1<<Root | 1<<Abs | 1<<PlusMinus | 1<<BigSum | 1<<Ellipsis
	setKinds     = 1<<Set | 1<<Interval | 1<<Standard | 1<<Union | 1<<Intersection | 1<<Without | 1<<Compose
	formulaKinds = 1<<Relation | 1<<And | 1<<Or | 1<<In | 1<<Not | 1<<Implies | 1<<Iff
)

func is(n *Node, kinds uint64) bool { return kinds>>uint(n.Kind)&1 == 1 }

// infinite reports ∞ and -∞.
func infinite(n *Node) bool {
	return n.Kind == Infinity || n.Kind == Neg && n.Kids[0].Kind == Infinity
}

// value checks that n can be calculated with.
func (p *parser) value(n *Node) bool {
	switch {
	case n == nil || p.err != nil:
		return false
	case infinite(n):
		p.failInfinity(n)
		return false
	case is(n, valueKinds) && (n.Kind != Ellipsis || len(n.Kids) > 0):
		return true
	}
	p.fail(codeOperand, n.At, "expected a number or an expression, found "+what(n)+": "+quote(n.At.In(p.text)), "")
	return false
}

func (p *parser) failInfinity(n *Node) {
	p.fail(codeInfinity, n.At, "∞ is not a number: it can only be an end of an interval", "write x > 3 or (3, ∞)")
}

// what names the kind of a node in a message.
func what(n *Node) string {
	switch n.Kind {
	case Tuple:
		return "a tuple"
	case List:
		return "a list"
	case Interval:
		return "an interval"
	case None:
		return "an empty answer"
	case Ellipsis:
		return "dots"
	}
	switch {
	case is(n, setKinds):
		return "a set"
	case is(n, formulaKinds):
		return "a formula"
	}
	return "an expression"
}

func (p *parser) numberText(t *token) string {
	s := p.text[t.start:t.end]
	switch {
	case t.level != onLine:
		return scriptDigits(s)
	case s[0] == '.':
		return "0" + s
	}
	if i := strings.IndexByte(s, ','); i >= 0 {
		return s[:i] + "." + s[i+1:]
	}
	return s
}
