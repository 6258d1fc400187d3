package metrics

// other stands for every word that is not in a closed set.
const other = "other"

// closed is the set of values that a label may take.
type closed struct{ words map[string]bool }

func newClosed(words ...string) *closed {
	c := &closed{map[string]bool{}}
	for _, w := range words {
		c.words[w] = true
	}
	return c
}

// word is the word itself, or "other".
func (c *closed) word(w string) string {
	if c.words[w] {
		return w
	}
	return other
}

func (c *closed) all() []string {
	list := make([]string, 0, len(c.words))
	for w := range c.words {
		list = append(list, w)
	}
	return list
}
