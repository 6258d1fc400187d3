package rubric

import "strings"

// Line is one line of a chain with the link in front of it: "<=>", "=>", "<="
// or "" for none.
type Line struct {
	Text Text
	Link string
}

// linkSigns are the ways in which a link is written, longest first where one
// begins like another.
var linkSigns = []struct {
	sign, link string
	inside     bool // cannot be taken for a relation, so it may stand inside a written line
}{
	{`\Longleftrightarrow`, "<=>", true}, {`\Leftrightarrow`, "<=>", true}, {`\iff`, "<=>", true},
	{`\Longrightarrow`, "=>", true}, {`\Rightarrow`, "=>", true}, {`\implies`, "=>", true},
	{`\Longleftarrow`, "<=", true}, {`\Leftarrow`, "<=", true}, {`\impliedby`, "<=", true},
	{"<==>", "<=>", true}, {"<=>", "<=>", true}, {"⇔", "<=>", true}, {"⟺", "<=>", true},
	{"==>", "=>", true}, {"⇒", "=>", true}, {"⟹", "=>", true}, {"=>", "=>", false},
	{"<==", "<=", true}, {"⇐", "<=", true}, {"⟸", "<=", true}, {"<=", "<=", false},
}

// SplitLines takes a chain written as one text to its lines. Each written
// line is a line of the chain; a link sign in front of it is its link. A sign
// that cannot be a relation also begins a new line where it stands inside a
// written one. A written line that begins with a relation continues the one
// before. Empty lines are left out. Cost: linear in the length of t.
func SplitLines(t Text) []Line {
	var (
		lines []Line
		runes = []rune(t.Value)
		from  = 0
		link  = ""
	)
	cut := func(to int) {
		part := t.cut(from, to).trim()
		if part.Value == "" && (link == "" || to < len(runes)) {
			return // an empty line, or a link sign alone on its line: it belongs to the next one
		}
		lines = append(lines, Line{Text: part, Link: link})
		link = ""
	}
	atStart := true
	for i := 0; i < len(runes); {
		switch {
		case (runes[i] == '\n' || runes[i] == '\r') && continues(runes[i:]):
			i++
			continue
		case runes[i] == '\n' || runes[i] == '\r':
			cut(i)
			i++
			from, atStart = i, true
			continue
		case atStart && isBlank(runes[i]):
			i++
			continue
		}
		if sign, l, ok := linkAt(runes[i:], atStart && link == ""); ok {
			if !atStart {
				cut(i)
			}
			i += sign
			from, link, atStart = i, l, true
			continue
		}
		atStart = false
		i++
	}
	cut(len(runes))
	return lines
}

// continues reports that the next written line begins with a relation sign
// that is no link.
func continues(runes []rune) bool {
	i := 0
	for i < len(runes) && strings.ContainsRune(" \t\r\n", runes[i]) {
		i++
	}
	if i == len(runes) {
		return false
	}
	if _, _, link := linkAt(runes[i:], true); link {
		return false
	}
	if strings.ContainsRune("=<>≤≥≠⩽⩾", runes[i]) {
		return true
	}
	word := ""
	for j := i + 1; runes[i] == '\\' && j < len(runes) && j < i+10 && runes[j] >= 'a' && runes[j] <= 'z'; j++ {
		word += string(runes[j])
	}
	return contains([]string{"le", "leq", "leqslant", "ge", "geq", "geqslant", "lt", "gt", "ne", "neq"}, word)
}

// linkAt is the link sign with which runes begin: its length in runes and the
// link.
func linkAt(runes []rune, atStart bool) (length int, link string, ok bool) {
	switch runes[0] {
	case '\\', '<', '=', '⇔', '⟺', '⇒', '⟹', '⇐', '⟸':
	default:
		return 0, "", false
	}
	head := string(runes[:min(len(runes), 24)])
	for _, s := range linkSigns {
		if (atStart || s.inside) && strings.HasPrefix(head, s.sign) {
			return len([]rune(s.sign)), s.link, true
		}
	}
	return 0, "", false
}

// SplitText is SplitLines for a text that does not come from a file: places
// are lines and columns of the text itself.
func SplitText(text string) []Line {
	return SplitLines(Plain(text))
}

// Plain is a Text whose places are those of the text itself.
func Plain(text string) Text {
	return newFile(text).whole(text)
}

// LinkOf is the link that a sign stands for, "" for anything else.
func LinkOf(sign string) string {
	sign = strings.TrimSpace(sign)
	for _, s := range linkSigns {
		if s.sign == sign {
			return s.link
		}
	}
	return ""
}
