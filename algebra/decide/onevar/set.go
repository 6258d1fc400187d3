package onevar

import (
	"slices"

	"squaremark/algebra/number"
)

// End is one end of a span. An unbounded end has no value.
type End struct {
	At        Value
	Closed    bool
	Unbounded bool
}

// Span is an interval, or a point when both ends are the same closed value.
type Span struct{ Lo, Hi End }

// IsPoint reports that the span holds one number only.
func (s Span) IsPoint() bool {
	return !s.Lo.Unbounded && !s.Hi.Unbounded && s.Lo.At.Cmp(s.Hi.At) == 0
}

// Set is a set of real numbers with finitely many ends: spans in rising
// order, none empty, no two of which could be joined. The zero Set is empty.
// Equal sets have equal spans, since the spans are as long as can be.
type Set struct{ spans []Span }

// Spans lists the spans, rising.
func (s Set) Spans() []Span { return slices.Clone(s.spans) }

// IsEmpty reports that s has no members.
func (s Set) IsEmpty() bool { return len(s.spans) == 0 }

// IsAll reports that s holds every real number.
func (s Set) IsAll() bool {
	return len(s.spans) == 1 && s.spans[0].Lo.Unbounded && s.spans[0].Hi.Unbounded
}

// Points lists the members of a finite set, rising; false for an infinite one.
func (s Set) Points() ([]Value, bool) {
	var points []Value
	for _, span := range s.spans {
		if !span.IsPoint() {
			return nil, false
		}
		points = append(points, span.Lo.At)
	}
	return points, true
}

// Everything is the set of all real numbers.
func Everything() Set { return Set{[]Span{{End{Unbounded: true}, End{Unbounded: true}}}} }

// cut makes the set whose membership is constant on the cells that the rising
// values at cut the line into: in[2j] says whether the open interval before
// at[j] (after the last one for j = len(at)) belongs to it, in[2j+1] whether
// at[j] does.
func cut(at []Value, in []bool) Set {
	var spans []Span
	for from := 0; from < len(in); {
		if !in[from] {
			from++
			continue
		}
		to := from
		for to+1 < len(in) && in[to+1] {
			to++
		}
		span := Span{End{Unbounded: true}, End{Unbounded: true}}
		if from > 0 {
			span.Lo = End{At: at[(from-1)/2], Closed: from%2 == 1}
		}
		if to < len(in)-1 {
			span.Hi = End{At: at[to/2], Closed: to%2 == 1}
		}
		spans = append(spans, span)
		from = to + 1
	}
	return Set{spans}
}

// combine applies keep to the membership of each cell of the common
// subdivision of two sets.
func combine(s, t Set, keep func(inS, inT bool) bool) Set {
	at := ends(s, t)
	a, b := s.cells(at), t.cells(at)
	in := make([]bool, len(a))
	for i := range in {
		in[i] = keep(a[i], b[i])
	}
	return cut(at, in)
}

// ends lists the values at the ends of two sets, rising, each once.
func ends(sets ...Set) []Value {
	var at []Value
	for _, s := range sets {
		for _, span := range s.spans {
			for _, e := range [2]End{span.Lo, span.Hi} {
				if !e.Unbounded {
					at = append(at, e.At)
				}
			}
		}
	}
	slices.SortStableFunc(at, Value.Cmp)
	return slices.CompactFunc(at, func(a, b Value) bool { return a.Cmp(b) == 0 })
}

// cells is the membership in s of the cells between values that include all
// ends of s.
func (s Set) cells(at []Value) []bool {
	in := make([]bool, 2*len(at)+1)
	for _, span := range s.spans {
		from, to := 0, len(in)-1
		if !span.Lo.Unbounded {
			k, _ := slices.BinarySearchFunc(at, span.Lo.At, Value.Cmp)
			from = 2*k + 1
			if !span.Lo.Closed {
				from++
			}
		}
		if !span.Hi.Unbounded {
			k, _ := slices.BinarySearchFunc(at, span.Hi.At, Value.Cmp)
			to = 2*k + 1
			if !span.Hi.Closed {
				to--
			}
		}
		for i := from; i <= to; i++ {
			in[i] = true
		}
	}
	return in
}

// Union holds what s or t holds.
func (s Set) Union(t Set) Set { return combine(s, t, func(a, b bool) bool { return a || b }) }

// Intersect holds what both s and t hold.
func (s Set) Intersect(t Set) Set { return combine(s, t, func(a, b bool) bool { return a && b }) }

// Minus holds what s holds and t does not.
func (s Set) Minus(t Set) Set { return combine(s, t, func(a, b bool) bool { return a && !b }) }

// Complement holds what s does not.
func (s Set) Complement() Set { return Everything().Minus(s) }

// Subset reports that t holds all of s.
func (s Set) Subset(t Set) bool { return s.Minus(t).IsEmpty() }

// Equal reports that s and t have the same members.
func (s Set) Equal(t Set) bool {
	return slices.EqualFunc(s.spans, t.spans, func(a, b Span) bool {
		return a.Lo.equal(b.Lo) && a.Hi.equal(b.Hi)
	})
}

func (e End) equal(f End) bool {
	if e.Unbounded || f.Unbounded {
		return e.Unbounded == f.Unbounded
	}
	return e.Closed == f.Closed && e.At.Cmp(f.At) == 0
}

// Contains reports that x is a member of s.
func (s Set) Contains(x number.Num) bool {
	v := Exactly(x)
	for _, span := range s.spans {
		above := span.Lo.Unbounded || beyond(v.Cmp(span.Lo.At), span.Lo.Closed)
		below := span.Hi.Unbounded || beyond(span.Hi.At.Cmp(v), span.Hi.Closed)
		if above && below {
			return true
		}
	}
	return false
}

func beyond(cmp int, closed bool) bool { return cmp > 0 || cmp == 0 && closed }
