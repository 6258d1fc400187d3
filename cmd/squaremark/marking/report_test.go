package marking

import (
	"bytes"
	"math"
	"math/big"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
)

func reportOf(t *testing.T, rows [][]string, made time.Time) (string, Class) {
	t.Helper()
	marker := gardenMarker(t)
	entries, _, err := Read("a.csv", []byte(read(t, tableFile(t, rows, ','))), questionIDs(marker.Rubric()))
	require.NoError(t, err)
	records := Grade(marker, entries, 0, nil)
	var b bytes.Buffer
	require.NoError(t, WriteReport(&b, marker.Rubric(), records, made))
	return b.String(), classOf(marker.Rubric(), records)
}

// The page asks nothing of anybody, runs no script, and its tables have
// captions and scopes, its headings an order.
func TestPage(t *testing.T) {
	text, _ := reportOf(t, invented(60), day)
	root, err := html.Parse(strings.NewReader(text))
	require.NoError(t, err)
	level, headings, tables := 0, 0, 0
	ids := map[string]bool{}
	var links []string
	var walk func(n *html.Node)
	walk = func(n *html.Node) {
		attr := map[string]string{}
		for _, a := range n.Attr {
			attr[a.Key] = a.Val
			assert.False(t, strings.HasPrefix(a.Key, "on"), "an attribute %s", a.Key)
			assert.NotContains(t, []string{"src", "srcset", "action", "style", "data", "poster"}, a.Key)
		}
		if id := attr["id"]; id != "" {
			assert.False(t, ids[id], "the id %s stands twice", id)
			ids[id] = true
		}
		switch {
		case n.Type != html.ElementNode:
		case n.Data == "script" || n.Data == "link" || n.Data == "img" || n.Data == "iframe" || n.Data == "form":
			assert.Fail(t, "an element "+n.Data)
		case n.Data == "a":
			links = append(links, attr["href"])
		case n.Data == "th":
			assert.Contains(t, []string{"col", "row"}, attr["scope"])
		case n.Data == "table":
			tables++
			require.NotNil(t, n.FirstChild)
			first := n.FirstChild
			for first.Type != html.ElementNode {
				first = first.NextSibling
			}
			assert.Equal(t, "caption", first.Data)
		case n.Data == "svg":
			assert.True(t, attr["aria-hidden"] == "true" || attr["role"] == "img" && attr["aria-label"] != "")
		case regexp.MustCompile(`^h[1-6]$`).MatchString(n.Data):
			headings++
			assert.LessOrEqual(t, int(n.Data[1]-'0'), level+1)
			level = int(n.Data[1] - '0')
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			walk(c)
		}
	}
	walk(root)
	assert.Equal(t, 4, tables)
	assert.GreaterOrEqual(t, headings, 6)
	for _, l := range links {
		assert.True(t, strings.HasPrefix(l, "#") && ids[l[1:]], l)
	}
	assert.NotContains(t, text, "http")
	assert.NotContains(t, reportStyle, "url(")
	assert.NotContains(t, reportStyle, "@import")
}

// Text and background, bars and background, in both schemes: WCAG 2.2,
// success criteria 1.4.3 (4.5 : 1) and 1.4.11 (3 : 1).
func TestContrast(t *testing.T) {
	schemes := regexp.MustCompile(`:root\{([^}]*)\}`).FindAllStringSubmatch(reportStyle, -1)
	require.Len(t, schemes, 2)
	for _, scheme := range schemes {
		colour := map[string]float64{}
		for _, d := range strings.Split(scheme[1], ";") {
			name, value, _ := strings.Cut(d, ":")
			colour[name] = luminance(t, value)
		}
		ratio := func(a, b string) float64 {
			x, y := colour[a], colour[b]
			return (math.Max(x, y) + 0.05) / (math.Min(x, y) + 0.05)
		}
		for _, text := range []string{"--ink", "--soft", "--link"} {
			for _, ground := range []string{"--paper", "--tint"} {
				assert.GreaterOrEqual(t, ratio(text, ground), 4.5, "%s on %s", text, ground)
			}
		}
		for _, shape := range []string{"--bar", "--open"} {
			assert.GreaterOrEqual(t, ratio(shape, "--paper"), 3.0, shape)
			assert.GreaterOrEqual(t, ratio(shape, "--tint"), 3.0, shape)
		}
	}
}

// luminance is the relative luminance of #rrggbb (WCAG 2.2, definitions).
func luminance(t *testing.T, hex string) float64 {
	t.Helper()
	require.Len(t, hex, 7)
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		v, err := strconv.ParseUint(hex[1+2*i:3+2*i], 16, 8)
		require.NoError(t, err)
		c := float64(v) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}

