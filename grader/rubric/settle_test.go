package rubric

import (
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// settled reads "a 2, b 1" and shows the result in the same way.
func settled(t *testing.T, earned string, bestOf, caps []string, met bool) string {
	t.Helper()
	q := &Question{}
	var list []*big.Rat
	for _, part := range strings.Split(earned, ", ") {
		id, value, _ := strings.Cut(part, " ")
		v, ok := new(big.Rat).SetString(value)
		require.True(t, ok)
		q.Marks = append(q.Marks, &Criterion{ID: Plain(id), Worth: v})
		list = append(list, v)
	}
	for _, group := range bestOf {
		q.BestOf = append(q.BestOf, textsOf(group))
	}
	for _, c := range caps {
		ids, most, _ := strings.Cut(c, ": ")
		most, unless, _ := strings.Cut(most, " unless ")
		v, ok := new(big.Rat).SetString(most)
		require.True(t, ok)
		made := &Cap{Of: textsOf(ids), AtMost: v}
		if unless != "" {
			made.Unless = Plain(unless)
		}
		q.Caps = append(q.Caps, made)
	}
	got, why := q.Settle(list, func(string) bool { return met })
	var parts []string
	for i, c := range q.Marks {
		text := c.ID.Value + " " + got[i].RatString()
		if why[i] != "" {
			text += " " + why[i]
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, ", ")
}

func textsOf(ids string) []Text {
	var list []Text
	for _, id := range strings.Fields(ids) {
		list = append(list, Plain(id))
	}
	return list
}

func TestSettle(t *testing.T) {
	for _, row := range []struct {
		earned       string
		bestOf, caps []string
		met          bool
		want         string
	}{
		{"a 1, b 2", nil, nil, false, "a 1, b 2"},
		{"a 1, b 2", nil, []string{"a b: 2"}, false, "a 1, b 1 capped"},
		{"a 1, b 2, c 1", nil, []string{"a b: 1/2"}, false, "a 1/2 capped, b 0 capped, c 1"},
		{"a 1, b 1", nil, []string{"a b: 1 unless correct"}, true, "a 1, b 1"},
		{"a 1, b 1", nil, []string{"a b: 1 unless correct"}, false, "a 1, b 0 capped"},
		{"a 1, b 2, c 2", []string{"a b", "c"}, nil, false, "a 1, b 2, c 0 not-best"},
		{"a 1, b 0, c 2", []string{"a b", "c"}, nil, false, "a 0 not-best, b 0 not-best, c 2"},
		{"a 1, b 1, c 2", []string{"a b", "c"}, nil, false, "a 1, b 1, c 0 not-best"},
		{"a 3, b 1, c 2", []string{"a", "c"}, []string{"a b: 2"}, false, "a 2 capped, b 0 capped, c 0 not-best"},
	} {
		assert.Equal(t, row.want, settled(t, row.earned, row.bestOf, row.caps, row.met), "%+v", row)
	}
}

// Nothing is ever added, nothing falls below zero, and the attainable marks
// are those of an answer that earns everything.
func TestSettleStaysInBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := &Question{}
		var earned []*big.Rat
		ids := []string{"a", "b", "c", "d", "e"}
		for _, id := range ids {
			worth := big.NewRat(rapid.Int64Range(1, 6).Draw(t, "worth"), 2)
			q.Marks = append(q.Marks, &Criterion{ID: Plain(id), Worth: worth})
			earned = append(earned, new(big.Rat).Mul(worth, big.NewRat(rapid.Int64Range(0, 2).Draw(t, "share"), 2)))
		}
		if rapid.Bool().Draw(t, "alternatives") {
			q.BestOf = [][]Text{textsOf("a b"), textsOf("c")}
		}
		q.Caps = []*Cap{{Of: textsOf("b d e"), AtMost: big.NewRat(rapid.Int64Range(0, 8).Draw(t, "cap"), 2)}}
		got, why := q.Settle(earned, func(string) bool { return false })
		for i, v := range got {
			assert.True(t, v.Sign() >= 0 && v.Cmp(earned[i]) <= 0)
			assert.Equal(t, why[i] == "", v.Cmp(earned[i]) == 0 && why[i] != NotBest && why[i] != Capped)
		}
		assert.True(t, sumOf(got).Cmp(q.attainable()) <= 0, "%v of %v", sumOf(got), q.attainable())
	})
}
