package marking

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"squaremark/grader/rubric"
)

//go:embed report.html
var reportPage string

//go:embed report.css
var reportStyle string

// page is what the report shows.
type page struct {
	Title, Quiz, Language string
	Digest, Engine        string
	Made                  string
	Style                 template.CSS
	Total                 Exact
	Class                 Class
	Chart                 chart
	Slips                 []Slip
	Held                  []shownHeld
	HeldAnswers, MoreHeld int
}

// mostHeld is how many different answers for a person the page shows; the list of
// --todo has them all.
const mostHeld = 300

// mostPupils is how many ids stand beside one answer.
const mostPupils = 40

// firstPupils cuts long lists of ids.
func firstPupils(list []held) []shownHeld {
	out := make([]shownHeld, len(list))
	for i, h := range list {
		out[i] = shownHeld{held: h, Count: len(h.Pupils), More: max(len(h.Pupils)-mostPupils, 0)}
		out[i].Pupils = h.Pupils[:min(len(h.Pupils), mostPupils)]
	}
	return out
}

// shownHeld is an answer for a person as the page shows it.
type shownHeld struct {
	held
	Count, More int
}

// WriteReport writes the class report: one HTML page that asks nothing of any
// other server, runs no script and can be printed. Pupils appear by their ids
// only. made is the date on it; a zero time leaves it out.
func WriteReport(w io.Writer, r *rubric.Rubric, records []Record, made time.Time) error {
	t, err := template.New("report").Funcs(template.FuncMap{
		"marks":   func(e Exact) string { return markText(e) },
		"number":  number,
		"fixed":   func(x float64) string { return strconv.FormatFloat(x, 'f', 1, 64) },
		"percent": func(x float64) string { return strconv.Itoa(int(math.Round(100*x))) + " %" },
		"signed":  func(x float64) string { return strings.Replace(strconv.FormatFloat(x, 'f', 2, 64), "-", "−", 1) },
		"width":   func(x float64) string { return strconv.FormatFloat(100*min(max(x, 0), 1), 'f', 1, 64) },
		"visible": visible,
	}).Parse(reportPage)
	if err != nil {
		return err
	}
	title := r.Title.Value
	if title == "" {
		title = r.Quiz.Value
	}
	p := page{
		Title: title, Quiz: r.Quiz.Value, Language: "en", Digest: shortDigest(r.Digest), Engine: records[0].EngineVersion,
		Style: template.CSS(reportStyle), Total: Exact{r.Total},
		Class: classOf(r, records), Slips: slipsIn(r, records),
	}
	waiting := heldIn(r, records)
	if !made.IsZero() {
		p.Made = made.Format("2 January 2006")
	}
	p.HeldAnswers, p.MoreHeld = answersIn(waiting), max(len(waiting)-mostHeld, 0)
	p.Held = firstPupils(waiting[:min(len(waiting), mostHeld)])
	p.Chart = chartOf(p.Class.Bins)
	return t.Execute(w, p)
}

// number is a figure with at most one decimal.
func number(x float64) string {
	return strings.TrimSuffix(strconv.FormatFloat(x, 'f', 1, 64), ".0")
}

// chart is the distribution of marks as bars, in units of its drawing.
type chart struct {
	Width, Height, Base int
	Bars                []chartBar
	Lines               []chartLine
	Says                string
}

type chartBar struct {
	X, Y, Width, Height int // settled sheets
	OpenY, OpenHeight   int // sheets with open marks, on top
	Middle              int
	Second              bool // its label gives way on a narrow screen
	Label               string
}

type chartLine struct {
	Y     int
	Label string
}

const (
	chartWidth  = 720
	chartHeight = 240
	chartLeft   = 40
	chartTop    = 12
	chartFoot   = 28
)

// chartOf draws bins.
func chartOf(bins []Bin) chart {
	most := 1
	for _, b := range bins {
		most = max(most, b.Settled+b.Open)
	}
	step := niceStep(most)
	top := (most + step - 1) / step * step
	base := chartHeight - chartFoot
	scale := float64(base-chartTop) / float64(top)
	c := chart{Width: chartWidth, Height: chartHeight, Base: base, Says: says(bins)}
	for v := 0; v <= top; v += step {
		c.Lines = append(c.Lines, chartLine{Y: base - int(scale*float64(v)), Label: strconv.Itoa(v)})
	}
	slot := (chartWidth - chartLeft) / len(bins)
	every := (len(bins) + 15) / 16
	for i, b := range bins {
		height, open := int(scale*float64(b.Settled)), int(scale*float64(b.Open))
		bar := chartBar{
			X: chartLeft + i*slot + slot/10, Width: max(slot-slot/5, 2), Y: base - height, Height: height,
			OpenY: base - height - open, OpenHeight: open, Middle: chartLeft + i*slot + slot/2,
		}
		if i%every == 0 {
			bar.Label, bar.Second = binLabel(b), i/every%2 == 1
		}
		c.Bars = append(c.Bars, bar)
	}
	return c
}

// niceStep is 1, 2 or 5 times a power of ten, for at most six lines.
func niceStep(most int) int {
	for step := 1; ; step *= 10 {
		for _, k := range []int{1, 2, 5} {
			if most <= 5*k*step {
				return k * step
			}
		}
	}
}

func binLabel(b Bin) string {
	if b.From == b.To {
		return number(b.From)
	}
	return number(b.From) + "–" + number(b.To)
}

// Label is the range of a bin in words.
func (b Bin) Label() string { return binLabel(b) }

// All is the number of sheets of a bin.
func (b Bin) All() int { return b.Settled + b.Open }

// says tells the chart in one sentence.
func says(bins []Bin) string {
	best, all := 0, 0
	for i, b := range bins {
		all += b.All()
		if b.All() > bins[best].All() {
			best = i
		}
	}
	return fmt.Sprintf("Bars over the marks from %s to %s for %d sheets; the highest bar is at %s with %d sheets. The table below has the numbers.",
		number(bins[0].From), number(bins[len(bins)-1].To), all, binLabel(bins[best]), bins[best].All())
}
