package syntax

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"squaremark/algebra/budget"
	"squaremark/algebra/source"
)

func itoa(n int) string { return strconv.Itoa(n) }

// Line is one line of a chain: its link to the line before, and either what
// was read or why it could not be.
type Line struct {
	Link    Link
	Reading *Reading
	Diag    *source.Diag
}

// stretch is a part of a text that is read by itself.
type stretch struct {
	from, to   int
	line       int
	columnZero int // byte offset at which column 1 of the line would stand
}

// Read reads an expression, a formula or an answer. It returns either a
// reading or the first problem. Cost: linear in the text up to the matching
// of brackets, at most Limits.Depth times the text; each token spends
// budget.CostToken.
func Read(text string, m *budget.Meter) (*Reading, *source.Diag) {
	if d := tooLong(text, m); d != nil {
		return nil, d
	}
	_, r, d := readStretch(text, stretch{0, len(text), 1, 0}, m, false)
	return r, d
}

// ReadLine reads one line of a chain, which may begin with a link: a sign
// (<=>, =>, a leading <=, and their Unicode and LaTeX forms) or a word
// (hence, so, therefore, thus, implies; iff, if and only if, equivalently;
// because, since). The link is told even when the rest cannot be read.
func ReadLine(text string, m *budget.Meter) (Link, *Reading, *source.Diag) {
	if d := tooLong(text, m); d != nil {
		return NoLink, nil, d
	}
	return readStretch(text, stretch{0, len(text), 1, 0}, m, true)
}

// ReadLines reads a chain of lines. Every line break and every link outside
// brackets starts a line, blank lines are skipped, and a line that begins
// with a sign of relation other than <= continues the one before. Places are
// those of the whole text.
func ReadLines(text string, m *budget.Meter) []Line {
	if d := tooLong(text, m); d != nil {
		return []Line{{Diag: d}}
	}
	var lines []Line
	for _, s := range physical(text) {
		for _, part := range splitAtLinks(text, s) {
			link, r, d := readStretch(text, part, m, true)
			lines = append(lines, Line{link, r, d})
		}
	}
	return lines
}

func tooLong(text string, m *budget.Meter) *source.Diag {
	if len(text) <= m.Limits.Bytes {
		return nil
	}
	start := source.Position{Line: 1, Column: 1}
	return errorAt(codeBytes, source.Span{Start: start, End: start}, text,
		"the text has more than "+itoa(m.Limits.Bytes)+" bytes", "")
}

// physical cuts a text at line breaks and at the LaTeX line break \\, joins
// lines that continue, and skips blank ones.
func physical(text string) []stretch {
	var out []stretch
	at := stretch{line: 1}
	for at.from <= len(text) {
		at.to = at.from
		for at.to < len(text) && text[at.to] != '\n' && text[at.to] != '\r' && !strings.HasPrefix(text[at.to:], `\\`) {
			at.to++
		}
		body := strings.TrimLeft(text[at.from:at.to], " \t&$")
		switch {
		case strings.TrimSpace(body) == "":
		case len(out) > 0 && startsWithRelation(body):
			out[len(out)-1].to = at.to
		default:
			out = append(out, at)
		}
		at = at.after(text)
	}
	return out
}

// after is the empty stretch behind the break that ends s.
func (s stretch) after(text string) stretch {
	next := stretch{from: s.to + 1, line: s.line + 1, columnZero: s.to + 1}
	switch rest := text[s.to:]; {
	case strings.HasPrefix(rest, `\\`):
		next.from, next.line = s.to+2, s.line
		line := text[s.from:s.to]
		next.columnZero = s.columnZero + len(line) - utf8.RuneCountInString(line)
	case strings.HasPrefix(rest, "\r\n"):
		next.from++
		next.columnZero++
	}
	return next
}

// splitAtLinks cuts a stretch before every link outside round brackets and
// braces.
func splitAtLinks(text string, s stretch) []stretch {
	x := newLexer(text, s, make([]token, 0, (s.to-s.from)*3/4+2), 1<<30, false)
	if !x.lex() {
		return []stretch{s}
	}
	p := parser{text: text, toks: x.toks}
	var out []stretch
	from, depth := s, 0
	for i := range p.toks {
		t := &p.toks[i]
		switch t.kind {
		case tLParen, tLBrace, tLSet:
			depth++
		case tRParen, tRBrace, tRSet:
			depth--
		}
		link, _ := p.linkAt(i)
		if link == NoLink || depth > 0 || i == 0 {
			continue
		}
		if last, _ := p.linkAt(i - 1); last != NoLink { // "=> so": one link
			continue
		}
		from.to = int(t.start)
		out = append(out, from)
		from = stretch{int(t.start), s.to, int(t.line), int(t.start-t.col) + 1}
	}
	return append(out, from)
}

