package move

import (
	"strings"

	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// sums is what a setting needs where sums run over an index for every number
// of terms: they are taken apart into atoms, which the ring has as variables.
// What is shown about the atoms holds from some number of terms on.
type sums struct {
	apart    *formula.Sums
	families map[string]sign // what is given for every member
}

// OverSums is the setting for an argument about sums for every number of
// terms. every lists the givens for every index.
func (s *Setting) OverSums(apart *formula.Sums, every ...*syntax.Node) {
	s.sums = &sums{apart, map[string]sign{}}
	for _, n := range every {
		s.learnFamily(n)
	}
	for k, a := range apart.Atoms {
		if i, ok := s.Ring.Index(a.Name); ok {
			s.signs[i] &= s.atomSign(k)
		}
	}
}

// atomSign is the sign of a sum whose terms show theirs. A sum from 1 to n has
// at least one term; another one may have none.
func (s *Setting) atomSign(k int) sign {
	a := s.sums.apart.Atoms[k]
	_, text, ok := strings.Cut(s.sums.apart.Text(k), " = ")
	if !ok {
		return anySign
	}
	r, bad := syntax.Read(text, s.Ring.Meter())
	if bad != nil || r.Root.Kind != syntax.BigSum {
		return anySign
	}
	term := s.withoutSigns().signOfTree(r.Root.Kids[2])
	if a.From == 1 && a.To == 0 && s.someTerms() {
		return term
	}
	return term | zero
}

// someTerms reports that the number of terms is at least 1.
func (s *Setting) someTerms() bool {
	for _, v := range s.Vars {
		if v.Name == s.sums.apart.Size {
			return v.Range == formula.PositiveInteger
		}
	}
	return false
}

// learnFamily takes the sign of a family from a given such as a_i > 0.
func (s *Setting) learnFamily(n *syntax.Node) {
	if n.Kind == syntax.And {
		for _, k := range n.Kids {
			s.learnFamily(k)
		}
		return
	}
	if n.Kind != syntax.Relation || len(n.Rels) != 1 || n.Kids[1].Kind != syntax.Number {
		return
	}
	v, _ := number.Parse(n.Kids[1].Text)
	found := anySign
	switch rel := poly.Rel(n.Rels[0]); {
	case v.IsZero():
		found = signOfRel(rel)
	case v.Sign() > 0 && (rel == poly.Gt || rel == poly.Ge || rel == poly.Eq):
		found = positive
	}
	left := []*syntax.Node{n.Kids[0]}
	if n.Kids[0].Kind == syntax.List {
		left = n.Kids[0].Kids
	}
	for _, k := range left {
		if k.Kind != syntax.Name || len(k.Kids) != 1 {
			continue
		}
		old, ok := s.sums.families[k.Text]
		if !ok {
			old = anySign
		}
		s.sums.families[k.Text] = old & found
		for i, v := range s.Vars {
			if strings.HasPrefix(v.Name, k.Text+"_") {
				s.signs[i] &= found
			}
		}
	}
}

// memberSign is the sign that is given for every member of a family.
func (s *Setting) memberSign(n *syntax.Node) sign {
	if s.sums == nil || len(n.Kids) != 1 {
		return anySign
	}
	if k, ok := s.sums.families[n.Text]; ok {
		return k
	}
	return anySign
}

// Expression lowers an expression, its sums taken apart.
func (s *Setting) Expression(n *syntax.Node) (formula.Term, error) {
	if s.sums != nil {
		r, err := s.sums.apart.Rewrite(n)
		if err != nil {
			return formula.Term{}, err
		}
		n = r
	}
	return s.Scope.Expression(n)
}

// Formula lowers a formula, its sums taken apart.
func (s *Setting) Formula(n *syntax.Node) (formula.Statement, error) {
	if s.sums != nil {
		r, err := s.sums.apart.Rewrite(n)
		if err != nil {
			return formula.Statement{}, err
		}
		n = r
	}
	return s.Scope.Formula(n)
}

// spelled puts sums in the place of the atoms that stand for them.
func (s *Setting) spelled(text string) string {
	if s.sums == nil {
		return text
	}
	for k := len(s.sums.apart.Atoms) - 1; k >= 0; k-- {
		if name, sum, ok := strings.Cut(s.sums.apart.Text(k), " = "); ok {
			text = strings.ReplaceAll(text, name, sum)
		}
	}
	return text
}
