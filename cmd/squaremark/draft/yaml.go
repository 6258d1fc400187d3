package draft

import (
	"fmt"
	"strings"

	"squaremark/algebra"
	"squaremark/grader/rubric"
)

// rubricText writes the rubric file. Every text is quoted, so that nothing in
// it can be taken for YAML.
func rubricText(quiz, title string, questions []*question) string {
	if quiz == "" {
		quiz = "draft"
	}
	var b strings.Builder
	b.WriteString("# Made by squaremark draft. Read it before a class sees it: the marks are the\n# default scheme, and the prompts say no more than what is asked.\n")
	fmt.Fprintf(&b, "rubric: 1\nquiz: %s\n", quoted(quiz))
	if title != "" {
		fmt.Fprintf(&b, "title: %s\n", quoted(title))
	}
	b.WriteString("questions:\n")
	for _, q := range questions {
		q.write(&b)
	}
	return b.String()
}

func (q *question) write(b *strings.Builder) {
	fmt.Fprintf(b, "\n  - id: %s\n    kind: %s\n    prompt: %s\n    variables: {", q.id, q.kind, quoted(q.prompt().text()))
	for i, v := range q.vars {
		if i > 0 {
			b.WriteString(", ")
		}
		fmt.Fprintf(b, "%s: %s", quoted(v.Name), v.Range)
	}
	b.WriteString("}\n")
	if len(q.givens) > 0 {
		list := make([]string, len(q.givens))
		for i, g := range q.givens {
			list[i] = quoted(g)
		}
		fmt.Fprintf(b, "    givens: [%s]\n", strings.Join(list, ", "))
	}
	key := map[string]string{"steps": "claim", "square-form": "expression", "integers": "solve"}[q.kind]
	fmt.Fprintf(b, "    %s: %s\n", key, quoted(q.text))
	if len(q.unknowns) > 1 {
		list := make([]string, len(q.unknowns))
		for i, u := range q.unknowns {
			list[i] = quoted(u)
		}
		fmt.Fprintf(b, "    unknowns: [%s]\n", strings.Join(list, ", "))
	}
	if q.kind != "steps" {
		for _, l := range q.worked {
			fmt.Fprintf(b, "    # %s\n", strings.TrimSpace(l.link+" "+l.text))
		}
	}
	for _, w := range q.remarks {
		fmt.Fprintf(b, "    # %s\n", w.text())
	}
	fmt.Fprintf(b, "    model: %s\n", answerYAML(q.kind, q.model, "      "))
	if len(q.examples) == 0 {
		return
	}
	b.WriteString("    examples:\n")
	for _, a := range q.examples {
		fmt.Fprintf(b, "      - answer: %s\n        marks: %s\n        note: %s\n", answerYAML(q.kind, a.lines, "          "), rubric.MarksText(a.marks), quoted(a.note))
	}
}

// answerYAML is a chain as a block, any other answer as a quoted text.
func answerYAML(kind string, lines []algebra.Line, indent string) string {
	if kind != "steps" {
		return quoted(lines[0].Text)
	}
	return "|\n" + indent + strings.ReplaceAll(plainLines(lines), "\n", "\n"+indent)
}

// quoted is a double-quoted scalar (YAML 1.2.2, 7.3.1).
func quoted(text string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`, "\t", `\t`, "\r", `\r`).Replace(text) + `"`
}
