package poly

import "fmt"

// Canonical names the rule of the representation that f breaks in r.
func Canonical(r *Ring, f Poly) error {
	if len(f.mons) != r.stride*len(f.coefs) {
		return fmt.Errorf("%d words for %d terms of %d words", len(f.mons), len(f.coefs), r.stride)
	}
	for k, c := range f.coefs {
		m := r.at(f, k)
		if c.IsZero() {
			return fmt.Errorf("term %d has coefficient 0", k)
		}
		if k > 0 && compare(r.at(f, k-1), m) != 1 {
			return fmt.Errorf("term %d is not below the one before", k)
		}
		total := 0
		for i := range r.names {
			total += exponent(m, i)
		}
		if total != int(m[0]>>56) {
			return fmt.Errorf("term %d has degree %d, not %d", k, total, m[0]>>56)
		}
		for i := len(r.names); i < 8*r.stride-1; i++ {
			if exponent(m, i) != 0 {
				return fmt.Errorf("term %d uses a byte of no variable", k)
			}
		}
	}
	return nil
}

// Ways are the ways to multiply two polynomials of at least one term, the
// first not longer; a way that does not apply gives false.
func (r *Ring) Ways(f, g Poly) map[string]func() (Poly, bool) {
	ways := map[string]func() (Poly, bool){
		"bucket": func() (Poly, bool) { return r.mulBucket(f, g), true },
	}
	if r.stride == 1 {
		ways["hash"] = func() (Poly, bool) { return r.mulHash(f, g), true }
		ways["words"] = func() (Poly, bool) { return r.mulWords(f, g) }
	} else if b := r.field(f.Degree() + g.Degree()); b > 0 {
		ways["packed"] = func() (Poly, bool) {
			return r.unpack(r.mulNarrow(r.pack(f, b), r.pack(g, b)), b), true
		}
	}
	return ways
}
