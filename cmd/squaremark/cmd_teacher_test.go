package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/alecthomas/kong"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// runCommand runs a command line in this process.
func runCommand(t *testing.T, args ...string) error {
	t.Helper()
	var c commands
	parser, err := kong.New(&c, kong.Name("squaremark"))
	require.NoError(t, err)
	k, err := parser.Parse(args)
	require.NoError(t, err)
	return k.Run()
}

// A teacher drafts a quiz, checks it, marks a class, changes the rubric and
// marks the class again.
func TestTeachersCommands(t *testing.T) {
	dir := t.TempDir()
	file := func(name string) string { return filepath.Join(dir, name) }
	quiz, answers := file("quiz.yaml"), file("answers.csv")
	require.NoError(t, runCommand(t, "draft", "x^2 - 18x + 90", "--siblings", "1", "--seed", "5", "--quiz", "hedge-costs", "--out", quiz, "--page", file("sheet.html"), "--latex", file("sheet.tex")))
	require.NoError(t, runCommand(t, "check", quiz))
	require.NoError(t, os.WriteFile(answers, []byte("id;squares-1\np-31c0;(x - 9)^2 + 9\np-5d2e;(x - 9)^2 + 90\np-77aa;(x - \n"), 0o600))
	require.NoError(t, runCommand(t, "mark", quiz, answers, "--out", file("marks.csv"), "--out", file("results.jsonl"), "--todo", file("todo.txt"), "--report", file("report.html")))
	marks, err := os.ReadFile(file("marks.csv"))
	require.NoError(t, err)
	assert.Equal(t, "pupil,squares-1,squares-2,marks,total,for a person\r\np-31c0,2,0,2,4,\r\np-5d2e,1,0,1,4,\r\np-77aa,0,0,0,4,squares-1\r\n", string(marks))
	require.NoError(t, runCommand(t, "mark", quiz, answers, "--out", file("again.csv"), "--against", file("results.jsonl"), "--changes", file("changes.txt")))
	changes, err := os.ReadFile(file("changes.txt"))
	require.NoError(t, err)
	assert.Contains(t, string(changes), "0 of 3 pupils have changed work")
	assert.Error(t, runCommand(t, "draft", "x^2 > 3x"))
	require.NoError(t, os.WriteFile(quiz, []byte("rubric: 1\n"), 0o600))
	assert.Error(t, runCommand(t, "check", quiz))
	assert.Error(t, runCommand(t, "mark", quiz, answers))
}
