package algebra_test

import (
	"bufio"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/algebra"
	"squaremark/algebra/budget"
)

// reference finds a general-purpose program that Debian carries. Where CI is
// set its absence fails; elsewhere the check is passed over.
func reference(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("%s is not installed", name)
		}
		t.Skipf("%s is not installed", name)
	}
	return path
}

// answers runs a program on a script and gives the lines it prints.
func answers(t *testing.T, script string, name string, args ...string) []string {
	t.Helper()
	cmd := exec.Command(name, args...)
	cmd.Stdin = strings.NewReader(script)
	out, err := cmd.Output()
	require.NoError(t, err, "%s", out)
	var lines []string
	for s := bufio.NewScanner(strings.NewReader(string(out))); s.Scan(); {
		if line := strings.TrimSpace(s.Text()); line != "" {
			lines = append(lines, line)
		}
	}
	return lines
}

// item is one random question: is left Rel right for all values?
type item struct {
	vars []string
	poly map[string]int // coefficients by monomial, "x*x*y"
	rel  string
}

var monomials = map[int][]string{
	1: {"1", "x", "x*x", "x*x*x", "x*x*x*x"},
	2: {"1", "x", "y", "x*x", "x*y", "y*y", "x*x*y*y", "x*x*x*x", "y*y*y*y"},
	3: {"1", "x", "y", "z", "x*x", "y*y", "z*z", "x*y", "y*z", "z*x"},
}

// randomItem is a polynomial that is often close to non-negative: a sum of
// squares with small changes.
func randomItem(rng *rand.Rand, n int) item {
	it := item{vars: []string{"x", "y", "z"}[:n], poly: map[string]int{}, rel: []string{">=", ">"}[rng.IntN(2)]}
	for _, m := range monomials[n] {
		if strings.Count(m, "*") > 1 && rng.IntN(2) == 0 {
			continue
		}
		it.poly[m] = rng.IntN(9) - 3
	}
	for _, v := range it.vars {
		it.poly[v+"*"+v] += 3
	}
	it.poly["1"] += rng.IntN(8)
	if n < 3 {
		for _, v := range it.vars {
			it.poly[v+"*"+v+"*"+v+"*"+v] += 2
		}
	}
	return it
}

// text writes the polynomial in infix, smt in prefix notation.
func (it item) text() string {
	var b strings.Builder
	for _, m := range monomials[len(it.vars)] {
		if c := it.poly[m]; c != 0 {
			fmt.Fprintf(&b, " + (%d)*%s", c, m)
		}
	}
	return "0" + b.String()
}

func (it item) smt() string {
	var b strings.Builder
	b.WriteString("(+ 0")
	for _, m := range monomials[len(it.vars)] {
		if c := it.poly[m]; c != 0 {
			fmt.Fprintf(&b, " (* %s %s)", smtInt(c), strings.ReplaceAll(m, "*", " "))
		}
	}
	return b.String() + ")"
}

func smtInt(c int) string {
	if c < 0 {
		return fmt.Sprintf("(- %d)", -c)
	}
	return fmt.Sprint(c)
}

func (it item) question(t *testing.T) *algebra.Question {
	var vars []algebra.Declared
	for _, v := range it.vars {
		vars = append(vars, algebra.Declared{Name: v, Range: "real"})
	}
	q, bad := algebra.NewQuestion(vars, nil, budget.Default())
	require.Nil(t, bad)
	return q
}

// Random inequalities in one to three variables, against the decision
// procedure for real arithmetic of the solver Z3 (nlsat).
func TestAgreesWithZ3(t *testing.T) {
	z3 := reference(t, "z3")
	rng := rand.New(rand.NewPCG(7, 2026))
	var items []item
	var script strings.Builder
	for i := range 450 {
		it := randomItem(rng, 1+i%3)
		items = append(items, it)
		script.WriteString("(push)\n")
		for _, v := range it.vars {
			fmt.Fprintf(&script, "(declare-const %s Real)\n", v)
		}
		fmt.Fprintf(&script, "(assert (not (%s %s 0)))\n(check-sat)\n(pop)\n", it.rel, it.smt())
	}
	got := answers(t, script.String(), z3, "-in", "-T:120", "timeout=2000")
	require.Len(t, got, len(items))
	counts := map[string]int{}
	for i, it := range items {
		out := it.question(t).Truth(it.text() + " " + it.rel + " 0")
		require.Nil(t, out.Unreadable)
		counts[out.Verdict.String()]++
		switch got[i] {
		case "sat":
			assert.NotEqual(t, algebra.Holds, out.Verdict, "%s %s 0 has a counterexample", it.text(), it.rel)
		case "unsat":
			assert.NotEqual(t, algebra.Fails, out.Verdict, "%s %s 0 has none, but %v", it.text(), it.rel, out.Witness)
		}
	}
	t.Log(counts)
	assert.Greater(t, counts["holds"], 100)
	assert.Greater(t, counts["fails"], 100)
	assert.LessOrEqual(t, counts["unsettled"], len(items)/50)
}

