package poly

import "math/bits"

// field is the number of bits for which the total degree d and the power of
// every variable fit one word together, 0 if there is none.
func (r *Ring) field(d int) int {
	b := 64 / (r.Len() + 1)
	if bits.Len(uint(d)) > b {
		return 0
	}
	return b
}

// pack writes the monomials of f to one word each, b bits for a field in the
// usual order, so that products are sums and the order is kept. Only the
// coefficients of the result are those of a polynomial of r.
func (r *Ring) pack(f Poly, b int) Poly {
	mons := make([]uint64, f.Len())
	for k := range mons {
		m := r.at(f, k)
		word := m[0] >> 56
		for i := range r.names {
			word = word<<b | uint64(exponent(m, i))
		}
		mons[k] = word << (64 - b*(r.Len()+1))
	}
	return Poly{mons, f.coefs}
}

// unpack undoes pack.
func (r *Ring) unpack(f Poly, b int) Poly {
	out := Poly{make([]uint64, f.Len()*r.stride), f.coefs}
	for k, word := range f.mons {
		m := r.at(out, k)
		word <<= b
		for i := range r.names {
			shiftExponent(m, i, int(word>>(64-b)))
			word <<= b
		}
	}
	return out
}
