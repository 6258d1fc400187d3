package onevar

import "strings"

// Text describes the set in the named variable: "x <= 1 or x >= 3",
// "-1/2 <= x < 3/2", "x = 1 + sqrt(2)", "x != 2", "x is any real number",
// "none".
func (s Set) Text(name string) string {
	switch {
	case s.IsEmpty():
		return "none"
	case s.IsAll():
		return name + " is any real number"
	}
	if points, ok := s.Complement().Points(); ok {
		return joined(points, name+" != ", " and ")
	}
	parts := make([]string, len(s.spans))
	for i, span := range s.spans {
		parts[i] = span.Text(name)
	}
	return strings.Join(parts, " or ")
}

func joined(points []Value, before, between string) string {
	parts := make([]string, len(points))
	for i, p := range points {
		parts[i] = before + p.String()
	}
	return strings.Join(parts, between)
}

// Text describes the span in the named variable.
func (s Span) Text(name string) string {
	sign := func(e End) string {
		if e.Closed {
			return " <= "
		}
		return " < "
	}
	switch {
	case s.Lo.Unbounded && s.Hi.Unbounded:
		return name + " is any real number"
	case s.Lo.Unbounded:
		return name + sign(s.Hi) + s.Hi.At.String()
	case s.Hi.Unbounded:
		return name + strings.Replace(sign(s.Lo), "<", ">", 1) + s.Lo.At.String()
	case s.IsPoint():
		return name + " = " + s.Lo.At.String()
	}
	return s.Lo.At.String() + sign(s.Lo) + name + sign(s.Hi) + s.Hi.At.String()
}

// Notation writes the set as a union of intervals: "(-∞, 1] ∪ [3, ∞)", with
// points in braces: "{-1, 1}". The empty set is "∅".
func (s Set) Notation() string {
	var parts []string
	var points []Value
	flush := func() {
		if len(points) > 0 {
			parts = append(parts, "{"+joined(points, "", ", ")+"}")
			points = nil
		}
	}
	for _, span := range s.spans {
		if span.IsPoint() {
			points = append(points, span.Lo.At)
			continue
		}
		flush()
		parts = append(parts, span.notation())
	}
	flush()
	if parts == nil {
		return "∅"
	}
	return strings.Join(parts, " ∪ ")
}

func (s Span) notation() string {
	lo, hi := "(-∞", "∞)"
	if !s.Lo.Unbounded {
		lo = "(" + s.Lo.At.String()
		if s.Lo.Closed {
			lo = "[" + s.Lo.At.String()
		}
	}
	if !s.Hi.Unbounded {
		hi = s.Hi.At.String() + ")"
		if s.Hi.Closed {
			hi = s.Hi.At.String() + "]"
		}
	}
	return lo + ", " + hi
}
