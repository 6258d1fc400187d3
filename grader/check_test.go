package grader

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"squaremark/algebra/source"
	"squaremark/grader/internal/expect"
	"squaremark/grader/rubric"
)

func TestCheckRefuses(t *testing.T) {
	names, err := filepath.Glob("testdata/bad/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, names)
	for _, name := range names {
		t.Run(filepath.Base(name), func(t *testing.T) {
			data, err := os.ReadFile(name)
			require.NoError(t, err)
			r, diags := rubric.LoadFile(name)
			require.NotNil(t, r, "%v", diags)
			m, more := Compile(r)
			assert.Nil(t, m)
			assert.Empty(t, expect.Compare(string(data), append(diags, more...)))
		})
	}
}

// The demo course passes without a warning.
func TestDemoCourse(t *testing.T) {
	rubrics, diags := rubric.LoadDir("../deploy/course")
	require.NotEmpty(t, rubrics)
	for _, r := range rubrics {
		diags = append(diags, Check(r)...)
	}
	assert.Empty(t, source.Print(diags, func(name string) string {
		data, _ := os.ReadFile(name)
		return string(data)
	}))
}

// What is told about a fault names what is missing, what is extra, a point.
func TestMessages(t *testing.T) {
	said := func(text string) string {
		r, diags := rubric.Load("x.yaml", []byte(text))
		require.NotNil(t, r, "%v", diags)
		return source.Print(Check(r), nil)
	}
	key := "{rubric: 1, quiz: q, questions: [{id: a, kind: integers, prompt: p, variables: {n: integer}, solve: n^2 < 5, model: '"
	assert.Contains(t, said(key+"0, 1, 2, 3'}]}"), "missing: -2, -1; no solution: 3")
	square := "{rubric: 1, quiz: q, questions: [{id: a, kind: square-form, prompt: p, variables: {x: real}, expression: x^2 - 6x + 14, model: "
	assert.Regexp(t, `at x = \S+ the expression is \S+ and the answer is \S+`, said(square+"(x - 3)^2 + 4}]}"))
	assert.Contains(t, said(square+"(x - 3)^2 + 5, examples: [{answer: (x - 3)^2 + 14, marks: 2}]}]}"),
		"expected this example to get 2 marks, it gets 1: exact 0 of 1 (At x =")
}
