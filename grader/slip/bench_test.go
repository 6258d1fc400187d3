package slip

import "testing"

// One wrong answer, from its text to its slips.
func BenchmarkFinder(b *testing.B) {
	for _, e := range []struct {
		name string
		Example
	}{
		{"square-form", Example{Kind: SquareForm, Variables: "x", Ask: "3x^2 + 12x + 17", Written: "3(x + 2)^2 + 13"}},
		{"square-form two slips", Example{Kind: SquareForm, Variables: "x", Ask: "x^2 - 14x + 52", Written: "(x + 7)^2 + 52"}},
		{"square-form no slip", Example{Kind: SquareForm, Variables: "u, v", Ask: "2u^2 + 4uv + 5v^2 + 9", Written: "2(u + 3v)^2 + 7v^2 + 1"}},
		{"step", Example{Kind: Steps, Variables: "x", Ask: "x^2 + 30 > 10x", Written: "x^2 + 10x + 30 > 0"}},
		{"step no slip", Example{Kind: Steps, Variables: "x", Ask: "x^2 + 30 > 10x", Written: "x^4 + 1 > 0"}},
		{"step with fractions", Example{Kind: Steps, Variables: "a, b", Ask: "9a/b + b/a >= 6", Written: "9a^2 + b^2 >= 6"}},
		{"integers", Example{Kind: Integers, Variables: "n: integer", Ask: "(n - 6)^2 <= 10", Written: "6, 7, 8, 9"}},
		{"integers no slip", Example{Kind: Integers, Variables: "n: integer", Ask: "(n - 6)^2 <= 10", Written: "4, 20"}},
		{"integers without end, no slip", Example{Kind: Integers, Variables: "n: integer", Ask: "n^2 - 5n >= 6", Written: "n >= 12"}},
	} {
		f, unknowns := finderFor(e.Example)
		b.Run(e.name, func(b *testing.B) {
			for b.Loop() {
				switch e.Kind {
				case SquareForm:
					f.SquareForm(e.Ask, e.Written)
				case Steps:
					f.Step("wrong", e.Ask, e.Written)
				default:
					f.Integers([]string{e.Ask}, unknowns, e.Written)
				}
			}
		})
	}
}