func newLexer(text string, s stretch, toks []token, maxDigits int, decimal bool) lexer {
	return lexer{text: text, pos: s.from, stop: s.to, line: s.line, origin: s.columnZero,
		toks: toks, maxDigits: maxDigits, decimal: decimal}
}

// readStretch reads with the comma as separator; if that fails and a comma
// stood tight between digits, it tries once more with the decimal comma.
func readStretch(text string, s stretch, m *budget.Meter, line bool) (Link, *Reading, *source.Diag) {
	var p parser
	link, n, notes := p.run(text, s, m, line, false)
	if p.err != nil && p.tight {
		var q parser
		if l, n, notes := q.run(text, s, m, line, true); q.err == nil {
			return l, &Reading{Text: text, Root: n, Notes: notes}, nil
		}
	}
	if p.err != nil {
		return link, nil, p.err
	}
	return link, &Reading{Text: text, Root: n, Notes: notes}, nil
}

// run lexes and parses one stretch.
func (p *parser) run(text string, s stretch, m *budget.Meter, line, decimal bool) (Link, *Node, []*source.Diag) {
	x := newLexer(text, s, make([]token, 0, (s.to-s.from)*3/4+2), m.Limits.Digits, decimal)
	ok := x.lex()
	*p = parser{text: text, toks: trimEnd(x.toks, line), maxDepth: m.Limits.Depth, left: m.Limits.Nodes, bareRoot: -1, notes: x.notes, err: x.err}
	link := NoLink
	if ok && !m.Spend(int64(len(p.toks))*budget.CostToken) {
		p.fail(codeWork, span(p.text, &p.toks[0], &p.toks[0]), "the limit on work was reached while reading", "")
	}
	if p.err != nil {
		return NoLink, nil, nil
	}
	first := min(len(p.toks), 64)
	p.nodes, p.kids = make([]Node, 0, first), make([]*Node, 0, first)
	p.look()
	link = p.leadingLink(line)
	p.column = columnOfNumbers(p.toks)
	if p.tok().kind == tEnd {
		p.failTok(codeEmpty, "expected a formula, found nothing", "")
	}
	n := p.sentence()
	if n != nil && p.tok().kind != tEnd {
		n = p.stray(n)
	}
	n = p.finish(n)
	p.toks = nil
	return link, n, p.notes.list
}

// trimEnd drops a full stop or semicolon before the end token, and in a chain
// of lines a comma as well.
func trimEnd(toks []token, line bool) []token {
	n := len(toks)
	if n <= 2 {
		return toks
	}
	if k := toks[n-2].kind; k != tPeriod && k != tSemicolon && !(k == tComma && line) {
		return toks
	}
	toks[n-2] = toks[n-1]
	return toks[:n-1]
}

// leadingLink reads the link a line begins with. Before an answer, only a
// word such as "hence" is skipped, with a note.
func (p *parser) leadingLink(line bool) Link {
	link := NoLink
	for {
		l, width := p.linkAt(p.i)
		t := p.tok()
		if l == NoLink && line && p.i == 0 && t.kind == tRelation && p.tokText(t) == "<=" {
			l, width = Backward, 1
		}
		isWord := l != NoLink && isLetter(p.text[t.start])
		switch {
		case l == NoLink, !line && !isWord:
			return link
		case !line:
			p.note(noteLeadingWord, p.here())
		case link == NoLink:
			link = l
		}
		for range width {
			p.next()
		}
		if isWord {
			for p.k == tComma || p.k == tWord && word(p.tok().aux) == wFiller {
				p.next()
			}
		}
	}
}

// stray refuses what follows a complete formula.
func (p *parser) stray(n *Node) *Node {
	switch t := p.tok(); {
	case t.kind == tNumber && t.level == onLine, t.kind == tName, t.kind == tLParen:
		return p.expected(codeUnexpected, "a sign")
	case t.kind == tRParen || t.kind == tRBracket || t.kind == tRBrace || t.kind == tRSet || t.kind == tRBar:
		return p.failTok(codeUnexpected, "found "+p.found()+" without the bracket that it closes", "")
	case t.kind == tWord:
		return p.expected(codeWord, "a formula")
	}
	return p.expected(codeUnexpected, "a sign or the end")
}

// finish settles what a whole text may be.
func (p *parser) finish(n *Node) *Node {
	if p.err != nil || n == nil {
		return nil
	}
	switch {
	case infinite(n):
		p.failInfinity(n)
	case n.Kind == List && !p.finite(n.Kids):
	case n.Kind == Set && len(n.Kids) == 0:
		if r, _ := utf8.DecodeRuneInString(n.At.In(p.text)); r != '{' && !strings.HasPrefix(n.At.In(p.text), `\{`) {
			n.Kind = None
		}
	}
	if p.err != nil {
		return nil
	}
	return n
}
