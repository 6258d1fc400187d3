package syntax

import "slices"

// Equal reports that two trees say the same in the same order. Places and
// spelling (Grouped, Implicit) do not count; 0.5 and 0.50 are different
// texts. Cost: linear in the smaller tree.
func Equal(a, b *Node) bool {
	if a == nil || b == nil {
		return a == b
	}
	if a.Kind != b.Kind || a.Text != b.Text || len(a.Kids) != len(b.Kids) ||
		a.LeftOpen != b.LeftOpen || a.RightOpen != b.RightOpen ||
		a.Negated != b.Negated || a.Split != b.Split || !slices.Equal(a.Rels, b.Rels) {
		return false
	}
	for i, k := range a.Kids {
		if !Equal(k, b.Kids[i]) {
			return false
		}
	}
	return true
}
