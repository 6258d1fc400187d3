package uni

import (
	"errors"
	"fmt"

	"squaremark/algebra/budget"
)

// Canonical names the rule of the representation that f breaks.
func Canonical(f Uni) error {
	if len(f) > 0 && f[len(f)-1].IsZero() {
		return errors.New("leading coefficient 0")
	}
	if f != nil && len(f) == 0 {
		return errors.New("zero polynomial is not nil")
	}
	return nil
}

// CanonicalRoots names what is wrong with a list of roots.
func CanonicalRoots(roots []Root) error {
	for k, r := range roots {
		low, high := r.Poly().SignAt(r.Lo), r.Poly().SignAt(r.Hi)
		switch {
		case r.Exact() && low != 0:
			return fmt.Errorf("%v is no root", r.Lo)
		case !r.Exact() && (r.Lo.Cmp(r.Hi) > 0 || low*high != -1):
			return fmt.Errorf("signs %d and %d at %v and %v", low, high, r.Lo, r.Hi)
		case k > 0 && roots[k-1].Hi.Cmp(r.Lo) > 0:
			return fmt.Errorf("root below %v overlaps the one from %v", roots[k-1].Hi, r.Lo)
		}
	}
	return nil
}

// IsolateBySturm isolates by Sturm's theorem whatever the coefficients.
func IsolateBySturm(f Uni, m *budget.Meter) []Root {
	t := &target{f: SquareFreePart(f, m), m: m}
	t.roots = t.isolateSturm()
	return t.roots
}

// IsolateInBig is Descartes' bisection of a square-free integer polynomial
// without machine words, as printed cells.
func IsolateInBig(f Uni, m *budget.Meter) (big, words []string) {
	z, _ := toInts(f)
	k, _ := rootBound(z)
	wide := z.clone()
	for _, c := range wide {
		c.Lsh(c, 200)
	}
	if wide[0].Sign() == 0 || k > 100 {
		return nil, nil
	}
	for _, c := range positiveRoots(wide, m) {
		big = append(big, fmt.Sprint(c.at, c.scale, c.point))
	}
	for _, c := range positiveRoots(z, m) {
		words = append(words, fmt.Sprint(c.at, c.scale, c.point))
	}
	return big, words
}
