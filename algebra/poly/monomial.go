package poly

// maxDegree is the largest total degree one byte can hold.
const maxDegree = 255

// place tells the word and the shift of the exponent of variable i.
func place(i int) (word, shift int) {
	k := i + 1
	return k / 8, 56 - 8*(k%8)
}

// exponent is the power of variable i in the monomial m.
func exponent(m []uint64, i int) int {
	w, s := place(i)
	return int(uint8(m[w] >> s))
}

// shiftExponent adds k, which may be negative, to the power of variable i.
// The caller knows that the result is within 0..maxDegree.
func shiftExponent(m []uint64, i, k int) {
	w, s := place(i)
	m[0] += uint64(k) << 56
	m[w] += uint64(k) << s
}

// compare is −1, 0 or 1 in the graded lexicographic order.
func compare(a, b []uint64) int {
	for i, x := range a {
		if y := b[i]; x != y {
			if x < y {
				return -1
			}
			return 1
		}
	}
	return 0
}

// divides reports that every exponent of a is at most that of b. The borrow
// out of each byte of b − a shows the bytes where it is not.
func divides(a, b []uint64) bool {
	for i, x := range a {
		y := b[i]
		t := y - x
		if (^y&x|^(y^x)&t)&0x8080808080808080 != 0 {
			return false
		}
	}
	return true
}

// product, quotient write a·b and b/a to dst.
func product(dst, a, b []uint64) {
	for i := range dst {
		dst[i] = a[i] + b[i]
	}
}

func quotient(dst, b, a []uint64) {
	for i := range dst {
		dst[i] = b[i] - a[i]
	}
}
