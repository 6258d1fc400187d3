package move

// addToBothSides adds the same quantity to both sides, or subtracts it, and
// leaves it written there. Source: elementary.
var addToBothSides = Move{
	ID: "add-to-both-sides", Title: "Add the same to both sides", Family: BothSides, Since: "0.1.0", Source: "elementary",
	Text: "The same quantity is added to both sides, or subtracted from both.",
	Try: func(p *Pair) Result {
		if _, _, ok := p.atoms(); !ok || p.sideEqual() {
			return refused(CodeShape)
		}
		for _, m := range p.matched() {
			if !p.contains(m[0], m[1]) {
				return refused(CodeShape)
			}
		}
		_, c := p.rewriting()
		return p.rewrites(c.IsOne())
	},
}

// contains reports that every written term of one side is a written term of
// another.
func (s *Setting) contains(part, whole *Side) bool {
	list := append([]*summand(nil), s.summands(whole)...)
	for _, t := range s.summands(part) {
		value := s.worth(t)
		if value.Num.IsZero() {
			continue
		}
		at := -1
		for i, u := range list {
			if s.same(value, s.worth(u)) {
				at = i
			}
		}
		if at < 0 {
			return false
		}
		list = append(list[:at:at], list[at+1:]...)
	}
	return true
}
