// Package wording holds every sentence that a pupil or a teacher reads about
// an answer, one catalogue a language.
//
//	wording.go   looking a sentence up
//	english.go   the English catalogue
//	german.go    the German catalogue, in the words of school
//	german_*.go  slips, findings and the engine's own sentences in German
//
// Each sentence is one, names the line, and shows a number to try where there
// is one; none shows the model answer. A slot is written {so}. Adding a
// language: one file with every id, and a line in Known.
package wording

import "strings"

// Language is a catalogue of sentences. It is immutable.
type Language struct {
	Tag       string
	sentences map[string]string
	slips     map[string]Slip   // nil: as the catalogue of slips says
	findings  map[string]string // nil: as the catalogue of findings says
	engine    map[string]string // the engine's own sentences; nil: as they are
	faults    map[string]string // what cannot be read, by the code of the fault
}

// Slip is how a slip is told.
type Slip struct{ Title, Text string }

// Known lists the languages that there are sentences for.
func Known() []*Language { return []*Language{&english, &german} }

// For is the language of a tag (BCP 47), English for one that is not known.
func For(tag string) *Language {
	first, _, _ := strings.Cut(strings.ToLower(tag), "-")
	for _, l := range Known() {
		if l.Tag == first {
			return l
		}
	}
	return &english
}

// IsKnown reports a tag that there are sentences for.
func IsKnown(tag string) bool {
	first, _, _ := strings.Cut(strings.ToLower(tag), "-")
	return For(tag).Tag == first
}

// Say is the sentence with this id. slots are names and values in turn.
func (l *Language) Say(id string, slots ...string) string {
	text, ok := l.sentences[id]
	if !ok {
		return id
	}
	pairs := make([]string, 0, len(slots))
	for i := 0; i+1 < len(slots); i += 2 {
		pairs = append(pairs, "{"+slots[i]+"}", slots[i+1])
	}
	return strings.NewReplacer(pairs...).Replace(text)
}

// SlipWords tells a slip: as it is where the language has no words for it.
func (l *Language) SlipWords(id string, as Slip) Slip {
	if s, ok := l.slips[id]; ok {
		return s
	}
	return as
}

// Finding tells what a finding means.
func (l *Language) Finding(code, as string) string {
	if s, ok := l.findings[code]; ok {
		return s
	}
	return as
}

// Engine is a sentence of the engine without its full stop. "" where the
// language has no words for it: the sentence around it then stands alone.
func (l *Language) Engine(sentence string) string {
	sentence = Ended(sentence)
	if l.engine == nil {
		return sentence
	}
	if text, ok := l.engine[sentence]; ok {
		return text
	}
	for key, text := range l.engine {
		if tail, ok := strings.CutPrefix(key, "*"); ok && strings.HasSuffix(sentence, " "+tail) {
			return strings.Replace(text, "{text}", strings.TrimSuffix(sentence, " "+tail), 1)
		}
	}
	return ""
}

// Fault tells what cannot be read, by the code of the fault; "" as for Engine.
func (l *Language) Fault(code, message string) string {
	if l.faults == nil {
		return Ended(message)
	}
	return l.faults[code]
}

// Ended is a sentence without its full stop.
func Ended(s string) string { return strings.TrimRight(strings.TrimSpace(s), ".") }
