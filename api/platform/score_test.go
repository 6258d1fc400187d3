package platform

import (
	"encoding/json"
	"math/big"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

type scoreVectors struct {
	Valid   []scoreVector
	Invalid []scoreVector
}

type scoreVector struct {
	ID   string
	Body json.RawMessage
}

// Source of the cases: LTI Assignment and Grade Services 2.0, section 3.4, with invented values.
func TestScoreVectors(t *testing.T) {
	var file scoreVectors
	vectors(t, "ags-score.json", &file)
	require.Len(t, file.Valid, 17)
	require.Len(t, file.Invalid, 23)
	for _, v := range file.Valid {
		t.Run(v.ID, func(t *testing.T) {
			score, err := ParseScore(v.Body)
			require.NoError(t, err)
			require.NoError(t, score.Validate())
			text, err := score.MarshalJSON()
			require.NoError(t, err)
			again, err := ParseScore(text)
			require.NoError(t, err)
			want := score
			want.Timestamp = score.Timestamp.Truncate(time.Millisecond)
			assertSameScore(t, want, again)
		})
	}
	for _, v := range file.Invalid {
		t.Run(v.ID, func(t *testing.T) {
			_, err := ParseScore(v.Body)
			assert.Error(t, err)
		})
	}
}

func assertSameScore(t require.TestingT, want, got Score) {
	for _, pair := range [][2]*big.Rat{{want.ScoreGiven, got.ScoreGiven}, {want.ScoreMaximum, got.ScoreMaximum}} {
		require.Equal(t, pair[0] == nil, pair[1] == nil)
		if pair[0] != nil {
			assert.Zero(t, pair[0].Cmp(pair[1]), "%v and %v", pair[0], pair[1])
		}
	}
	assert.True(t, want.Timestamp.Equal(got.Timestamp))
	assert.True(t, want.Submission.StartedAt.Equal(got.Submission.StartedAt))
	assert.True(t, want.Submission.SubmittedAt.Equal(got.Submission.SubmittedAt))
	want.ScoreGiven, want.ScoreMaximum, want.Timestamp, want.Submission = got.ScoreGiven, got.ScoreMaximum, got.Timestamp, got.Submission
	for name, value := range want.Extensions {
		assert.JSONEq(t, string(value), string(got.Extensions[name]))
	}
	assert.Len(t, got.Extensions, len(want.Extensions))
	want.Extensions = got.Extensions
	assert.Equal(t, want, got)
}

func fullScore(given, maximum string) Score {
	rat := func(text string) *big.Rat {
		if text == "" {
			return nil
		}
		number, _ := new(big.Rat).SetString(text)
		return number
	}
	return Score{
		UserID: "p-07c2", ScoreGiven: rat(given), ScoreMaximum: rat(maximum),
		ActivityProgress: ActivityCompleted, GradingProgress: GradingFullyGraded,
		Timestamp: time.Date(2031, 5, 14, 11, 26, 53, 0, time.FixedZone("", 7200)),
	}
}

// The bytes of a message: fixed order, exact numbers, zero written, a zero fraction of a second written, UTC.
func TestScoreBytes(t *testing.T) {
	head, tail := `{"userId":"p-07c2",`, `"activityProgress":"Completed","gradingProgress":"FullyGraded","timestamp":"2031-05-14T09:26:53.000Z"`
	for _, row := range []struct{ given, maximum, numbers string }{
		{"0", "9", `"scoreGiven":0,"scoreMaximum":9,`},
		{"13/2", "9", `"scoreGiven":6.5,"scoreMaximum":9,`},
		{"1/8", "1", `"scoreGiven":0.125,"scoreMaximum":1,`},
		{"10/3", "10", `"scoreGiven":10,"scoreMaximum":30,`},
		{"5/6", "4", `"scoreGiven":2.5,"scoreMaximum":12,`},
		{"1/6", "2/7", `"scoreGiven":3.5,"scoreMaximum":6,`},
		{"1/10", "3", `"scoreGiven":0.1,"scoreMaximum":3,`},
		{"12", "9", `"scoreGiven":12,"scoreMaximum":9,`},
		{"9007199254740993", "9007199254740993", `"scoreGiven":9007199254740993,"scoreMaximum":9007199254740993,`},
		{"", "9", `"scoreMaximum":9,`},
		{"", "", ``},
	} {
		text, err := fullScore(row.given, row.maximum).MarshalJSON()
		require.NoError(t, err)
		assert.Equal(t, head+row.numbers+tail+"}", string(text))
	}
	s := fullScore("3", "4")
	s.Comment = `x < 2 & "y" > 1`
	s.ScoringUserID = "t-31"
	s.Submission = Submission{SubmittedAt: time.Date(2031, 5, 14, 9, 0, 0, 7e6, time.UTC)}
	s.Extensions = map[string]json.RawMessage{"https://circle.example/b": []byte(`[1]`), "https://circle.example/a": []byte(`null`)}
	text, err := s.MarshalJSON()
	require.NoError(t, err)
	assert.Equal(t, head+`"scoreGiven":3,"scoreMaximum":4,`+tail+`,"comment":"x < 2 & \"y\" > 1","scoringUserId":"t-31",`+
		`"submission":{"submittedAt":"2031-05-14T09:00:00.007Z"},"https://circle.example/a":null,"https://circle.example/b":[1]}`, string(text))
}

func TestScoreRules(t *testing.T) {
	huge := "1" + strings.Repeat("0", 50)
	for _, row := range []struct {
		name   string
		change func(*Score)
		want   string // part of the error, "" for none
	}{
		{"good", func(*Score) {}, ""},
		{"longest-comment", func(s *Score) { s.Comment = strings.Repeat("ü", MaxComment) }, ""},
		{"comment-too-long", func(s *Score) { s.Comment = strings.Repeat("ü", MaxComment+1) }, "longer than"},
		{"comment-line-break", func(s *Score) { s.Comment = "a\nb" }, "control characters"},
		{"comment-not-utf8", func(s *Score) { s.Comment = "a\xff" }, "UTF-8"},
		{"user-blank", func(s *Score) { s.UserID = " " }, "userId"},
		{"user-too-long", func(s *Score) { s.UserID = strings.Repeat("u", 256) }, "userId"},
		{"user-control", func(s *Score) { s.UserID = "p\x00" }, "userId"},
		{"marker-blank", func(s *Score) { s.ScoringUserID = "\t" }, "scoringUserId"},
		{"given-huge", func(s *Score) { s.ScoreGiven = fullScore(huge, "1").ScoreGiven }, "too long"},
		{"maximum-unwieldy", func(s *Score) { s.ScoreMaximum = fullScore("1/"+huge+"7", "1").ScoreGiven }, "too long"},
		{"maximum-bits", func(s *Score) { s.ScoreMaximum = new(big.Rat).SetInt(new(big.Int).Lsh(big.NewInt(1), 300)) }, "too long"},
		{"maximum-negative", func(s *Score) { s.ScoreMaximum = big.NewRat(-1, 2) }, "above zero"},
		{"year", func(s *Score) { s.Timestamp = time.Date(10000, 1, 1, 0, 0, 0, 0, time.UTC) }, "years"},
		{"extension-name", func(s *Score) { s.Extensions = map[string]json.RawMessage{"note": []byte(`1`)} }, "full URL"},
		{"extension-value", func(s *Score) {
			s.Extensions = map[string]json.RawMessage{"https://circle.example/x": []byte(`1,"userId":"p-9"`)}
		}, "not JSON"},
		{"extension-empty", func(s *Score) { s.Extensions = map[string]json.RawMessage{"https://circle.example/x": nil} }, "not JSON"},
		{"extension-long", func(s *Score) {
			s.Extensions = map[string]json.RawMessage{"https://circle.example/x": []byte(`"` + strings.Repeat("x", maxExtensionBytes) + `"`)}
		}, "longer than"},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := fullScore("3", "4")
			row.change(&s)
			_, err := s.MarshalJSON()
			if row.want == "" {
				assert.NoError(t, err)
				return
			}
			assert.ErrorContains(t, err, row.want)
		})
	}
}

