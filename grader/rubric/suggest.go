package rubric

import "strings"

// DidYouMean is the hint for a word that is not one of the known ones: the
// nearest of them, or all of them.
func DidYouMean(word string, known []string) string {
	if near := nearest(word, known); near != "" {
		return didYouMean(near)
	}
	return "known are " + strings.Join(known, ", ")
}

// nearest is the candidate closest to word, or "" where none is close: at
// most a third of the letters differ (optimal string alignment distance,
// from memory).
func nearest(word string, candidates []string) string {
	best, bestDistance := "", len([]rune(word))/3+1
	for _, c := range candidates {
		if d := distance(word, c); d < bestDistance || d == bestDistance && best == "" {
			best, bestDistance = c, d
		}
	}
	return best
}

// maxWord bounds the words that are compared, whose cost is quadratic.
const maxWord = 40

// distance counts the letters to insert, delete, replace or swap with their
// neighbour to get from one word to the other.
func distance(from, to string) int {
	a, b := []rune(from), []rune(to)
	if len(a) > maxWord || len(b) > maxWord {
		return maxWord
	}
	rows := make([][]int, len(a)+1)
	for i := range rows {
		rows[i] = make([]int, len(b)+1)
		rows[i][0] = i
	}
	for j := range b {
		rows[0][j+1] = j + 1
	}
	for i := 1; i <= len(a); i++ {
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			d := min(rows[i-1][j]+1, rows[i][j-1]+1, rows[i-1][j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				d = min(d, rows[i-2][j-2]+1)
			}
			rows[i][j] = d
		}
	}
	return rows[len(a)][len(b)]
}
