package draft

import (
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"

	"squaremark/algebra"
)

var numeral = regexp.MustCompile(`(\^\s*\{?\s*)?\d+`)

// otherNumbers puts numbers of about the same size in the place of those of a
// condition. Exponents, 0 and 1 stay.
func (q *question) otherNumbers(rng *rand.Rand) (string, bool) {
	changed := false
	text := numeral.ReplaceAllStringFunc(q.text, func(found string) string {
		k, err := strconv.Atoi(found)
		if err != nil || k < 2 || k > 1_000_000 {
			return found // an exponent, or a number that says something by itself
		}
		changed = true
		reach := max(k/2, 3)
		return strconv.Itoa(max(2, k-reach+rng.IntN(2*reach+1)))
	})
	return text, changed
}

// alike reports solution sets of the same kind: none, finite of about the same
// size, or without end in as many parts.
func (q *question) alike(next *question) bool {
	size := func(x *question) (string, int) {
		text := x.model[0].Text
		switch {
		case text == "none":
			return "none", 0
		case strings.ContainsAny(text, "<>"):
			return "rays", 1 + strings.Count(text, " or ")
		case len(x.unknowns) > 1:
			return "list", strings.Count(text, "(")
		}
		return "list", 1 + strings.Count(text, ",")
	}
	kind, n := size(q)
	otherKind, m := size(next)
	return kind == otherKind && m >= min(n, 2) && 2*m >= n && m <= n+n/2+1 && len(q.worked) == len(next.worked) && q.edge() == next.edge()
}

// edge reports that it matters whether the sign of the condition is strict:
// some number stands exactly on the boundary.
func (q *question) edge() bool {
	other := strings.NewReplacer(">=", ">", "<=", "<", ">", ">=", "<", "<=").Replace(q.text)
	return other != q.text && q.engine.Integers([]string{other}, q.unknowns, &q.model[0].Text).Verdict == algebra.Fails
}
