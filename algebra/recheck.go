package algebra

import (
	"encoding/json"
	"errors"
	"fmt"

	"squaremark/algebra/budget"
	"squaremark/algebra/evidence"
	"squaremark/algebra/formula"
	"squaremark/algebra/number"
	"squaremark/algebra/poly"
	"squaremark/algebra/syntax"
)

// Recheck runs the kernel on stored evidence: the data of an Evidence as JSON.
// Nothing is searched for. It confirms that the stored conditions cannot hold
// together (or that the point satisfies them), not which question they came
// from. checked counts the records.
//
// Errors: what could not be read, and what the kernel refuses.
func Recheck(data []byte, limits budget.Limits) (checked int, err error) {
	var records []*evidence.Record
	if err := json.Unmarshal(data, &records); err != nil {
		return 0, err
	}
	for i, r := range records {
		if err := recheck(r, limits); err != nil {
			return i, fmt.Errorf("record %d: %w", i, err)
		}
	}
	return len(records), nil
}

// restored reads the texts of one record back into one ring.
type restored struct {
	scope *formula.Scope
	meter *budget.Meter
	trees map[string]*syntax.Node
}

func recheck(r *evidence.Record, limits budget.Limits) error {
	x := &restored{meter: budget.New(limits), trees: map[string]*syntax.Node{}}
	var order []*syntax.Node
	for _, text := range texts(r) {
		if _, known := x.trees[text]; known {
			continue
		}
		reading, bad := syntax.Read(text, x.meter)
		if bad != nil {
			return bad
		}
		x.trees[text] = reading.Root
		order = append(order, reading.Root)
	}
	var err error
	if x.scope, err = formula.NewScope(declaredBy(r), x.meter, order...); err != nil {
		return err
	}
	c := &evidence.Conjunction{Ring: x.scope.Ring, Whole: x.scope.Whole()}
	for _, text := range r.Conditions {
		cond, err := x.condition(text)
		if err != nil {
			return err
		}
		c.Conds = append(c.Conds, cond)
	}
	switch {
	case r.Proof != nil:
		proof, err := x.proof(r.Proof)
		if err != nil {
			return err
		}
		return evidence.CheckRefutation(c, proof)
	case r.Root != nil:
		root, err := x.root(r.Root)
		if err != nil {
			return err
		}
		return evidence.CheckRootPoint(c, root)
	case len(r.Point) == len(r.Variables):
		point, err := x.point(r)
		if err != nil {
			return err
		}
		return evidence.CheckPoint(c, point)
	}
	return errors.New("it holds neither a proof nor a point")
}

func declaredBy(r *evidence.Record) []formula.Variable {
	whole := map[string]bool{}
	for _, name := range r.Whole {
		whole[name] = true
	}
	var vars []formula.Variable
	for _, name := range r.Variables {
		v := formula.Variable{Name: name}
		if whole[name] {
			v.Range = formula.Integer
		}
		vars = append(vars, v)
	}
	return vars
}

// texts lists every expression, condition and variable of a record.
func texts(r *evidence.Record) []string {
	list := append(append([]string(nil), r.Variables...), r.Conditions...)
	if r.Root != nil {
		list = append(list, r.Root.Of)
	}
	var walk func(p *evidence.Proof)
	walk = func(p *evidence.Proof) {
		if p == nil {
			return
		}
		for _, t := range p.Terms {
			list = append(list, t.Square)
		}
		for _, m := range p.Multiples {
			list = append(list, m.By)
		}
		for _, text := range []string{p.Of, p.Value} {
			if text != "" {
				list = append(list, text)
			}
		}
		for _, part := range []*evidence.Proof{p.Negative, p.Zero, p.Positive, p.Then} {
			walk(part)
		}
	}
	walk(r.Proof)
	return list
}

func (x *restored) polynomial(text string) (poly.Poly, error) {
	tree, ok := x.trees[text]
	if !ok {
		return poly.Poly{}, fmt.Errorf("expected an expression, found %q", text)
	}
	return x.lower(tree)
}

func (x *restored) lower(tree *syntax.Node) (poly.Poly, error) {
	t, err := x.scope.Expression(tree)
	if err != nil {
		return poly.Poly{}, err
	}
	p, ok := x.scope.IsPolynomial(t.Fraction)
	if !ok {
		return p, errors.New("expected a polynomial")
	}
	return p, nil
}

