// Package ringtest checks that a type of exact numbers or polynomials obeys
// the laws of a commutative ring, and that every result is in canonical form.
// It is imported by tests only.
package ringtest

import (
	"testing"

	"pgregory.net/rapid"
)

// Ring describes the type under test by its operations.
type Ring[T any] struct {
	Zero, One     T
	Add, Sub, Mul func(a, b T) T
	Neg           func(a T) T
	Pow           func(a T, k int) T
	Equal         func(a, b T) bool
	Inv           func(a T) (T, bool) // nil when there is no division
	Canonical     func(a T) error     // names the rule of the representation that is broken
	String        func(a T) string
	Elements      *rapid.Generator[T]
}

// Laws draws elements and checks the ring axioms, the powers, and, where
// there are inverses, the field axiom.
func Laws[T any](t *testing.T, r Ring[T]) {
	t.Helper()
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := r.draw(t, "a"), r.draw(t, "b"), r.draw(t, "c")
		same := func(law string, x, y T) {
			r.check(t, law, x)
			r.check(t, law, y)
			if !r.Equal(x, y) || !r.Equal(y, x) || r.String(x) != r.String(y) {
				t.Fatalf("%s: %s is not %s", law, r.String(x), r.String(y))
			}
		}
		same("a+b = b+a", r.Add(a, b), r.Add(b, a))
		same("(a+b)+c = a+(b+c)", r.Add(r.Add(a, b), c), r.Add(a, r.Add(b, c)))
		same("a+0 = a", r.Add(a, r.Zero), a)
		same("a+(-a) = 0", r.Add(a, r.Neg(a)), r.Zero)
		same("-(-a) = a", r.Neg(r.Neg(a)), a)
		same("a-b = a+(-b)", r.Sub(a, b), r.Add(a, r.Neg(b)))
		same("a-a = 0", r.Sub(a, a), r.Zero)
		same("(a-b)+b = a", r.Add(r.Sub(a, b), b), a)
		same("ab = ba", r.Mul(a, b), r.Mul(b, a))
		same("(ab)c = a(bc)", r.Mul(r.Mul(a, b), c), r.Mul(a, r.Mul(b, c)))
		same("1a = a", r.Mul(r.One, a), a)
		same("0a = 0", r.Mul(r.Zero, a), r.Zero)
		same("a(b+c) = ab+ac", r.Mul(a, r.Add(b, c)), r.Add(r.Mul(a, b), r.Mul(a, c)))
		same("(a+b)(a-b) = a^2-b^2", r.Mul(r.Add(a, b), r.Sub(a, b)),
			r.Sub(r.Pow(a, 2), r.Pow(b, 2)))
		same("a^0 = 1", r.Pow(a, 0), r.One)
		same("a^3 = aaa", r.Pow(a, 3), r.Mul(a, r.Mul(a, a)))
		if r.Equal(a, b) != r.Equal(r.Sub(a, b), r.Zero) {
			t.Fatalf("equality of %s and %s differs from that of their difference and 0",
				r.String(a), r.String(b))
		}
		if r.Inv == nil {
			return
		}
		if inv, ok := r.Inv(a); ok {
			same("a/a = 1", r.Mul(a, inv), r.One)
		} else if !r.Equal(a, r.Zero) {
			t.Fatalf("no inverse of %s", r.String(a))
		}
	})
}

func (r Ring[T]) draw(t *rapid.T, name string) T {
	a := r.Elements.Draw(t, name)
	r.check(t, "drawing "+name, a)
	return a
}

func (r Ring[T]) check(t *rapid.T, where string, a T) {
	if err := r.Canonical(a); err != nil {
		t.Fatalf("%s: %s is not canonical: %v", where, r.String(a), err)
	}
}
