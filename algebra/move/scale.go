package move

import "squaremark/algebra/number"

// factorOfSides is the number by which both written sides were multiplied.
func (p *Pair) factorOfSides(a, b *Atom) (number.Num, bool) {
	var c number.Num
	for i, side := range [][2]*Side{{&a.Left, &b.Left}, {&a.Right, &b.Right}} {
		if side[0].Num.IsZero() && side[1].Num.IsZero() {
			continue
		}
		k, ok := p.proportional(p.fold(side[1].Fraction), p.fold(side[0].Fraction))
		if !ok || k.IsZero() || i == 1 && !c.IsZero() && !k.Equal(c) {
			return number.Num{}, false
		}
		c = k
	}
	return c, !c.IsZero()
}