// Hostile ids and answers stay text.
func TestPageEscapes(t *testing.T) {
	rows := [][]string{{"id", "paving", "square-bed"},
		{`<img src=x onerror="a()">`, "</code><script>alert(1)</script>", "\u202e7, 6"},
		{"p-0002", "(x - 7)^2 + 60", "1, 2"}}
	text, _ := reportOf(t, rows, time.Time{})
	assert.NotContains(t, text, "<script")
	assert.NotContains(t, text, "<img")
	assert.NotContains(t, text, "\u202e")
	assert.Contains(t, text, "&lt;script&gt;")
}

// A class of one, one without any known sheet, and everything right.
func TestSmallClasses(t *testing.T) {
	one, c := reportOf(t, invented(1), time.Time{})
	assert.Contains(t, one, "–</span>", "no discrimination of one sheet")
	assert.Equal(t, 1, c.Pupils)
	held, c := reportOf(t, [][]string{{"id", "paving"}, {"p-1", "(x - "}}, time.Time{})
	assert.Zero(t, c.Settled)
	assert.Contains(t, held, "must look at")
	right := [][]string{{"id"}, {"p-1"}}
	for _, q := range bank {
		right[0], right[1] = append(right[0], q.id), append(right[1], q.right[0])
	}
	best, c := reportOf(t, right, time.Time{})
	assert.Equal(t, 27.0, c.Mean)
	assert.Contains(t, best, "Nothing waits for a person.")
	assert.Contains(t, best, "No slip was named.")
}

// Worked by hand: ten sheets, groups of round(2.7) = 3.
func TestDiscrimination(t *testing.T) {
	sheets := func(pairs ...float64) []sheet {
		var list []sheet
		for i := 0; i < len(pairs); i += 2 {
			list = append(list, sheet{pairs[i], pairs[i+1]})
		}
		return list
	}
	for _, row := range []struct {
		what   string
		sheets []sheet
		want   float64
		ok     bool
	}{
		{"the best have all, the worst nothing", sheets(1, 0, 2, 0, 3, 0, 4, 1, 5, 1, 6, 1, 7, 1, 8, 2, 9, 2, 10, 2), 1, true},
		{"the other way round", sheets(1, 2, 2, 2, 3, 2, 4, 1, 5, 1, 6, 1, 7, 1, 8, 0, 9, 0, 10, 0), -1, true},
		{"everybody alike in the question", sheets(1, 1, 2, 1, 3, 1, 4, 1, 5, 1, 6, 1, 7, 1, 8, 1, 9, 1, 10, 1), 0, true},
		{"two of four at the border share its one place", sheets(1, 0, 2, 0, 3, 0, 3, 2, 5, 1, 6, 1, 7, 1, 8, 2, 9, 2, 10, 2), (2.0 - 1.0/3) / 2, true},
		{"equal sums", sheets(5, 0, 5, 2, 5, 0, 5, 0, 5, 0, 5, 0, 5, 0, 5, 0, 5, 0, 5, 0), 0, false},
		{"nine sheets", sheets(1, 0, 2, 0, 3, 0, 4, 0, 5, 0, 6, 0, 7, 0, 8, 0, 9, 2), 0, false},
	} {
		d, ok := discrimination(row.sheets, 2)
		assert.Equal(t, row.ok, ok, row.what)
		assert.InDelta(t, row.want, d, 1e-12, row.what)
	}
}

func TestMoments(t *testing.T) {
	m, sd := moments([]float64{2, 4, 4, 4, 5, 5, 7, 9})
	assert.InDelta(t, 5, m, 1e-12)
	assert.InDelta(t, 2, sd, 1e-12)
	assert.InDelta(t, 4.5, median([]float64{9, 2, 4, 7, 5, 4, 5, 4}), 1e-12)
	assert.Zero(t, median(nil))
}

// Every sheet is in one bin, however many marks there are.
func TestBins(t *testing.T) {
	for _, total := range []int64{0, 1, 27, 30, 31, 60, 100, 1000} {
		var records []Record
		for k := int64(0); k <= 2*total; k++ {
			records = append(records, Record{Marks: Exact{big.NewRat(k, 2)}, NeedsPerson: k%3 == 0})
		}
		list := bins(big.NewRat(total, 1), records)
		assert.LessOrEqual(t, len(list), mostBins)
		n := 0
		for i, b := range list {
			n += b.All()
			assert.LessOrEqual(t, b.From, b.To)
			if i > 0 {
				assert.Equal(t, list[i-1].To+1, b.From)
			}
		}
		assert.Equal(t, len(records), n)
		assert.Equal(t, float64(total), list[len(list)-1].To)
	}
}
