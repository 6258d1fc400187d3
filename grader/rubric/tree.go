package rubric

import (
	"errors"
	"fmt"
	"strings"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"

	"squaremark/algebra/source"
)

// node is a YAML value with its place. A scalar is its text, whatever YAML
// would resolve it to, so that 0.1 stays one tenth.
type node struct {
	shape shape
	text  Text   // scalar
	keys  []Text // mapping, one for each of kids
	kids  []*node
	at    source.Span
}

type shape int

const (
	nothing shape = iota // a key without a value, or null
	scalar
	sequence
	mapping
)

// Bounds on one file. A quiz for one evening has a few kilobytes.
const (
	maxBytes = 256 << 10
	maxDepth = 12
	maxNodes = 20000
	maxKeys  = 6000 // the YAML library takes quadratic time in them: 0.5 s for these
)

// tree reads the one document of a file into nodes.
func (l *loader) tree(text string) *node {
	tokens := lexer.Tokenize(text)
	if !l.plainEnough(tokens) {
		return nil
	}
	parsed, err := parse(tokens)
	if err != nil {
		l.add(l.notYAML(err))
		return nil
	}
	if len(parsed.Docs) != 1 || parsed.Docs[0].Body == nil {
		l.add(l.oneDocument())
		return nil
	}
	b := &builder{loader: l, left: maxNodes}
	root := b.build(parsed.Docs[0].Body, maxDepth, source.Position{Line: 1, Column: 1})
	if l.failed() {
		return nil
	}
	return root
}

// parse calls the YAML library, whose parser can panic on damaged files; a
// damaged file must not take the service down.
func parse(tokens token.Tokens) (parsed *ast.File, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("%v", r)
		}
	}()
	return parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
}

// plainEnough refuses what rubrics do not use: anchors and aliases (a few
// bytes of which can stand for gigabytes), tags, directives, explicit keys,
// deep nesting.
func (l *loader) plainEnough(tokens token.Tokens) bool {
	flow, dashes, line, keys := 0, 0, 0, 0
	for _, t := range tokens {
		if t.Position.Line != line {
			line, dashes = t.Position.Line, 0
		}
		switch t.Type {
		case token.AnchorType, token.AliasType, token.MergeKeyType:
			l.add(l.noAliases(t))
		case token.TagType, token.DirectiveType, token.MappingKeyType:
			l.add(l.notUsed(t))
		case token.SequenceStartType, token.MappingStartType:
			flow++
		case token.SequenceEndType, token.MappingEndType:
			flow--
		case token.SequenceEntryType:
			dashes++
		case token.MappingValueType:
			keys++
		}
		if keys > maxKeys {
			l.add(l.tooManyValues(tokenPoint(t).Start))
		}
		if flow > maxDepth || dashes > maxDepth || t.Position.Column > 4*maxLine {
			l.add(l.tooDeep(t))
		}
		if l.failed() {
			return false
		}
	}
	return true
}

// maxLine bounds the column at which a value may begin.
const maxLine = 1000

type builder struct {
	*loader
	left int
}

func (b *builder) build(n ast.Node, depth int, parent source.Position) *node {
	b.left--
	if b.left < 0 || depth < 0 {
		if !b.failed() {
			b.add(b.tooManyValues(parent))
		}
		return &node{at: point(parent)}
	}
	switch n := n.(type) {
	case *ast.MappingNode:
		out := &node{shape: mapping, at: point(parent)}
		for _, v := range n.Values {
			b.pair(out, v, depth)
		}
		return out
	case *ast.MappingValueNode:
		out := &node{shape: mapping, at: point(parent)}
		b.pair(out, n, depth)
		return out
	case *ast.SequenceNode:
		out := &node{shape: sequence, at: point(parent)}
		for i, v := range n.Values {
			at := parent
			if i == 0 || !isNull(v) {
				at = position(v, parent)
			}
			out.kids = append(out.kids, b.build(v, depth-1, at))
		}
		if len(out.kids) > 0 && !out.kids[0].at.Start.IsZero() {
			out.at = out.kids[0].at
		}
		return out
	case nil, *ast.NullNode:
		if n != nil && strings.TrimSpace(n.GetToken().Origin) != "" && n.GetToken().Value != "" {
			return &node{at: point(position(n, parent))}
		}
		return &node{at: point(parent)}
	case *ast.LiteralNode:
		return b.scalar(n.Start, n.Value.GetToken().Value, parent)
	default:
		t := n.GetToken()
		if _, ok := n.(ast.ScalarNode); !ok || t == nil {
			b.add(b.unexpectedYAML(parent))
			return &node{at: point(parent)}
		}
		return b.scalar(t, t.Value, parent)
	}
}

func isNull(n ast.Node) bool { _, ok := n.(*ast.NullNode); return ok }

// pair adds one key with its value to a mapping.
func (b *builder) pair(out *node, v *ast.MappingValueNode, depth int) {
	key := v.Key.GetToken()
	if key == nil {
		b.add(b.unexpectedYAML(out.at.Start))
		return
	}
	k := b.scalar(key, key.Value, out.at.Start)
	if len(out.keys) == 0 {
		out.at = k.at
	}
	out.keys = append(out.keys, k.text)
	out.kids = append(out.kids, b.build(v.Value, depth-1, k.at.Start))
}

// scalar places a scalar whose first token is t.
func (b *builder) scalar(t *token.Token, value string, parent source.Position) *node {
	i := b.file.index(t.Position.Line, t.Position.Column)
	if i < 0 {
		return &node{shape: scalar, text: Text{Value: value, places: []source.Position{parent}}, at: point(parent)}
	}
	var text Text
	switch t.Type {
	case token.LiteralType, token.FoldedType:
		text = b.file.blockScalar(i, value)
	case token.SingleQuoteType:
		text = b.file.flowScalar('\'', i, value)
	case token.DoubleQuoteType:
		text = b.file.flowScalar('"', i, value)
	default:
		text = b.file.flowScalar('p', i, value)
	}
	return &node{shape: scalar, text: text, at: text.At()}
}

func point(p source.Position) source.Span { return source.Span{Start: p, End: p} }

// position is the place of a node's first token, or parent.
func position(n ast.Node, parent source.Position) source.Position {
	if n == nil {
		return parent
	}
	if m, ok := n.(*ast.MappingNode); ok && len(m.Values) > 0 {
		return position(m.Values[0], parent)
	}
	if v, ok := n.(*ast.MappingValueNode); ok {
		return position(v.Key, parent)
	}
	t := n.GetToken()
	if t == nil || t.Position == nil || t.Position.Column < 1 {
		return parent
	}
	return source.Position{Line: t.Position.Line, Column: t.Position.Column}
}

// place is where the YAML library says an error is.
func place(err error) (source.Position, string) {
	var y yaml.Error
	if errors.As(err, &y) && y.GetToken() != nil && y.GetToken().Position != nil {
		p := y.GetToken().Position
		return source.Position{Line: p.Line, Column: max(p.Column, 1)}, y.GetMessage()
	}
	return source.Position{Line: 1, Column: 1}, err.Error()
}