// What a strict reader refuses beyond the published cases.
func TestScoreStrictReading(t *testing.T) {
	body := func(changes string) string {
		return `{"userId":"p-07c2","activityProgress":"Completed","gradingProgress":"FullyGraded","timestamp":"2031-05-14T09:26:53.589Z"` + changes + `}`
	}
	for _, row := range []struct {
		name, text string
		good       bool
	}{
		{"plain", body(``), true},
		{"zone-without-minutes", strings.Replace(body(``), "Z", "+00", 1), true},
		{"zone-without-colon", strings.Replace(body(``), "Z", "+0000", 1), false},
		{"exponent", body(`,"scoreGiven":75e-1,"scoreMaximum":1E1`), true},
		{"exponent-huge", body(`,"scoreGiven":1e999999999,"scoreMaximum":10`), false},
		{"number-long", body(`,"scoreGiven":0.` + strings.Repeat("3", 60) + `,"scoreMaximum":10`), false},
		{"twice", body(`,"userId":"p-9"`), false},
		{"twice-escaped", body(`,"user\u0049d":"p-9"`), false},
		{"letter-case", body(`,"ScoreGiven":7`), false},
		{"maximum-null", body(`,"scoreMaximum":null`), false},
		{"comment-null", body(`,"comment":null`), false},
		{"submission-text", body(`,"submission":"x"`), false},
		{"submission-other", body(`,"submission":{"note":1}`), false},
		{"submission-empty", body(`,"submission":{}`), true},
		{"trailing", body(``) + `x`, false},
		{"two-values", body(``) + body(``), false},
		{"list", `[]`, false},
		{"empty", ``, false},
		{"deep", body(`,"https://circle.example/x":` + strings.Repeat("[", 40) + strings.Repeat("]", 40)), false},
		{"long", body(`,"comment":"` + strings.Repeat("x", maxScoreBytes) + `"`), false},
	} {
		_, err := ParseScore([]byte(row.text))
		assert.Equal(t, row.good, err == nil, "%s: %v", row.name, err)
	}
}

