package move_test

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"squaremark/algebra/budget"
	"squaremark/algebra/formula"
	"squaremark/algebra/move"
	"squaremark/algebra/syntax"

	"github.com/stretchr/testify/require"
)

// example is one line of testdata/<id>.txt with what stands above it:
//
//	given x > 0; y > 0      the givens of what follows ("given" alone: none)
//	integer n               integer variables ("integer" alone: none)
//	earlier a >= b; b >= c  earlier lines
//	facts                   what follows is an argument that starts at facts
//	A <=> B   accept
//	A =>  B   refuse other-shape   # why
type example struct {
	at             string
	given, earlier []string
	integers       map[string]bool
	facts          bool
	from, link, to string
	accept         bool
	code           string
}

var exampleLine = regexp.MustCompile(`^(.*?)\s+(<=>|=>|<=:)\s+(.*?)\s{2,}(accept|refuse\s+\S+)\s*(#.*)?$`)

func readExamples(t *testing.T, id string) []example {
	data, err := os.ReadFile(filepath.Join("testdata", id+".txt"))
	require.NoError(t, err, "every move has examples")
	var list []example
	cur := example{integers: map[string]bool{}}
	for _, line := range strings.Split(string(data), "\n") {
		line = strings.TrimRight(line, " ")
		key, rest, _ := strings.Cut(line, " ")
		switch {
		case line == "" || strings.HasPrefix(line, "#"):
		case key == "given":
			cur.given = parts(rest)
		case key == "earlier":
			cur.earlier = parts(rest)
		case key == "facts":
			cur.facts = true
		case key == "integer":
			cur.integers = map[string]bool{}
			for _, v := range strings.Fields(rest) {
				cur.integers[v] = true
			}
		default:
			m := exampleLine.FindStringSubmatch(line)
			require.NotNil(t, m, "%s: %q", id, line)
			e := cur
			e.at, e.from, e.link, e.to = id+": "+line, m[1], m[2], m[3]
			e.accept = m[4] == "accept"
			e.code = strings.TrimSpace(strings.TrimPrefix(m[4], "refuse"))
			list = append(list, e)
		}
	}
	return list
}

func parts(text string) []string {
	var list []string
	for _, p := range strings.Split(text, ";") {
		if p = strings.TrimSpace(p); p != "" {
			list = append(list, p)
		}
	}
	return list
}

func tree(t *testing.T, text string) *syntax.Node {
	r, bad := syntax.Read(strings.TrimPrefix(text, "let "), budget.New(budget.Default()))
	if bad != nil {
		t.Fatalf("%s: %v", text, bad)
	}
	return r.Root
}

// pair reads an example into a pair of lines.
func (e example) pair(t *testing.T) *move.Pair {
	texts := append(append(append([]string{}, e.given...), e.earlier...), e.from, e.to)
	var trees []*syntax.Node
	var vars []formula.Variable
	seen := map[string]bool{}
	for _, text := range texts {
		n := tree(t, text)
		trees = append(trees, n)
		var walk func(n *syntax.Node)
		walk = func(n *syntax.Node) {
			if n.Kind == syntax.Name && !seen[n.Text] {
				seen[n.Text] = true
				v := formula.Variable{Name: n.Text}
				if e.integers[n.Text] {
					v.Range = formula.Integer
				}
				vars = append(vars, v)
			}
			for _, k := range n.Kids {
				walk(k)
			}
		}
		walk(n)
	}
	scope, err := formula.NewScope(vars, budget.New(budget.Default()), trees...)
	require.NoError(t, err, e.at)
	reader := move.NewReader(scope)
	read := func(n *syntax.Node) *move.Line {
		l, err := reader.Read(n)
		require.NoError(t, err, e.at)
		return l
	}
	var givens []*move.Line
	given := formula.Always()
	for i := range e.given {
		l := read(trees[i])
		givens = append(givens, l)
		given = formula.And(given, l.Body)
	}
	s := move.New(scope, given, givens)

	var earlier []move.Earlier
	for i := range e.earlier {
		earlier = append(earlier, move.Earlier{Line: read(trees[len(e.given)+i]), Index: i})
	}
	from, to := read(trees[len(trees)-2]), read(trees[len(trees)-1])
	known := func(name string) bool {
		k := 0
		for _, text := range texts[:len(texts)-1] {
			k += countName(tree(t, text), name)
		}
		return k > 0
	}
	if _, _, ok := move.NameIntroduced(trees[len(trees)-1], known); ok && strings.HasPrefix(e.to, "let ") {
		s.Define(to)
	}
	s.Relate(append(append([]*move.Line{from, to}, givens...), linesOf(earlier)...)...)
	p := s.Between(from, to, len(e.earlier), earlier)
	p.Fact, p.Known, p.Restate = e.facts, e.facts, e.facts
	return p
}

func linesOf(list []move.Earlier) []*move.Line {
	var lines []*move.Line
	for _, e := range list {
		lines = append(lines, e.Line)
	}
	return lines
}

func countName(n *syntax.Node, name string) int {
	k := 0
	if n.Kind == syntax.Name && n.Text == name {
		k = 1
	}
	for _, kid := range n.Kids {
		k += countName(kid, name)
	}
	return k
}

// verdict is "accept" when the move alone justifies the link of the example, else the
// code of the refusal.
func verdict(r move.Result, link string) string {
	forward, backward := link != "<=:", link != "=>"
	f, b := r.Forward.Status, r.Backward.Status
	switch {
	case (!forward || f == move.Proved) && (!backward || b == move.Proved):
		return "accept"
	case forward && f == move.Conditional || backward && b == move.Conditional:
		return move.CodeCondition
	case f != move.No || b != move.No:
		return move.CodeOneWay
	}
	return r.Code
}

// TestExamples runs the examples of every move: at least one that the move
// justifies and one that it refuses, with the code of the refusal.
func TestExamples(t *testing.T) {
	for _, m := range move.Catalogue {
		t.Run(m.ID, func(t *testing.T) {
			accepted, refused := 0, 0
			for _, e := range readExamples(t, m.ID) {
				got := verdict(m.Try(e.pair(t)), e.link)
				if e.accept {
					accepted++
				} else {
					refused++
				}
				if got != e.code {
					t.Errorf("%s\n\tgot %q", e.at, got)
				}
			}
			if accepted == 0 || refused == 0 {
				t.Errorf("%s has %d examples that are accepted and %d that are refused", m.ID, accepted, refused)
			}
		})
	}
}

// TestCatalogue checks the data of the moves.
func TestCatalogue(t *testing.T) {
	word := regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`)
	seen := map[string]bool{}
	for _, m := range move.Catalogue {
		require.Regexp(t, word, m.ID)
		require.False(t, seen[m.ID], "%s is listed twice", m.ID)
		seen[m.ID] = true
		for what, text := range map[string]string{"title": m.Title, "text": m.Text, "since": m.Since, "source": m.Source, "family": string(m.Family)} {
			require.NotEmpty(t, text, "%s has no %s", m.ID, what)
		}
		require.NotNil(t, m.Try, m.ID)
		require.True(t, strings.HasSuffix(m.Text, "."), "%s: the text is a sentence", m.ID)
		require.NotContains(t, move.Retired, m.ID)
	}
	files, err := filepath.Glob("testdata/*.txt")
	require.NoError(t, err)
	require.Len(t, files, len(move.Catalogue), "one file of examples for each move")
}
