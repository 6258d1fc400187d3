package rubric

import (
	"math/big"
	"strings"

	"squaremark/algebra/source"
)

// fields reads the keys of one mapping.
type fields struct {
	*loader
	of    string
	at    source.Span
	kids  map[string]*node
	keyAt map[string]Text
}

// open takes a node as a mapping with the documented keys of one part of the
// format. Unknown and repeated keys are told; the rest is still read. ok is
// false where the node is no mapping.
func (l *loader) open(of string, n *node) (f fields, ok bool) {
	f = fields{loader: l, of: of, at: n.at, kids: map[string]*node{}, keyAt: map[string]Text{}}
	if n.shape != mapping {
		l.add(l.wanted(n, "the keys of "+PartName(of)))
		return f, false
	}
	var names []string
	for _, k := range KeysOf(of) {
		names = append(names, k.Name)
	}
	for i, key := range n.keys {
		switch {
		case !contains(names, key.Value):
			l.add(l.unknownKey(of, key, nearest(key.Value, names)))
		case f.kids[key.Value] != nil:
			l.add(l.keyTwice(key, f.keyAt[key.Value]))
		default:
			f.kids[key.Value], f.keyAt[key.Value] = n.kids[i], key
		}
	}
	for _, k := range KeysOf(of) {
		if k.Needed == "always" && f.kids[k.Name] == nil {
			l.add(l.missingKey(f.at, of, k.Name))
		}
	}
	return f, true
}

func contains(list []string, word string) bool {
	for _, w := range list {
		if w == word {
			return true
		}
	}
	return false
}

func (f fields) has(key string) bool { return f.kids[key] != nil }

// spanOf is the place of a key's value, or of the mapping.
func (f fields) spanOf(key string) source.Span {
	if n := f.kids[key]; n != nil {
		return n.at
	}
	return f.at
}

// text reads a scalar that is not empty.
func (f fields) text(key string) Text {
	n := f.kids[key]
	if n == nil {
		return Text{}
	}
	return f.textOf(n, key)
}

// maxText bounds one text of a file, in bytes.
const maxText = 8000

func (l *loader) textOf(n *node, key string) Text {
	switch {
	case n.shape == mapping || n.shape == sequence:
		l.add(l.wantedText(n, key))
		return Text{}
	case n.shape == nothing || strings.TrimSpace(n.text.Value) == "":
		l.add(l.emptyText(n, key))
		return Text{}
	case len(n.text.Value) > maxText:
		l.add(l.textTooLong(n.text, key))
		return Text{}
	}
	return n.text
}

// texts reads one scalar or a list of them.
func (f fields) texts(key string) []Text {
	n := f.kids[key]
	if n == nil {
		return nil
	}
	return f.textsOf(n, key)
}

// maxList bounds the entries of one list.
const maxList = 50

func (l *loader) textsOf(n *node, key string) []Text {
	if n.shape != sequence {
		if t := l.textOf(n, key); !t.IsZero() {
			return []Text{t}
		}
		return nil
	}
	if len(n.kids) == 0 || len(n.kids) > maxList {
		l.add(l.listLength(n, key))
		return nil
	}
	var list []Text
	for _, k := range n.kids {
		if t := l.textOf(k, key); !t.IsZero() {
			list = append(list, t)
		}
	}
	return list
}

// id reads an identifier: a small letter, then small letters, digits and
// hyphens, at most 64 of them.
func (f fields) id(key string) Text {
	t := f.text(key)
	if !t.IsZero() && !isID(t.Value) {
		f.add(f.badID(t, key))
	}
	return t
}

func isID(s string) bool {
	if s == "" || len(s) > 64 {
		return false
	}
	for i, r := range s {
		letter := r >= 'a' && r <= 'z'
		if !letter && (i == 0 || r != '-' && (r < '0' || r > '9')) {
			return false
		}
	}
	return true
}

// choice reads one of a few words; zero where the key is absent or wrong.
func (f fields) choice(key string, words ...string) string {
	t := f.text(key)
	if t.IsZero() {
		return ""
	}
	if !contains(words, t.Value) {
		f.add(f.badChoice(t, key, words, nearest(t.Value, words)))
		return ""
	}
	return t.Value
}

// marks reads an exact number of marks: 2, 1/2, 0.5. positive demands more
// than zero.
func (f fields) marks(key string, positive bool) *big.Rat {
	t := f.text(key)
	if t.IsZero() {
		return nil
	}
	v, ok := exact(t.Value)
	if !ok || v.Cmp(big.NewRat(maxMarks, 1)) > 0 || positive && v.Sign() == 0 {
		f.add(f.badMarks(t, key, positive))
		return nil
	}
	return v
}

// maxMarks bounds the marks of one criterion, example or total, and maxDigits
// the digits of a number of marks as written.
const (
	maxMarks  = 1000
	maxDigits = 6
)

// exact reads a number of marks: digits, a fraction of them, or a decimal
// fraction. Exponents, signs and digit separators are refused.
func exact(s string) (*big.Rat, bool) {
	isDigits := func(s string) bool {
		return s != "" && len(s) <= maxDigits && strings.Trim(s, "0123456789") == ""
	}
	left, right, fraction := strings.Cut(s, "/")
	if !fraction {
		var decimal bool
		if left, right, decimal = strings.Cut(s, "."); !decimal {
			right = "0"
		} else if left == "" {
			left = "0" // .5
		}
	} else if strings.Trim(right, "0") == "" {
		return nil, false
	}
	if !isDigits(left) || !isDigits(right) {
		return nil, false
	}
	return new(big.Rat).SetString(s)
}

// MarksText prints marks exactly: 2, 1/2, 7/3.
func MarksText(v *big.Rat) string { return v.RatString() }

// yes reads yes or no; otherwise is the value of an absent key.
func (f fields) yes(key string, otherwise bool) bool {
	switch f.choice(key, "yes", "no", "true", "false") {
	case "yes", "true":
		return true
	case "no", "false":
		return false
	}
	return otherwise
}
