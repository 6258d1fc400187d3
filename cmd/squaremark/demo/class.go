package demo

import (
	"bytes"
	_ "embed"
	"fmt"

	"github.com/goccy/go-yaml"
)

//go:embed class.yaml
var classFile []byte

// class is the invented class with its answers.
type class struct {
	Quiz        string  `yaml:"quiz"`
	FeedbackFor string  `yaml:"feedbackFor"`
	Pupils      []pupil `yaml:"pupils"`
}

type pupil struct {
	ID      string         `yaml:"id"`
	Shows   string         `yaml:"shows"`
	Answers map[string]any `yaml:"answers"` // a text, or a list of lines
}

func readClass() (class, error) {
	var c class
	if err := yaml.NewDecoder(bytes.NewReader(classFile), yaml.Strict()).Decode(&c); err != nil {
		return c, fmt.Errorf("class.yaml: %w", err)
	}
	for i := range c.Pupils {
		for id, a := range c.Pupils[i].Answers {
			if lines, ok := a.([]any); ok {
				c.Pupils[i].Answers[id] = unlinked(lines)
			}
		}
	}
	return c, nil
}

// unlinked is a chain without links, in the shape of the contract.
func unlinked(lines []any) []map[string]string {
	out := make([]map[string]string, len(lines))
	for i, l := range lines {
		out[i] = map[string]string{"text": fmt.Sprint(l)}
	}
	return out
}