// Random identities, true and with one coefficient changed, against the
// expansion of PARI/GP.
func TestAgreesWithPARI(t *testing.T) {
	gp := reference(t, "gp")
	rng := rand.New(rand.NewPCG(11, 2026))
	type pair struct{ left, right string }
	var pairs []pair
	var script strings.Builder
	for range 400 {
		a, b, c, k := rng.IntN(9)-4, rng.IntN(9)-4, rng.IntN(9)-4, 2+rng.IntN(3)
		left := fmt.Sprintf("((%d)*x + (%d)*y + (%d))^%d - (x - (%d)*y)^2", a, b, c, k, b)
		right := expansion(a, b, c, k)
		if rng.IntN(2) == 0 {
			right += fmt.Sprintf(" + (%d)*x*y^%d", rng.IntN(2), k-1)
		}
		pairs = append(pairs, pair{left, right})
		fmt.Fprintf(&script, "print((%s) == (%s))\n", left, right)
	}
	got := answers(t, script.String(), gp, "-q", "-f")
	require.Len(t, got, len(pairs))
	q, bad := algebra.NewQuestion([]algebra.Declared{{Name: "x", Range: "real"}, {Name: "y", Range: "real"}}, nil, budget.Default())
	require.Nil(t, bad)
	want := map[string]string{"1": "holds", "0": "fails"}
	seen := map[string]int{}
	for i, p := range pairs {
		out := q.Identity(p.left, p.right)
		assert.Equal(t, want[got[i]], out.Verdict.String(), "%s = %s", p.left, p.right)
		seen[got[i]]++
	}
	assert.Greater(t, seen["1"], 100)
	assert.Greater(t, seen["0"], 50)
}

// expansion multiplies (ax + by + c)^k - (x - by)^2 out by the multinomial
// theorem.
func expansion(a, b, c, k int) string {
	pow := func(v, n int) int {
		p := 1
		for range n {
			p *= v
		}
		return p
	}
	factorial := func(n int) int {
		f := 1
		for i := 2; i <= n; i++ {
			f *= i
		}
		return f
	}
	var b2 strings.Builder
	fmt.Fprintf(&b2, "-x^2 + (%d)*x*y - (%d)*y^2", 2*b, b*b)
	for i := 0; i <= k; i++ {
		for j := 0; i+j <= k; j++ {
			m := factorial(k) / (factorial(i) * factorial(j) * factorial(k-i-j))
			fmt.Fprintf(&b2, " + (%d)*x^%d*y^%d", m*pow(a, i)*pow(b, j)*pow(c, k-i-j), i, j)
		}
	}
	return b2.String()
}

// Random surds: signs and equalities of sums of square roots, against SymPy's
// evaluation to 60 digits.
func TestAgreesWithSymPy(t *testing.T) {
	python := "/usr/bin/python3"
	if exec.Command(python, "-c", "import sympy").Run() != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("sympy is not installed")
		}
		t.Skip("sympy is not installed")
	}
	rng := rand.New(rand.NewPCG(13, 2026))
	var texts []string
	script := "from sympy import *\n"
	for range 300 {
		text := fmt.Sprint(rng.IntN(21) - 10)
		for range 1 + rng.IntN(3) {
			text += fmt.Sprintf(" + (%d)*sqrt(%d)", rng.IntN(13)-6, 2+rng.IntN(30))
		}
		if rng.IntN(3) == 0 { // (a + b√c)² − its expansion: zero
			a, b, c := rng.IntN(9)-4, rng.IntN(5)-2, 2+rng.IntN(9)
			text = fmt.Sprintf("(%d + (%d)*sqrt(%d))^2 - %d - (%d)*sqrt(%d)", a, b, c, a*a+b*b*c, 2*a*b, c)
		}
		texts = append(texts, text)
		script += fmt.Sprintf("e = expand(%s)\nprint(0 if e == 0 else (1 if N(e, 60) > 0 else -1))\n", strings.ReplaceAll(text, "^", "**"))
	}
	got := answers(t, script, python, "-")
	require.Len(t, got, len(texts))
	q, bad := algebra.NewQuestion(nil, nil, budget.Default())
	require.Nil(t, bad)
	zeros := 0
	for i, text := range texts {
		rel := map[string]string{"1": ">", "0": "=", "-1": "<"}[got[i]]
		out := q.Truth(text + " " + rel + " 0")
		assert.Equal(t, algebra.Holds, out.Verdict, "%s %s 0", text, rel)
		if rel == "=" {
			zeros++
		}
	}
	assert.Greater(t, zeros, 30)
}