func TestPlainComment(t *testing.T) {
	for in, want := range map[string]string{
		"  one\n\ttwo\r\n":               "one two",
		"x\u202e < 2\u200b":              "x < 2",
		"bad\xffbyte":                    "badbyte",
		"":                               "",
		strings.Repeat("ab", MaxComment): strings.Repeat("ab", MaxComment/2-1) + "a…",
	} {
		assert.Equal(t, want, PlainComment(in))
	}
	rapid.Check(t, func(t *rapid.T) {
		clean := PlainComment(rapid.String().Draw(t, "text"))
		assert.NoError(t, checkComment(clean))
		assert.Equal(t, clean, PlainComment(clean))
	})
}

// Whatever the fraction, the message keeps the exact share, and reading it back gives the same numbers.
func TestExactShareProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		given := big.NewRat(rapid.Int64Range(0, 5000).Draw(t, "a"), rapid.Int64Range(1, 360).Draw(t, "b"))
		maximum := big.NewRat(rapid.Int64Range(1, 5000).Draw(t, "c"), rapid.Int64Range(1, 360).Draw(t, "d"))
		s := fullScore("1", "1")
		s.ScoreGiven, s.ScoreMaximum = given, maximum
		text, err := s.MarshalJSON()
		require.NoError(t, err)
		read, err := ParseScore(text)
		require.NoError(t, err)
		want := new(big.Rat).Quo(given, maximum)
		assert.Zero(t, want.Cmp(new(big.Rat).Quo(read.ScoreGiven, read.ScoreMaximum)))
		_, exactGiven := given.FloatPrec()
		if _, exactMaximum := maximum.FloatPrec(); exactGiven && exactMaximum {
			assert.Zero(t, given.Cmp(read.ScoreGiven), "decimals are left alone")
		}
	})
}

// Source: LTI Assignment and Grade Services 2.0, section 3.4.9. Clocks may stand still or go back.
func TestStampsRise(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		steps := rapid.SliceOfN(rapid.Int64Range(-5000, 5000), 1, 60).Draw(t, "milliseconds")
		now := time.UnixMilli(1936517213589)
		stamps := NewStamps(func() time.Time { return now })
		var last time.Time
		for _, step := range steps {
			now = now.Add(time.Duration(step) * time.Millisecond)
			at := stamps.Next()
			assert.True(t, at.After(last))
			assert.False(t, at.Before(now.Truncate(time.Millisecond)))
			assert.Less(t, formatInstant(last), formatInstant(at), "the sent texts differ too")
			read, ok := parseInstant(formatInstant(at))
			assert.True(t, ok && read.Equal(at))
			last = at
		}
	})
}

func TestStampsRiseInParallel(t *testing.T) {
	stamps := NewStamps(nil)
	results := make(chan []time.Time)
	for range 8 {
		go func() {
			var own []time.Time
			for range 500 {
				own = append(own, stamps.Next())
			}
			results <- own
		}()
	}
	seen := map[time.Time]bool{}
	for range 8 {
		for _, at := range <-results {
			assert.False(t, seen[at], "given twice")
			seen[at] = true
		}
	}
}

func FuzzParseScore(f *testing.F) {
	var file scoreVectors
	vectors(f, "ags-score.json", &file)
	for _, v := range append(file.Valid, file.Invalid...) {
		f.Add([]byte(v.Body))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		score, err := ParseScore(text)
		if err != nil {
			return
		}
		written, err := score.MarshalJSON()
		require.NoError(t, err)
		again, err := ParseScore(written)
		require.NoError(t, err, "%s", written)
		twice, err := again.MarshalJSON()
		require.NoError(t, err)
		assert.Equal(t, string(written), string(twice))
	})
}
