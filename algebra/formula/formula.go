// Package formula turns syntax trees into statements as data: sign conditions
// on polynomials joined by "and" and "or", each with the conditions under
// which it is defined.
//
//	formula.go   statements and their negation, cases
//	scope.go     the variables and root symbols of one question
//	term.go      expressions to fractions of polynomials
//	relation.go  relations, sets and intervals to statements
//	errors.go    all wording
//
// A relation is read as false where one of its parts is undefined (a zero
// denominator, the even root of a negative number); Domain lists those
// conditions apart, for whoever asks on the natural domain only.
//
// Not covered: sums with a symbolic bound (package series), logarithms,
// trigonometric functions, quantifiers.
package formula

import (
	"squaremark/algebra/poly"
)

// Op says how a Formula is put together.
type Op uint8

const (
	False Op = iota // never holds; the zero Formula
	True            // always holds
	Is              // Cond holds
	All             // all Kids hold
	Any             // some Kid holds
)

// Formula is a quantifier-free statement about the variables of a Scope.
// Formulas are immutable and in negation-free form.
type Formula struct {
	Op   Op
	Cond poly.Condition
	Kids []*Formula
}

var (
	falsehood = &Formula{Op: False}
	truth     = &Formula{Op: True}
)

// Never is the statement that holds nowhere.
func Never() *Formula { return falsehood }

// Always is the statement that holds everywhere.
func Always() *Formula { return truth }

// Condition is the statement P Rel 0. A constant P gives Always or Never.
func Condition(c poly.Condition) *Formula {
	if v, ok := c.P.IsConst(); ok {
		return Constant(c.Rel.Holds(v.Sign()))
	}
	return &Formula{Op: Is, Cond: c}
}

// Constant is Always or Never.
func Constant(holds bool) *Formula {
	if holds {
		return truth
	}
	return falsehood
}

// And holds where all of fs hold.
func And(fs ...*Formula) *Formula { return join(All, True, False, fs) }

// Or holds where some of fs holds.
func Or(fs ...*Formula) *Formula { return join(Any, False, True, fs) }

// join flattens a conjunction or a disjunction and applies its neutral and
// its absorbing element.
func join(op, neutral, absorbing Op, fs []*Formula) *Formula {
	kids := make([]*Formula, 0, len(fs))
	for _, f := range fs {
		switch f.Op {
		case neutral:
		case absorbing:
			return f
		case op:
			kids = append(kids, f.Kids...)
		default:
			kids = append(kids, f)
		}
	}
	switch len(kids) {
	case 0:
		return Constant(neutral == True)
	case 1:
		return kids[0]
	}
	return &Formula{Op: op, Kids: kids}
}

// Not holds exactly where f does not.
func Not(f *Formula) *Formula {
	switch f.Op {
	case False:
		return truth
	case True:
		return falsehood
	case Is:
		return &Formula{Op: Is, Cond: f.Cond.Not()}
	}
	kids := make([]*Formula, len(f.Kids))
	for i, k := range f.Kids {
		kids[i] = Not(k)
	}
	if f.Op == All {
		// ¬(a ∧ b ∧ c) as ¬a ∨ (a ∧ ¬b) ∨ (a ∧ b ∧ ¬c): the parts exclude each
		// other, and a later part may rely on the domain conditions before it.
		parts := make([]*Formula, len(kids))
		for i, k := range kids {
			parts[i] = And(append(append([]*Formula{}, f.Kids[:i]...), k)...)
		}
		return Or(parts...)
	}
	return And(kids...)
}

// maxCases bounds the number of cases of one statement, and maxConds the
// number of conditions in one case.
const (
	maxCases = 512
	maxConds = 128
)

// Cases lists conjunctions whose union is f (disjunctive form). ok is false
// when there would be more than 512 of them.
func (f *Formula) Cases() (cases [][]poly.Condition, ok bool) {
	switch f.Op {
	case False:
		return nil, true
	case True:
		return [][]poly.Condition{nil}, true
	case Is:
		return [][]poly.Condition{{f.Cond}}, true
	case Any:
		for _, k := range f.Kids {
			more, ok := k.Cases()
			if !ok || len(cases)+len(more) > maxCases {
				return nil, false
			}
			cases = append(cases, more...)
		}
		return cases, true
	}
	cases = [][]poly.Condition{nil}
	for _, k := range f.Kids {
		more, ok := k.Cases()
		if !ok || len(cases)*len(more) > maxCases {
			return nil, false
		}
		next := make([][]poly.Condition, 0, len(cases)*len(more))
		for _, a := range cases {
			for _, b := range more {
				if len(a)+len(b) > maxConds {
					return nil, false
				}
				next = append(next, append(append(make([]poly.Condition, 0, len(a)+len(b)), a...), b...))
			}
		}
		cases = next
	}
	return cases, true
}

// Conditions lists every condition that occurs in f.
func (f *Formula) Conditions() []poly.Condition {
	if f.Op == Is {
		return []poly.Condition{f.Cond}
	}
	var list []poly.Condition
	for _, k := range f.Kids {
		list = append(list, k.Conditions()...)
	}
	return list
}
