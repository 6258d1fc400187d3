package marking

import (
	"math"
	"math/big"
	"slices"

	"squaremark/grader/rubric"
)

// Class are the figures of a class. Marks that wait for a person are not known
// yet, so figures about whole sheets leave out sheets with such marks, and
// figures about a question leave out such answers to it.
type Class struct {
	Pupils, Settled  int
	Mean, Median, SD float64 // over settled sheets; SD is that of the population
	Lowest, Highest  Exact
	Bins             []Bin
	Questions        []Figures
}

// Bin counts the sheets whose marks lie from From up to To; To belongs to the
// last bin only, unless From and To are the same.
type Bin struct {
	From, To      float64
	Settled, Open int // sheets with known marks, and with marks that wait for a person
}

// Figures are those of one question.
type Figures struct {
	ID, Prompt   string
	Max          Exact
	Marked       int     // answers with known marks
	Left         int     // not answered
	Open         int     // wait for a person
	Full         int     // all marks
	Mean         float64 // over the marked ones; an answer not given counts 0
	Facility     float64 // Mean over Max
	Discriminate float64 // see discrimination
	Comparable   bool    // there are enough different sheets for it
}

// classOf works out the figures. Cost: n log n in the number of records for
// each question.
func classOf(r *rubric.Rubric, records []Record) Class {
	c := Class{Pupils: len(records)}
	var totals []float64
	for _, rec := range records {
		if rec.NeedsPerson {
			continue
		}
		totals = append(totals, value(rec.Marks.Rat))
		if c.Lowest.Rat == nil || rec.Marks.Cmp(c.Lowest.Rat) < 0 {
			c.Lowest = rec.Marks
		}
		if c.Highest.Rat == nil || rec.Marks.Cmp(c.Highest.Rat) > 0 {
			c.Highest = rec.Marks
		}
	}
	c.Settled = len(totals)
	c.Mean, c.SD = moments(totals)
	c.Median = median(totals)
	c.Bins = bins(r.Total, records)
	for i, q := range r.Questions {
		c.Questions = append(c.Questions, figures(q, i, records))
	}
	return c
}

func value(r *big.Rat) float64 {
	f, _ := r.Float64()
	return f
}

// moments are the mean and the standard deviation of the population.
func moments(list []float64) (mean, sd float64) {
	if len(list) == 0 {
		return 0, 0
	}
	for _, x := range list {
		mean += x
	}
	mean /= float64(len(list))
	for _, x := range list {
		sd += (x - mean) * (x - mean)
	}
	return mean, math.Sqrt(sd / float64(len(list)))
}

func median(list []float64) float64 {
	if len(list) == 0 {
		return 0
	}
	sorted := slices.Sorted(slices.Values(list))
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}

// mostBins bounds the bars of the distribution.
const mostBins = 31

// bins has one bin for each whole number of marks up to the total, or wider
// ones of equal width where these would be too many. Half marks go down.
func bins(total *big.Rat, records []Record) []Bin {
	top := int(math.Ceil(value(total)))
	width := 1
	for top/width+1 > mostBins {
		width++
	}
	list := make([]Bin, top/width+1)
	for i := range list {
		list[i].From = float64(i * width)
		list[i].To = float64(min(i*width+width-1, top))
	}
	for _, rec := range records {
		b := &list[min(int(value(rec.Marks.Rat))/width, len(list)-1)]
		if rec.NeedsPerson {
			b.Open++
		} else {
			b.Settled++
		}
	}
	return list
}

func figures(q *rubric.Question, i int, records []Record) Figures {
	f := Figures{ID: q.ID.Value, Prompt: q.Prompt.Value, Max: Exact{q.Total}}
	var sum float64
	var sheets []sheet
	for _, rec := range records {
		one := rec.Questions[i]
		if !one.Answered {
			f.Left++
		}
		if one.NeedsPerson {
			f.Open++
			continue
		}
		f.Marked++
		sum += value(one.Marks.Rat)
		if one.Marks.Cmp(q.Total) == 0 {
			f.Full++
		}
		if !rec.NeedsPerson {
			sheets = append(sheets, sheet{value(rec.Marks.Rat), value(one.Marks.Rat)})
		}
	}
	if max := value(q.Total); f.Marked > 0 && max > 0 {
		f.Mean = sum / float64(f.Marked)
		f.Facility = f.Mean / max
		f.Discriminate, f.Comparable = discrimination(sheets, max)
	}
	return f
}

// sheet is one pupil's sum and the marks of one question.
type sheet struct{ sum, marks float64 }

// fewest is the number of sheets below which groups say nothing.
const fewest = 10

// discrimination is the mean of the upper group less the mean of the lower
// group, over the most marks: from -1 to 1. The groups are the 27 % of sheets
// with the highest and with the lowest sums (Kelley 1939, Journal of
// Educational Psychology 30, from memory). Sheets with the sum at the border
// of a group take part in equal shares, so that no order among them matters.
// ok is false for fewer than ten sheets or where all sums are the same.
func discrimination(sheets []sheet, most float64) (d float64, ok bool) {
	n := len(sheets)
	if n < fewest {
		return 0, false
	}
	sorted := slices.Clone(sheets)
	slices.SortFunc(sorted, func(a, b sheet) int {
		switch {
		case a.sum < b.sum:
			return -1
		case a.sum > b.sum:
			return 1
		}
		return 0
	})
	if sorted[0].sum == sorted[n-1].sum {
		return 0, false
	}
	size := max(1, int(math.Round(0.27*float64(n))))
	low := groupMean(sorted, size, sorted[size-1].sum, func(a, border float64) bool { return a < border })
	high := groupMean(sorted, size, sorted[n-size].sum, func(a, border float64) bool { return a > border })
	return (high - low) / most, true
}

// groupMean is the mean marks of a group of this size: all sheets inside the
// border, and equal shares of those on it.
func groupMean(sheets []sheet, size int, border float64, inside func(a, border float64) bool) float64 {
	var in, on float64
	var countIn, countOn int
	for _, s := range sheets {
		switch {
		case inside(s.sum, border):
			in += s.marks
			countIn++
		case s.sum == border:
			on += s.marks
			countOn++
		}
	}
	return (in + on*float64(size-countIn)/float64(countOn)) / float64(size)
}
