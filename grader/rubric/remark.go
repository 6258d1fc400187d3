package rubric

import (
	"regexp"

	"squaremark/algebra/budget"
	"squaremark/algebra/syntax"
)

// Words that pupils put around a line, in English and German. They are left
// out only where the line cannot be read with them and can be read without.
var (
	heading = regexp.MustCompile(`(?i)^[\s(]*(claim|suppose|assume|angenommen|annahme|proof|to show|to prove|show|prove|we have|we know|we get|note|fact|known|then|so|hence|thus|therefore|now|moreover|behauptung|beweis|zu zeigen|z\.\s?z\.|vor\.|voraussetzung|wir wissen|es gilt|man weiß|daher|somit|folglich|also|nun)(\s+that|,?\s+dass)?\s*[:,.]?\s*`)
	remark  = regexp.MustCompile(`(?i)\s*(\||\\mid)\s*(\\cdot|\\div|\\sqrt|[·*:+\-−/√]).*$|\s*[,;.:]?\s*[(\[]?\s*(\b(since|because|as|which|this is|for all|for every|for any|is true|true|always|obviously|clearly|holds|q\.?\s?e\.?\s?d|denn|da|weil|was|das ist|für alle|für jedes|wahr|immer|stimmt|gilt|offensichtlich|w\.?\s?z\.?\s?b\.?\s?w|q\.\s?e\.\s?d)([\s.,!)\]].*)?$|[✓✔∎□■]\s*$|[(\[][^()\[\]]*[a-zäöüß]{3,}[^()\[\]]*[)\]]\s*$)`)
	closing = regexp.MustCompile(`(?i)^[\s(]*((q\.?\s?e\.?\s?d|w\.?\s?z\.?\s?b\.?\s?w)\.?|[✓✔∎□■]|(this|which|that) is (always )?true\.?|true\.?|always true\.?|proved\.?|done\.?|(das|was) (ist|stimmt)( immer)? ?(wahr)?\.?|wahr\.?|stimmt\.?|(proof|claim|beweis|behauptung|zu zeigen|to show)\s*[:.]?|(a|the) squares? (of a real number )?(is|are) (never negative|non-?negative|always positive or zero)\.?|quadrate sind nie negativ\.?|ein quadrat ist nie negativ\.?)[\s)]*$`)
)

// WithoutRemarks takes the words off a chain that only accompany its lines: a
// line of closing words alone, a heading in front, a reason or the next operation (| · t) behind. What is
// left over of a line must be readable; otherwise the line stays as it is.
func WithoutRemarks(lines []Line) []Line {
	var out []Line
	for _, l := range lines {
		if closing.MatchString(l.Text.Value) {
			continue
		}
		if !readable(l.Text.Value) {
			l.Text = l.Text.withoutRemarks()
		}
		out = append(out, l)
	}
	if len(out) == 0 {
		return lines
	}
	return out
}

func (t Text) withoutRemarks() Text {
	head, tail := 0, len(t.Value)
	if at := heading.FindStringIndex(t.Value); at != nil {
		head = at[1]
	}
	if at := remark.FindStringIndex(t.Value); at != nil {
		tail = at[0]
	}
	for _, part := range [][2]int{{0, tail}, {head, len(t.Value)}, {head, tail}} {
		if part[0] < part[1] && readable(t.Value[part[0]:part[1]]) {
			return t.cut(len([]rune(t.Value[:part[0]])), len([]rune(t.Value[:part[1]])))
		}
	}
	return t
}

func readable(text string) bool {
	_, _, bad := syntax.ReadLine(text, budget.New(budget.Default()))
	return bad == nil
}
