package syntax

import (
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
	column   bool // every line is a number: a sign that begins a line is its own
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
