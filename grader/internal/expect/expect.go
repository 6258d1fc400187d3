// Package expect compares diagnostics with the expectations written beside
// the faults in a test file. It is imported by tests only.
//
//	kind: sqare-form   # want bad-choice
//	model: |           # want 2 below unclosed-bracket
//
// An expectation names the code of one diagnostic of its own line, or of a
// line some lines below. Several are separated by spaces. The word warning in
// front of a code expects a warning instead of an error.
package expect

import (
	"fmt"
	"regexp"
	"sort"
	"strconv"
	"strings"

	"squaremark/algebra/source"
)

var comment = regexp.MustCompile(`# want (?:(\d+) below )?((?:(?:warning )?[a-z][a-z0-9-]*\s*)+)$`)

// Compare lists what differs between the expectations in text and the
// diagnostics: unexpected ones, unmet ones, and the absence of both.
func Compare(text string, diags []*source.Diag) []string {
	want := map[string]int{}
	total := 0
	for i, line := range strings.Split(text, "\n") {
		m := comment.FindStringSubmatch(line)
		if m == nil {
			if strings.Contains(line, "# want") {
				return []string{fmt.Sprintf("line %d: the expectation cannot be read", i+1)}
			}
			continue
		}
		below, _ := strconv.Atoi(m[1])
		severity := "error"
		for _, word := range strings.Fields(m[2]) {
			if word == "warning" {
				severity = word
				continue
			}
			want[fmt.Sprintf("line %d: %s %s", i+1+below, severity, word)]++
			severity = "error"
			total++
		}
	}
	var differences []string
	if total == 0 {
		differences = append(differences, "the file expects nothing")
	}
	for _, d := range diags {
		key := fmt.Sprintf("line %d: %s %s", d.At.Start.Line, d.Severity, d.Code)
		if want[key] == 0 {
			differences = append(differences, "unexpected: "+key+" ("+d.Error()+")")
			continue
		}
		want[key]--
	}
	for key, n := range want {
		if n > 0 {
			differences = append(differences, "unmet: "+key)
		}
	}
	sort.Strings(differences)
	return differences
}
