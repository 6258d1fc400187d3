package evidence

import (
	"strings"

	"squaremark/algebra/number"
	"squaremark/algebra/poly"
)

// Record is one decided case as plain data with polynomials and numbers as
// text, so that it can be stored and re-checked without any search. Exactly
// one of Proof, Point and Root is set.
type Record struct {
	Variables  []string    `json:"variables"`
	Whole      []string    `json:"whole,omitempty"` // those that range over the integers
	Conditions []string    `json:"conditions"`      // "x^2 - 2*x < 0"
	Proof      *Proof      `json:"proof,omitempty"`
	Point      []string    `json:"point,omitempty"` // a value for each variable
	Root       *RootRecord `json:"root,omitempty"`
}

// RootRecord is a RootPoint as text.
type RootRecord struct {
	Variable string `json:"variable"`
	Of       string `json:"of"`
	From     string `json:"from"`
	To       string `json:"to"`
}

// Proof is a Refutation as text. Kind says which fields are used:
// combination, cases, substitution, one-variable.
type Proof struct {
	Kind      string           `json:"kind"`
	Terms     []TermRecord     `json:"terms,omitempty"`
	Multiples []MultipleRecord `json:"multiples,omitempty"`
	Variable  string           `json:"variable,omitempty"`
	Use       []int            `json:"use,omitempty"`   // conditions, counted from 0
	Roots     [][2]string      `json:"roots,omitempty"` // isolating intervals
	Of        string           `json:"of,omitempty"`    // cases: the polynomial whose sign is split
	Negative  *Proof           `json:"negative,omitempty"`
	Zero      *Proof           `json:"zero,omitempty"`
	Positive  *Proof           `json:"positive,omitempty"`
	Condition int              `json:"condition,omitempty"` // substitution: the equation
	Value     string           `json:"value,omitempty"`
	Then      *Proof           `json:"then,omitempty"`
}

// TermRecord is a Term as text.
type TermRecord struct {
	Coefficient string `json:"coefficient"`
	Square      string `json:"square"`
	Times       []int  `json:"times,omitempty"`
	NonZero     []int  `json:"nonZero,omitempty"`
}

// MultipleRecord is a Multiple as text.
type MultipleRecord struct {
	Condition int    `json:"condition"`
	By        string `json:"by"`
}

// Write makes the record of a case: give one of a refutation, a point and a
// root point.
func Write(c *Conjunction, r Refutation, p Point, root *RootPoint) *Record {
	rec := &Record{Variables: c.Ring.Names()}
	for i, name := range c.Ring.Names() {
		if c.IsWhole(i) {
			rec.Whole = append(rec.Whole, name)
		}
	}
	for _, cond := range c.Conds {
		rec.Conditions = append(rec.Conditions, c.Ring.String(cond.P)+" "+cond.Rel.String()+" 0")
	}
	if r != nil {
		rec.Proof = write(c.Ring, r)
	}
	for _, v := range p {
		rec.Point = append(rec.Point, v.String())
	}
	if root != nil {
		rec.Root = &RootRecord{Variable: c.Ring.Names()[root.Var], Of: c.Ring.String(root.Of), From: root.Lo.String(), To: root.Hi.String()}
	}
	return rec
}

func write(ring *poly.Ring, r Refutation) *Proof {
	switch r := r.(type) {
	case *Combination:
		p := &Proof{Kind: "combination"}
		for _, t := range r.Terms {
			p.Terms = append(p.Terms, TermRecord{Coefficient: t.Coef.String(), Square: ring.String(t.Root), Times: t.Factors, NonZero: t.NonZero})
		}
		for _, m := range r.Multiples {
			p.Multiples = append(p.Multiples, MultipleRecord{Condition: m.Cond, By: ring.String(m.By)})
		}
		return p
	case *Cases:
		return &Proof{Kind: "cases", Of: ring.String(r.P), Negative: write(ring, r.Neg), Zero: write(ring, r.Zero), Positive: write(ring, r.Pos)}
	case *Substitution:
		return &Proof{Kind: "substitution", Condition: r.Cond, Variable: ring.Names()[r.Var], Value: ring.String(r.Value), Then: write(ring, r.Then)}
	case *OneVariable:
		p := &Proof{Kind: "one-variable", Variable: ring.Names()[r.Var], Use: r.Use}
		for _, i := range r.Roots {
			p.Roots = append(p.Roots, [2]string{i.Lo.String(), i.Hi.String()})
		}
		return p
	}
	return nil
}

// Sentence says a refutation in one line for people. Where the conjunction is
// the negation of "P ≥ 0" this is P written as a sum of squares.
func Sentence(c *Conjunction, r Refutation) string {
	ring := c.Ring
	switch r := r.(type) {
	case *Combination:
		return sentence(c, r)
	case *Cases:
		return "by the sign of " + ring.String(r.P)
	case *Substitution:
		return "with " + ring.Names()[r.Var] + " = " + ring.String(r.Value) + ": " + Sentence(afterSubstitution(c, r), r.Then)
	case *OneVariable:
		return "by the signs between the real roots, in " + ring.Names()[r.Var]
	}
	return ""
}

func afterSubstitution(c *Conjunction, r *Substitution) *Conjunction {
	next, err := substituted(c, r)
	if err != nil {
		return c
	}
	return next
}

func sentence(c *Conjunction, r *Combination) string {
	ring := c.Ring
	var left, right []string
	for _, t := range r.Terms {
		root, constant := t.Root.IsConst()
		if len(left) == 0 && constant && len(t.Factors) == 1 && len(t.NonZero) == 0 {
			cond := c.Conds[t.Factors[0]]
			p := cond.P
			if cond.Rel == poly.Gt || cond.Rel == poly.Ge {
				p = ring.Neg(p)
			}
			p = ring.Scale(p, t.Coef.Mul(root).Mul(root))
			left = append(left, ring.String(p))
			continue
		}
		right = append(right, termText(c, t))
	}
	for _, m := range r.Multiples {
		if m.By.IsZero() {
			continue
		}
		right = append(right, product(ring, m.By)+"*("+ring.String(c.Conds[m.Cond].P)+")")
	}
	if len(left) == 0 {
		left = []string{"0"}
	}
	if len(right) == 0 {
		right = []string{"0"}
	}
	return left[0] + " = " + strings.Join(right, " + ")
}

func product(ring *poly.Ring, p poly.Poly) string {
	if _, ok := p.IsConst(); ok || p.Len() == 1 {
		return ring.String(p)
	}
	return "(" + ring.String(p) + ")"
}

func termText(c *Conjunction, t Term) string {
	ring := c.Ring
	coef := t.Coef
	var parts []string
	if v, ok := t.Root.IsConst(); ok {
		coef = coef.Mul(v).Mul(v)
	} else {
		parts = append(parts, "("+ring.String(t.Root)+")^2")
	}
	for _, k := range t.Factors {
		p := c.Conds[k].P
		if c.Conds[k].Rel == poly.Lt || c.Conds[k].Rel == poly.Le {
			p = ring.Neg(p)
		}
		parts = append(parts, "("+ring.String(p)+")")
	}
	for _, k := range t.NonZero {
		parts = append(parts, "("+ring.String(c.Conds[k].P)+")^2")
	}
	if len(parts) == 0 || !coef.Equal(number.Int(1)) {
		text := coef.String()
		if !coef.IsRational() && len(parts) > 0 {
			text = "(" + text + ")"
		}
		parts = append([]string{text}, parts...)
	}
	return strings.Join(parts, "*")
}
