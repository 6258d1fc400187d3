// Package rubric reads a teacher's file for one quiz: questions, model
// answers, marks and examples. It checks the form of the file, each fault at
// its own line and column; what needs algebra (is the claim true, does the
// model answer earn its marks) is checked by package grader.
//
// The format is YAML 1.2 without anchors, aliases, tags and more than one
// document. Mathematics stands in plain, quoted, literal or folded scalars;
// Text keeps the place of each of its runes in the file, so that a fault
// inside a formula is reported where the teacher wrote it.
//
//	rubric.go    the rubric as data
//	load.go      files to rubrics, bounds, digest
//	tree.go      YAML to a small tree with places
//	text.go      a text with the place of each of its runes
//	scalar.go    the places of a scalar's runes, in every quoting style
//	fields.go    reading maps with known keys
//	quiz.go      the keys of a file and of a question
//	marks.go     the keys of a criterion and of an example
//	lines.go     chains: lines with their links
//	defaults.go  the mark scheme of a question that gives none
//	understand.go mathematics that can be read, faults in it at their places
//	verify.go    what can be checked without algebra
//	findings.go  the catalogue of findings
//	keys.go      the catalogue of keys, with their meaning
//	schema.go    the JSON Schema of the format
//	suggest.go   "did you mean"
//	errors.go    all wording
package rubric