// condition reads "P rel 0".
func (x *restored) condition(text string) (poly.Condition, error) {
	n := x.trees[text]
	if n.Kind != syntax.Relation || len(n.Rels) != 1 || n.Kids[1].Text != "0" {
		return poly.Condition{}, fmt.Errorf("expected a condition against 0, found %q", text)
	}
	p, err := x.lower(n.Kids[0])
	return poly.Condition{P: p, Rel: poly.Rel(n.Rels[0])}, err
}

func (x *restored) variable(name string) (int, error) {
	i, ok := x.scope.Ring.Index(name)
	if !ok {
		return 0, fmt.Errorf("expected a variable, found %q", name)
	}
	return i, nil
}

func (x *restored) proof(p *evidence.Proof) (evidence.Refutation, error) {
	if p == nil {
		return nil, errors.New("a part of the proof is missing")
	}
	switch p.Kind {
	case "combination":
		return x.combination(p)
	case "cases":
		of, err := x.polynomial(p.Of)
		if err != nil {
			return nil, err
		}
		out := &evidence.Cases{P: of}
		for _, part := range []struct {
			from *evidence.Proof
			to   *evidence.Refutation
		}{{p.Negative, &out.Neg}, {p.Zero, &out.Zero}, {p.Positive, &out.Pos}} {
			if *part.to, err = x.proof(part.from); err != nil {
				return nil, err
			}
		}
		return out, nil
	case "substitution":
		value, err := x.polynomial(p.Value)
		if err != nil {
			return nil, err
		}
		v, err := x.variable(p.Variable)
		if err != nil {
			return nil, err
		}
		then, err := x.proof(p.Then)
		return &evidence.Substitution{Cond: p.Condition, Var: v, Value: value, Then: then}, err
	case "one-variable":
		return x.oneVariable(p)
	}
	return nil, fmt.Errorf("expected a kind of proof, found %q", p.Kind)
}

func (x *restored) combination(p *evidence.Proof) (evidence.Refutation, error) {
	out := &evidence.Combination{}
	for _, t := range p.Terms {
		coef, ok := number.Parse(t.Coefficient)
		if !ok {
			return nil, fmt.Errorf("expected a number, found %q", t.Coefficient)
		}
		root, err := x.polynomial(t.Square)
		if err != nil {
			return nil, err
		}
		out.Terms = append(out.Terms, evidence.Term{Coef: coef, Root: root, Factors: t.Times, NonZero: t.NonZero})
	}
	for _, m := range p.Multiples {
		by, err := x.polynomial(m.By)
		if err != nil {
			return nil, err
		}
		out.Multiples = append(out.Multiples, evidence.Multiple{Cond: m.Condition, By: by})
	}
	return out, nil
}

func (x *restored) oneVariable(p *evidence.Proof) (evidence.Refutation, error) {
	v, err := x.variable(p.Variable)
	if err != nil {
		return nil, err
	}
	out := &evidence.OneVariable{Var: v, Use: p.Use}
	for _, r := range p.Roots {
		lo, okLo := number.Parse(r[0])
		hi, okHi := number.Parse(r[1])
		if !okLo || !okHi {
			return nil, fmt.Errorf("expected an interval, found %q to %q", r[0], r[1])
		}
		out.Roots = append(out.Roots, evidence.Isolated{Lo: lo, Hi: hi})
	}
	return out, nil
}

func (x *restored) root(r *evidence.RootRecord) (evidence.RootPoint, error) {
	var out evidence.RootPoint
	of, err := x.polynomial(r.Of)
	if err != nil {
		return out, err
	}
	v, err := x.variable(r.Variable)
	if err != nil {
		return out, err
	}
	lo, okLo := number.Parse(r.From)
	hi, okHi := number.Parse(r.To)
	if !okLo || !okHi {
		return out, fmt.Errorf("expected an interval, found %q to %q", r.From, r.To)
	}
	return evidence.RootPoint{Var: v, Of: of, Lo: lo, Hi: hi}, nil
}

func (x *restored) point(r *evidence.Record) (evidence.Point, error) {
	point := make(evidence.Point, x.scope.Ring.Len())
	for i, name := range r.Variables {
		v, err := x.variable(name)
		if err != nil {
			return nil, err
		}
		value, ok := number.Parse(r.Point[i])
		if !ok {
			return nil, fmt.Errorf("expected a number, found %q", r.Point[i])
		}
		point[v] = value
	}
	return point, nil
}
