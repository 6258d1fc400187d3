package expect

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"squaremark/algebra/source"
)

func TestCompare(t *testing.T) {
	at := func(line int, code string, s source.Severity) *source.Diag {
		return &source.Diag{Code: code, Severity: s, At: source.Span{Start: source.Position{Line: line, Column: 1}}}
	}
	for _, row := range []struct {
		name, text string
		diags      []*source.Diag
		want       string
	}{
		{"met", "a # want bad-id", []*source.Diag{at(1, "bad-id", source.Error)}, ""},
		{"met below", "a # want 1 below bad-id\nb", []*source.Diag{at(2, "bad-id", source.Error)}, ""},
		{"two, one a warning", "a # want bad-id warning never-earned", []*source.Diag{at(1, "bad-id", source.Error), at(1, "never-earned", source.Warning)}, ""},
		{"unexpected", "a # want bad-id", []*source.Diag{at(1, "bad-id", source.Error), at(1, "empty", source.Error)}, "unexpected: line 1: error empty"},
		{"unmet", "a # want bad-id", nil, "unmet: line 1: error bad-id"},
		{"wrong line", "a # want bad-id", []*source.Diag{at(2, "bad-id", source.Error)}, "unmet: line 1"},
		{"wrong severity", "a # want bad-id", []*source.Diag{at(1, "bad-id", source.Warning)}, "unmet: line 1"},
		{"absent", "a", nil, "expects nothing"},
		{"unreadable", "a # want Bad!", nil, "cannot be read"},
	} {
		got := strings.Join(Compare(row.text, row.diags), "\n")
		if row.want == "" {
			assert.Empty(t, got, row.name)
		} else {
			assert.Contains(t, got, row.want, row.name)
		}
	}
}
