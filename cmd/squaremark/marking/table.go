package marking

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"squaremark/algebra/source"
	"squaremark/grader"
	"squaremark/grader/rubric"
)

// Entry is one pupil's answers. The id is opaque.
type Entry struct {
	Pupil   string
	Line    int // where it begins in the file
	Answers map[string]grader.Answer
}

// maxEntries bounds the answer sets of one file.
const maxEntries = 200_000

// Read reads the answers in a file: JSON Lines where its first character is
// "{", else a table. Notes tell what is odd but can be used. Errors name file
// and line: a pupil twice, a cell without column, unreadable text; nothing is
// marked on a guess. Cost: linear in the length of data.
func Read(name string, data []byte, questions []string) (entries []Entry, notes []string, err error) {
	text, err := decode(data)
	var fault *lineError
	if errors.As(err, &fault) {
		return nil, nil, placed(name, fault.line, "%s", fault.message)
	}
	if strings.HasPrefix(strings.TrimLeft(text, " \t\r\n"), "{") {
		entries, notes, err = readObjects(name, text, questions)
	} else {
		entries, notes, err = readTable(name, text, questions)
	}
	switch {
	case err != nil:
		return nil, notes, err
	case len(entries) == 0:
		return nil, notes, fmt.Errorf("%s: expected answers, found none", name)
	case len(entries) > maxEntries:
		return nil, notes, fmt.Errorf("%s: expected at most %d answer sets, found %d", name, maxEntries, len(entries))
	}
	first := map[string]int{}
	for _, e := range entries {
		if line, twice := first[e.Pupil]; twice {
			return nil, notes, placed(name, e.Line, "the id %q stands in line %d already", e.Pupil, line)
		}
		first[e.Pupil] = e.Line
	}
	return entries, append(notes, telling(entries)...), nil
}

// telling warns of ids that look like a name or an address.
func telling(entries []Entry) []string {
	for _, e := range entries {
		if strings.ContainsAny(e.Pupil, "@ ") {
			return []string{"note: the id in line " + fmt.Sprint(e.Line) + " looks like a name or an address; ids should tell nothing about a person"}
		}
	}
	return nil
}

func newReader(text string, sep rune) *csv.Reader {
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.FieldsPerRecord = sep, -1
	return r
}

// table is a header taken to questions.
type table struct {
	name    string
	columns []string // the question of each column, "" for none
	notes   []string
}

// readTable reads one row a pupil: the id in the first column, answers below
// the ids of their questions (RFC 4180, with the separators of decode.go).
func readTable(name, text string, questions []string) ([]Entry, []string, error) {
	known := func(cell string) bool { return questionOf(cell, questions) != "" }
	sep, rest := separator(text, known)
	skipped := strings.Count(text[:len(text)-len(rest)], "\n")
	r := newReader(rest, sep)
	header, err := r.Read()
	if err != nil {
		return nil, nil, fault(name, skipped, err)
	}
	t := &table{name: name}
	if err := t.head(header, questions); err != nil {
		return nil, t.notes, err
	}
	var entries []Entry
	for {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			return entries, t.notes, nil
		}
		if err != nil {
			return nil, t.notes, fault(name, skipped, err)
		}
		line, _ := r.FieldPos(0)
		e, err := t.row(row, line+skipped)
		if err != nil {
			return nil, t.notes, err
		}
		if e != nil {
			entries = append(entries, *e)
		}
	}
}

// fault is an error of the table's form at its place.
func fault(name string, skipped int, err error) error {
	var p *csv.ParseError
	switch {
	case errors.Is(err, io.EOF):
		return fmt.Errorf("%s: expected a header line with the ids of the questions, found nothing", name)
	case !errors.As(err, &p):
		return err
	case errors.Is(p.Err, csv.ErrBareQuote):
		return placed(name, p.Line+skipped, "a quotation mark stands inside a cell without quotation marks around it")
	case p.StartLine != p.Line:
		return placed(name, p.StartLine+skipped, "a cell with quotation marks begins here and does not end")
	}
	return placed(name, p.Line+skipped, "a quotation mark inside a quoted cell must be written twice, or the cell does not end")
}

// questionOf is the question that a header cell names, "" for none.
func questionOf(cell string, questions []string) string {
	i := slices.IndexFunc(questions, func(id string) bool { return strings.EqualFold(id, strings.TrimSpace(cell)) })
	if i < 0 {
		return ""
	}
	return questions[i]
}

func (t *table) head(header, questions []string) error {
	t.columns = make([]string, len(header))
	var ignored []string
	for i, cell := range header[1:] {
		id := questionOf(cell, questions)
		switch {
		case id != "" && slices.Contains(t.columns, id):
			return placed(t.name, 1, "two columns are headed %q", id)
		case id != "":
			t.columns[i+1] = id
		case strings.TrimSpace(cell) != "":
			shown := fmt.Sprintf("%q", source.Shorten(strings.TrimSpace(cell), 40))
			if hint := rubric.DidYouMean(strings.TrimSpace(cell), questions); strings.HasPrefix(hint, "did you mean") {
				shown += " (" + hint + ")"
			}
			ignored = append(ignored, shown)
		}
	}
	var missing []string
	for _, id := range questions {
		if !slices.Contains(t.columns, id) {
			missing = append(missing, id)
		}
	}
	if len(missing) == len(questions) {
		return placed(t.name, 1, "expected columns headed by question ids (%s), found none", strings.Join(questions, ", "))
	}
	if len(ignored) > 0 {
		t.notes = append(t.notes, "note: columns that head no question are left out: "+strings.Join(ignored, ", "))
	}
	if len(missing) > 0 {
		t.notes = append(t.notes, "note: there is no column for "+strings.Join(missing, ", ")+": counted as not answered")
	}
	return nil
}

// row takes one row to an entry, or to nil where all its cells are empty.
func (t *table) row(row []string, line int) (*Entry, error) {
	e := &Entry{Pupil: strings.TrimSpace(row[0]), Line: line, Answers: map[string]grader.Answer{}}
	blank := e.Pupil == ""
	for i, cell := range row[1:] {
		if strings.TrimSpace(cell) == "" {
			continue
		}
		blank = false
		if i+1 >= len(t.columns) {
			return nil, placed(t.name, line, "this row has more cells than the header: put answers with separators in quotation marks")
		}
		id := t.columns[i+1]
		if id == "" {
			continue
		}
		if spoilt(cell) {
			t.notes = append(t.notes, fmt.Sprintf("note: line %d, %s: %s is what a spreadsheet makes of an answer that it takes for a formula", line, id, strings.TrimSpace(cell)))
		}
		e.Answers[id] = grader.Answer{Text: cell}
	}
	switch {
	case blank:
		return nil, nil
	case e.Pupil == "":
		return nil, placed(t.name, line, "there are answers, but no id in the first column")
	}
	return e, nil
}

// spoilt reports an error value of a spreadsheet, such as #NAME?.
func spoilt(cell string) bool {
	cell = strings.TrimSpace(cell)
	return len(cell) > 2 && len(cell) < 12 && cell[0] == '#' && strings.ContainsAny(cell[len(cell)-1:], "?!")
}
