package formula

import "strings"

// Text is the statement as sign conditions, for reports and tests:
// "x - 1 >= 0 and (y = 0 or y - 2 > 0)".
func (s *Scope) Text(f *Formula) string { return s.text(f, true) }

func (s *Scope) text(f *Formula, outer bool) string {
	switch f.Op {
	case False:
		return "never"
	case True:
		return "always"
	case Is:
		return s.Ring.String(f.Cond.P) + " " + f.Cond.Rel.String() + " 0"
	}
	word := " and "
	if f.Op == Any {
		word = " or "
	}
	parts := make([]string, len(f.Kids))
	for i, k := range f.Kids {
		parts[i] = s.text(k, false)
	}
	text := strings.Join(parts, word)
	if !outer {
		text = "(" + text + ")"
	}
	return text
}
