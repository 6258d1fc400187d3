package draft

import (
	_ "embed"
	"fmt"
	"html/template"
	"strings"

	"squaremark/algebra/syntax"
)

// wording is a prompt: words, and formulas among them.
type wording []piece

// piece is words or a formula.
type piece struct {
	words   string
	formula string
}

func (w wording) text() string {
	var b strings.Builder
	for _, p := range w {
		b.WriteString(p.words + printed(p.formula))
	}
	return b.String()
}

// prompt is what the pupil is asked.
func (q *question) prompt() wording {
	given := wording{}
	for i, g := range q.givens {
		given = append(given, piece{words: map[bool]string{true: " with ", false: " and "}[i == 0]}, piece{formula: g})
	}
	switch q.kind {
	case "square-form":
		what := " as multiples of squares plus a number."
		if len(q.parts.terms) == 1 {
			what = " as a multiple of a square plus a number."
		}
		return wording{{words: "Write "}, {formula: q.text}, {words: what}}
	case "integers":
		what := "whole numbers "
		if q.vars[0].Range == "positive integer" {
			what = "positive whole numbers "
		}
		w := append(wording{{words: "Find all " + what}}, q.names()...)
		w = append(w, piece{words: " with "}, piece{formula: q.text})
		for _, g := range q.givens {
			w = append(w, piece{words: " and "}, piece{formula: g})
		}
		if len(q.unknowns) > 1 {
			return append(w, piece{words: ". Give them as (" + strings.Join(q.unknowns, ", ") + ")."})
		}
		return append(w, piece{words: "."})
	}
	w := append(wording{{words: "Show that "}, {formula: q.text}, {words: " for all " + q.shared()}}, q.names()...)
	return append(append(w, given...), piece{words: "."})
}

// names lists the variables: a, b and c.
func (q *question) names() wording {
	var w wording
	for i, v := range q.vars {
		switch {
		case i > 0 && i == len(q.vars)-1:
			w = append(w, piece{words: " and "})
		case i > 0:
			w = append(w, piece{words: ", "})
		}
		w = append(w, piece{formula: v.Name})
	}
	return w
}

// shared is the range of the variables where they share one.
func (q *question) shared() string {
	for _, v := range q.vars {
		if v.Range != q.vars[0].Range {
			return ""
		}
	}
	return map[string]string{"real": "real numbers ", "integer": "whole numbers ", "positive integer": "positive whole numbers "}[q.vars[0].Range]
}

//go:embed sheet.html
var sheetHTML string

// sheetPage is a worksheet with its solutions as one HTML page; formulas are
// MathML.
func sheetPage(title string, questions []*question) (string, error) {
	t, err := template.New("sheet").Funcs(template.FuncMap{
		"math": mathML,
		"sign": func(link string) string {
			return map[string]string{"<=>": "⇔", "=>": "⇒", "<=": "⇐", "=": "="}[link]
		},
	}).Parse(sheetHTML)
	if err != nil {
		return "", err
	}
	type line struct{ Link, Text string }
	type shown struct {
		Prompt  []view
		Worked  []line
		Remarks [][]view
	}
	data := struct {
		Title     string
		Questions []shown
	}{Title: titled(title)}
	for _, q := range questions {
		one := shown{Prompt: q.prompt().view()}
		for _, w := range q.remarks {
			one.Remarks = append(one.Remarks, w.view())
		}
		for _, l := range q.worked {
			one.Worked = append(one.Worked, line{l.link, l.text})
		}
		data.Questions = append(data.Questions, one)
	}
	var b strings.Builder
	err = t.Execute(&b, data)
	return b.String(), err
}

// view is a piece as the page sees it.
type view struct{ Words, Formula string }

func (w wording) view() []view {
	list := make([]view, len(w))
	for i, p := range w {
		list[i] = view{p.words, p.formula}
	}
	return list
}

func (w wording) latex() string {
	var b strings.Builder
	for _, p := range w {
		b.WriteString(escapeLaTeX(p.words))
		if p.formula != "" {
			b.WriteString("$" + formulaLaTeX(p.formula) + "$")
		}
	}
	return b.String()
}

// mathML is a formula as MathML; the printer of trees escapes every text. What
// cannot be read stays text.
func mathML(text string) template.HTML {
	n, ok := readNode(text)
	if !ok {
		return template.HTML(template.HTMLEscapeString(text))
	}
	return template.HTML(syntax.MathML(n))
}

func titled(title string) string {
	if title == "" {
		return "Worksheet"
	}
	return title
}

// sheetLaTeX is the same as a LaTeX document.
func sheetLaTeX(title string, questions []*question) string {
	var b strings.Builder
	b.WriteString("\\documentclass[a4paper]{article}\n\\usepackage{amsmath,amssymb}\n\\setlength{\\parindent}{0pt}\n\\begin{document}\n")
	fmt.Fprintf(&b, "\\section*{%s}\n\\begin{enumerate}\n", escapeLaTeX(titled(title)))
	for _, q := range questions {
		b.WriteString("\\item " + q.prompt().latex() + "\n")
	}
	b.WriteString("\\end{enumerate}\n\\newpage\n\\section*{Solutions}\n\\begin{enumerate}\n")
	arrows := map[string]string{"<=>": "\\Leftrightarrow", "=>": "\\Rightarrow", "<=": "\\Leftarrow", "=": "="}
	for _, q := range questions {
		b.WriteString("\\item\n\\begin{align*}\n")
		for i, l := range q.worked {
			if i > 0 {
				b.WriteString(" \\\\\n")
			}
			fmt.Fprintf(&b, "%s\\quad & %s", arrows[l.link], formulaLaTeX(l.text))
		}
		b.WriteString("\n\\end{align*}\n")
		for _, w := range q.remarks {
			b.WriteString(w.latex() + "\n")
		}
	}
	b.WriteString("\\end{enumerate}\n\\end{document}\n")
	return b.String()
}

func formulaLaTeX(text string) string {
	if n, ok := readNode(text); ok {
		return syntax.LaTeX(n)
	}
	return "\\text{" + escapeLaTeX(text) + "}"
}

func escapeLaTeX(text string) string {
	return strings.NewReplacer(`\`, `\textbackslash{}`, "&", `\&`, "%", `\%`, "$", `\$`, "#", `\#`, "_", `\_`, "{", `\{`, "}", `\}`, "~", `\textasciitilde{}`, "^", `\textasciicircum{}`).Replace(text)
}
