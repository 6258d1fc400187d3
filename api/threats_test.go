package api_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// testsOf are the names of the tests in a folder.
func testsOf(t *testing.T, dir string) map[string]bool {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, "*_test.go"))
	require.NoError(t, err)
	names := map[string]bool{}
	for _, file := range files {
		parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.SkipObjectResolution)
		require.NoError(t, err)
		for _, d := range parsed.Decls {
			if f, ok := d.(*ast.FuncDecl); ok && f.Recv == nil && strings.HasPrefix(f.Name.Name, "Test") {
				names[f.Name.Name] = true
			}
		}
	}
	return names
}

// Every test that the page of threats names exists, every row names at least one, and the ten risks are all there.
func TestThreatsNameTheirTests(t *testing.T) {
	page, err := os.ReadFile("THREATS.md")
	require.NoError(t, err)
	known := map[string]map[string]bool{"": testsOf(t, "."), "platform.": testsOf(t, "platform")}
	named := regexp.MustCompile("`(platform\\.)?(Test[A-Za-z0-9]+)`")
	risk := regexp.MustCompile(`^\| API(\d+) `)
	risks, rows := 0, 0
	for _, line := range strings.Split(string(page), "\n") {
		if !strings.HasPrefix(line, "| ") || strings.HasPrefix(line, "| ---") || strings.HasSuffix(line, "| tests |") {
			continue
		}
		rows++
		cells := strings.Split(strings.Trim(line, "| "), " | ")
		tests := named.FindAllStringSubmatch(cells[len(cells)-1], -1)
		assert.NotEmpty(t, tests, line)
		for _, one := range tests {
			assert.True(t, known[one[1]][one[2]], "%s%s does not exist", one[1], one[2])
		}
		assert.Equal(t, strings.Count(line, "`")/2, len(tests), "only tests are quoted in a row: %s", line)
		if found := risk.FindStringSubmatch(line); found != nil {
			risks++
			assert.Equal(t, strconv.Itoa(risks), found[1], "the risks stand in order")
			assert.GreaterOrEqual(t, len(tests), 3, line)
		}
	}
	assert.Equal(t, 10, risks)
	assert.Greater(t, rows, 18)
}
