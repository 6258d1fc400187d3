package slip

import (
	"squaremark/algebra"
	"squaremark/algebra/syntax"
)

// maxProbes bounds the identities that are asked for one line.
const maxProbes = 16

// textual looks for slips in lines with fractions, roots or sums for every
// number of terms: the line with the slip made, or undone, is an identity.
func (l line) textual() []*Slip {
	if !related(l.from) || !related(l.to) || l.from.Rels[0] != l.to.Rels[0] {
		return nil
	}
	before, after := syntax.Plain(minus(l.from)), syntax.Plain(minus(l.to))
	equal := func(a, b string) bool { return l.probe.Identity(a, b).Verdict == algebra.Holds }
	if equal(before, after) {
		return nil
	}
	left := maxProbes
	for _, s := range Catalogue() {
		if !s.ArisesFor(Steps) {
			continue
		}
		named := false
		try := func(n *syntax.Node, make func(*syntax.Node) []*syntax.Node, other string) {
			if make == nil || named {
				return
			}
			variants(n, make, func(whole, _ *syntax.Node) bool {
				left--
				named = left >= 0 && equal(syntax.Plain(whole), other)
				return named || left <= 0
			})
		}
		try(minus(l.from), s.forward, after)
		try(minus(l.to), s.undo, before)
		if named {
			return []*Slip{s}
		}
	}
	return nil
}

func related(n *syntax.Node) bool { return n.Kind == syntax.Relation && len(n.Kids) == 2 }
