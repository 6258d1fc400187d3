package marking

import (
	"bufio"
	"encoding/csv"
	"encoding/json"
	"io"
	"math/big"
	"strings"
)

// markText is a number of marks as a spreadsheet in any country reads it: 3,
// 1/2 as "0 1/2", 5/2 as "2 1/2". (2.5 and 5/2 are dates in some of them.)
func markText(e Exact) string {
	if e.IsInt() {
		return e.RatString()
	}
	whole, rest := new(big.Int).QuoRem(e.Num(), e.Denom(), new(big.Int))
	return whole.String() + " " + rest.String() + "/" + e.Denom().String()
}

// writeCSV writes one row a pupil (RFC 4180, UTF-8): the marks of each
// question, their sum, the total, and the questions for a person.
func writeCSV(w io.Writer, records []Record) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	header := []string{"pupil"}
	for _, q := range records[0].Questions {
		header = append(header, q.ID)
	}
	if err := out.Write(append(header, "marks", "total", "for a person")); err != nil {
		return err
	}
	for _, r := range records {
		row := []string{harmless(r.Pupil)}
		var open []string
		for _, q := range r.Questions {
			row = append(row, markText(q.Marks))
			if q.NeedsPerson {
				open = append(open, q.ID)
			}
		}
		if err := out.Write(append(row, markText(r.Marks), markText(r.Total), strings.Join(open, " "))); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// harmless is a text that a spreadsheet does not take for a formula.
func harmless(text string) string {
	if text != "" && strings.ContainsAny(text[:1], "=+-@\t\r") {
		return "'" + text
	}
	return text
}

// writeLines writes one JSON object a line.
func writeLines(w io.Writer, records []Record) error {
	b := bufio.NewWriter(w)
	e := json.NewEncoder(b)
	e.SetEscapeHTML(false)
	for _, r := range records {
		if err := e.Encode(r); err != nil {
			return err
		}
	}
	return b.Flush()
}
