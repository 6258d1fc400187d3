package grader

import "squaremark/algebra"

// maxLooked is how many lines, from the last one, are looked at for squares.
const maxLooked = 8

// reaches looks for a line that compares squares with a number.
func (a *stepsAnswer) reaches(followThrough bool) fact {
	if f, ok := a.ends[followThrough]; ok {
		return f
	}
	f := a.absent(a.q.say.noSquares(), nil)
	for i := len(a.lines) - 1; i >= max(0, len(a.lines)-maxLooked); i-- {
		if !a.q.isSquareFact(a.lines[i].Text.Value) {
			continue
		}
		f = fact{degree: met, place: a.placeOfLine(i)}
		if !followThrough {
			d, first := a.resting(i)
			f.degree = d
			if first != nil {
				f = a.afterwards(first, d)
			}
		}
		break
	}
	if a.ends == nil {
		a.ends = map[bool]fact{}
	}
	a.ends[followThrough] = f
	return f
}

// isSquareFact reports a line that is evident because it compares squares
// with a number: a chain of this one line proves it.
func (m *question) isSquareFact(line string) bool {
	out := m.probe.Steps(line, []algebra.Line{{Text: line}}, algebra.StartClaim)
	return out.Concludes && isSquareClosing(out.Closing)
}

func (a *stepsAnswer) conclusion(followThrough bool) fact {
	last := a.placeOfLine(len(a.lines) - 1)
	if !a.out.Concludes {
		reason := a.out.Reason
		if !a.out.DirectionOK {
			reason = "" // it is about the direction
		}
		return a.absent(a.q.say.noConclusion(reason), last)
	}
	if followThrough {
		return fact{degree: met, place: last}
	}
	d, first := a.resting(len(a.lines))
	if first == nil {
		return fact{degree: d, place: last}
	}
	return a.afterwards(first, d)
}

// isSquareClosing reports that what closes a chain is a comparison of squares
// with a number.
func isSquareClosing(closing string) bool { return closing == "square" }
