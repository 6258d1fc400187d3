package source

import (
	"fmt"
	"sort"
	"strings"
)

// Severity tells an error from a warning and from a note.
type Severity int

const (
	Error   Severity = iota // the text cannot be used as it stands
	Warning                 // it can be used, but is probably not meant so
	Note                    // how an ambiguous text was understood
)

// String names the severity in lower case.
func (s Severity) String() string {
	return [...]string{"error", "warning", "note"}[s]
}

// Diag is one message about one place of a text. Code is made of words
// ("unclosed-bracket") and never changes its meaning; Message says what was
// expected and what was found; Hint, if any, says how to mend it.
type Diag struct {
	Severity Severity
	Code     string
	File     string // "" where the text is not a file
	At       Span
	Text     string // the offending text itself, shortened
	Message  string
	Hint     string
}

// Error prints file:line:column: message, so that a Diag is an error.
func (d *Diag) Error() string {
	var b strings.Builder
	if d.File != "" {
		b.WriteString(d.File)
		b.WriteByte(':')
	}
	if !d.At.Start.IsZero() {
		fmt.Fprintf(&b, "%s: ", d.At.Start)
	} else if d.File != "" {
		b.WriteByte(' ')
	}
	b.WriteString(d.Message)
	return b.String()
}

// maxShown is how many diagnostics Print shows before "and n more".
const maxShown = 20

// Sort orders diagnostics by file, then by place, errors before the rest at
// one place.
func Sort(list []*Diag) {
	sort.SliceStable(list, func(i, j int) bool {
		a, b := list[i], list[j]
		switch {
		case a.File != b.File:
			return a.File < b.File
		case a.At.Start.Line != b.At.Start.Line:
			return a.At.Start.Line < b.At.Start.Line
		case a.At.Start.Column != b.At.Start.Column:
			return a.At.Start.Column < b.At.Start.Column
		default:
			return a.Severity < b.Severity
		}
	})
}

// Print shows diagnostics sorted, each with the line of text it is about and
// a caret under the place, at most 20 of them. text is the text of a file by
// name; a nil text or an empty answer leaves the source line out.
func Print(list []*Diag, text func(file string) string) string {
	list = append([]*Diag(nil), list...)
	Sort(list)
	var b strings.Builder
	for i, d := range list {
		if i == maxShown {
			fmt.Fprintf(&b, "and %d more\n", len(list)-maxShown)
			break
		}
		place := d.File
		if place != "" {
			place += ":"
		}
		if !d.At.Start.IsZero() {
			place += d.At.Start.String() + ": "
		}
		fmt.Fprintf(&b, "%s%s: %s\n", place, d.Severity, d.Message)
		if text != nil {
			b.WriteString(caret(text(d.File), d.At))
		}
		if d.Hint != "" {
			fmt.Fprintf(&b, "  hint: %s\n", d.Hint)
		}
	}
	return b.String()
}

// caret is the source line of a span with a mark under the span's runes, or
// "" where the text has no such line. Tabs keep their width.
func caret(text string, at Span) string {
	line, ok := lineOf(text, at.Start.Line)
	if !ok || at.Start.IsZero() {
		return ""
	}
	runes := []rune(line)
	from := min(at.Start.Column-1, len(runes))
	to := from + 1
	if at.End.Line == at.Start.Line && at.End.Column-1 > from {
		to = at.End.Column - 1
	} else if at.End.Line > at.Start.Line {
		to = max(len(runes), from+1)
	}
	var b strings.Builder
	b.WriteString("  | ")
	b.WriteString(line)
	b.WriteString("\n  | ")
	for _, r := range runes[:from] {
		if r == '\t' {
			b.WriteByte('\t')
		} else {
			b.WriteByte(' ')
		}
	}
	b.WriteString(strings.Repeat("^", max(1, min(to-from, 60))))
	b.WriteByte('\n')
	return b.String()
}

func lineOf(text string, n int) (string, bool) {
	if text == "" || n < 1 {
		return "", false
	}
	text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	lines := strings.Split(text, "\n")
	if n > len(lines) {
		return "", false
	}
	return lines[n-1], true
}

// Shorten cuts a text to at most n runes for use in a message, with an
// ellipsis in place of what is left out, and without control characters.
func Shorten(text string, n int) string {
	runes := []rune(text)
	cut := len(runes) > n
	if cut {
		runes = runes[:n]
	}
	for i, r := range runes {
		if r < ' ' || r == 0x7f {
			runes[i] = ' '
		}
	}
	if cut {
		return string(runes) + "…"
	}
	return string(runes)
}
