package main

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// permitted is the table of imports inside the project: a package may import
// those named for it, and nothing else of the project. A name that ends in
// "/..." stands for a folder and all below it. The first row that matches a
// package counts.
var permitted = []struct {
	pkg string
	may []string
}{
	{"algebra/internal/...", []string{"algebra/poly/...", "algebra/number", "algebra/budget"}},
	{"algebra/source", nil},
	{"algebra/budget", nil},
	{"algebra/syntax", []string{"algebra/source", "algebra/budget"}},
	{"algebra/number", []string{"algebra/budget"}},
	{"algebra/poly/...", []string{"algebra/poly/...", "algebra/number", "algebra/budget"}},
	{"algebra/formula", []string{"algebra/syntax", "algebra/source", "algebra/poly", "algebra/number", "algebra/budget"}},
	{"algebra/evidence", []string{"algebra/poly", "algebra/number", "algebra/budget"}},
	{"algebra/decide/...", []string{"algebra/decide/...", "algebra/evidence", "algebra/formula", "algebra/poly/...", "algebra/number", "algebra/budget"}},
	{"algebra/integer", []string{"algebra/decide/...", "algebra/evidence", "algebra/formula", "algebra/syntax", "algebra/source", "algebra/poly/...", "algebra/number", "algebra/budget"}},
	{"algebra/move", []string{"algebra/decide/...", "algebra/evidence", "algebra/formula", "algebra/syntax", "algebra/source", "algebra/poly/...", "algebra/number", "algebra/budget"}},
	{"algebra", []string{"algebra/..."}},
	{"grader/rubric", []string{"algebra/source", "algebra/syntax", "algebra/budget"}},
	{"grader/...", []string{"grader/...", "algebra/..."}},
	{"api/platform/standin", []string{"api/platform"}},
	{"api/platform", nil},
	{"api/contract", nil},
	{"api/...", []string{"api/...", "grader/...", "algebra/source", "algebra/budget"}},
	{"cmd/...", []string{"cmd/...", "api/...", "grader/...", "algebra/...", "deploy/course"}},
	{"deploy/...", []string{"deploy/..."}},
	{"", nil},
}

func matches(pattern, pkg string) bool {
	if folder, ok := strings.CutSuffix(pattern, "/..."); ok {
		return pkg == folder || strings.HasPrefix(pkg, folder+"/")
	}
	return pkg == pattern
}

type listed struct {
	ImportPath   string
	Dir          string
	Imports      []string
	TestImports  []string
	XTestImports []string
	GoFiles      []string
}

func projectPackages(t *testing.T) []listed {
	t.Helper()
	out, err := exec.Command("go", "list", "-json=ImportPath,Dir,Imports,GoFiles", "squaremark/...").Output()
	require.NoError(t, err)
	var list []listed
	for d := json.NewDecoder(strings.NewReader(string(out))); d.More(); {
		var p listed
		require.NoError(t, d.Decode(&p))
		list = append(list, p)
	}
	require.NotEmpty(t, list)
	return list
}

// Imports run down: cmd -> api -> grader -> algebra, and inside algebra as the
// table says.
func TestImportsRunDown(t *testing.T) {
	for _, p := range projectPackages(t) {
		pkg := strings.TrimPrefix(strings.TrimPrefix(p.ImportPath, "squaremark"), "/")
		var may []string
		known := false
		for _, row := range permitted {
			if matches(row.pkg, pkg) {
				may, known = row.may, true
				break
			}
		}
		assert.True(t, known, "%s is not in the table of imports", pkg)
		for _, imported := range p.Imports {
			if rest, ok := strings.CutPrefix(imported, "squaremark/"); ok {
				allowed := false
				for _, m := range may {
					allowed = allowed || matches(m, rest)
				}
				assert.True(t, allowed, "%s may not import %s", pkg, rest)
			}
		}
	}
}

// No float decides anything: below algebra only files whose names start with
// search_ may mention a float type, and what they find is re-checked exactly.
func TestNoFloatsBelowAlgebra(t *testing.T) {
	root := filepath.Join("..", "..", "algebra")
	files := 0
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		name := filepath.Base(path)
		if strings.HasPrefix(name, "search_") {
			inSearch := strings.Contains(path, filepath.Join("decide", "witness")) || strings.Contains(path, filepath.Join("decide", "squares"))
			assert.True(t, inSearch, "%s: floats belong to the searches only", path)
			return nil
		}
		files++
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		require.NoError(t, err)
		ast.Inspect(f, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.Ident:
				assert.NotContains(t, []string{"float32", "float64", "complex64", "complex128"}, n.Name, path)
			case *ast.BasicLit:
				assert.NotEqual(t, token.FLOAT, n.Kind, "%s: %s", path, n.Value)
			case *ast.SelectorExpr:
				if x, ok := n.X.(*ast.Ident); ok && x.Name == "big" {
					assert.NotContains(t, []string{"Float", "NewFloat", "ParseFloat"}, n.Sel.Name, path)
				}
			}
			return true
		})
		return nil
	})
	require.NoError(t, err)
	assert.Greater(t, files, 20)
}

// The top level holds exactly what the contributor guide lists.
func TestTopLevel(t *testing.T) {
	entries, err := filepath.Glob(filepath.Join("..", "..", "*"))
	require.NoError(t, err)
	want := map[string]bool{"cmd": true, "api": true, "grader": true, "algebra": true, "deploy": true, "openapi.yaml": true,
		"go.mod": true, "go.sum": true, "README.md": true, "DEVELOPERS.md": true, "LICENSE": true}
	for _, e := range entries {
		name := filepath.Base(e)
		if strings.HasPrefix(name, ".") {
			continue
		}
		assert.True(t, want[name], "%s does not belong at the top level", name)
		delete(want, name)
	}
	assert.Empty(t, want, "missing at the top level")
}
