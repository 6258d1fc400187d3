package rubric

import (
	"fmt"
	"math/big"
	"strings"

	"github.com/goccy/go-yaml/token"

	"squaremark/algebra/source"
)

func diag(code string, at source.Span, text, hint, format string, args ...any) *source.Diag {
	return &source.Diag{
		Code: code, At: at, Text: source.Shorten(text, 60), Hint: hint,
		Message: fmt.Sprintf(format, args...),
	}
}

func tokenPoint(t *token.Token) source.Span {
	return point(source.Position{Line: t.Position.Line, Column: max(t.Position.Column, 1)})
}

func cannotRead(path string, err error) *source.Diag {
	d := diag("cannot-read", source.Span{}, "", "", "expected a rubric that can be read: %v", err)
	d.File = path
	return d
}

func quizTwice(r, other *Rubric) *source.Diag {
	d := diag("duplicate-quiz", r.Quiz.At(), r.Quiz.Value, "give one of the two quizzes another id",
		"the quiz %q is also in %s:%s", r.Quiz.Value, other.File, other.Quiz.Start())
	d.File = r.File
	return d
}

func (l *loader) fileTooLarge(size int) *source.Diag {
	return diag("file-too-large", source.Span{}, "", "split the quiz into several files",
		"expected a file of at most %d bytes, found more than that (%d were read)", maxBytes, size)
}

func (l *loader) notUTF8(at source.Position) *source.Diag {
	return diag("not-utf-8", point(at), "", "save the file as UTF-8", "expected UTF-8 text, found other bytes")
}

func (l *loader) controlCharacter(at source.Position, r rune) *source.Diag {
	return diag("control-character", point(at), "", "delete it", "expected text, found the control character U+%04X", r)
}

// mathQuote is the hint for YAML that trips over mathematics.
const mathQuote = "put quotation marks around mathematics that begins with { [ | > * & ! % or @, or that holds a colon and a space"

func (l *loader) notYAML(err error) *source.Diag {
	at, message := place(err)
	return diag("not-yaml", point(at), "", mathQuote, "expected YAML, found: %s", source.Shorten(message, 120))
}

func (l *loader) unexpectedYAML(at source.Position) *source.Diag {
	return diag("not-yaml", point(at), "", mathQuote, "expected a text, a list or keys with values")
}

func (l *loader) oneDocument() *source.Diag {
	return diag("one-document", point(source.Position{Line: 1, Column: 1}), "", "put each quiz into a file of its own",
		"expected one YAML document with the keys of a quiz")
}

func (l *loader) noAliases(t *token.Token) *source.Diag {
	return diag("no-aliases", tokenPoint(t), t.Value, "write the text out; "+mathQuote,
		"expected a text, found a YAML anchor, alias or merge key, which rubrics do not use")
}

func (l *loader) notUsed(t *token.Token) *source.Diag {
	return diag("not-used", tokenPoint(t), t.Value, mathQuote,
		"expected a text, found a YAML tag, directive or explicit key, which rubrics do not use")
}

func (l *loader) tooDeep(t *token.Token) *source.Diag {
	return diag("too-deep", tokenPoint(t), "", "", "expected at most %d values inside each other", maxDepth)
}

func (l *loader) tooManyValues(at source.Position) *source.Diag {
	return diag("too-many", point(at), "", "split the quiz into several files",
		"expected at most %d keys and %d values in a file, at most %d inside each other", maxKeys, maxNodes, maxDepth)
}

func (l *loader) tooMany(at source.Span, what string, count, most int) *source.Diag {
	return diag("too-many", at, "", "", "expected at most %d %s, found %d", most, what, count)
}

func (n *node) found() string {
	switch n.shape {
	case mapping:
		return "keys with values"
	case sequence:
		return "a list"
	case scalar:
		return fmt.Sprintf("%q", source.Shorten(n.text.Value, 40))
	}
	return "nothing"
}

func (l *loader) wanted(n *node, what string) *source.Diag {
	return diag("wrong-shape", n.at, "", "", "expected %s, found %s", what, n.found())
}

func (l *loader) wantedText(n *node, key string) *source.Diag {
	return diag("wrong-shape", n.at, "", mathQuote, "expected a text for %s, found %s", key, n.found())
}

func (l *loader) emptyText(n *node, key string) *source.Diag {
	return diag("empty", n.at, "", "fill it in, or leave the key out", "expected a text for %s, found nothing", key)
}

func (l *loader) textTooLong(t Text, key string) *source.Diag {
	return diag("text-too-long", t.At(), t.Value, "", "expected at most %d bytes for %s, found %d", maxText, key, len(t.Value))
}

func (l *loader) listLength(n *node, key string) *source.Diag {
	return diag("list-length", n.at, "", "", "expected 1 to %d entries for %s, found %d", maxList, key, len(n.kids))
}

func didYouMean(word string) string {
	if word == "" {
		return ""
	}
	return fmt.Sprintf("did you mean %q?", word)
}

func (l *loader) unknownKey(of string, key Text, near string) *source.Diag {
	var names []string
	for _, k := range KeysOf(of) {
		names = append(names, k.Name)
	}
	hint := didYouMean(near)
	if hint == "" {
		hint = PartName(of) + " knows " + strings.Join(names, ", ")
	}
	return diag("unknown-key", key.At(), key.Value, hint, "%q is not a key of %s", source.Shorten(key.Value, 40), PartName(of))
}

func (l *loader) keyTwice(key, other Text) *source.Diag {
	return diag("duplicate-key", key.At(), key.Value, "keep one of them",
		"%q is given twice; other declaration at %s", source.Shorten(key.Value, 40), other.Start())
}

func (l *loader) missingKey(at source.Span, of, key string) *source.Diag {
	return diag("missing-key", at, "", "add "+key+": and its value", "expected the key %q in this %s", key, of)
}

func (l *loader) oneOf(key, other Text) *source.Diag {
	return diag("one-of", key.At(), key.Value, "make two questions of it",
		"expected one of least, greatest and equality, found %q and %q at %s", key.Value, other.Value, other.Start())
}

func (l *loader) withoutMarks(key Text) *source.Diag {
	return diag("key-without-marks", key.At(), key.Value, "write the mark scheme out under marks:",
		"%q says something only where the question has marks of its own", key.Value)
}

func (l *loader) keyOfOtherKind(key Text, only, kind Kind) *source.Diag {
	return diag("key-of-other-kind", key.At(), key.Value, "leave it out, or change the kind",
		"%q belongs to the kind %s, but this question is of the kind %s", key.Value, only, kind)
}

func (l *loader) keyWithoutFinding(key Text, finding string) *source.Diag {
	return diag("key-without-finding", key.At(), key.Value, "leave it out, or give the mark for "+finding,
		"%q says something only where the mark is for %s", key.Value, finding)
}

func (l *loader) badID(t Text, key string) *source.Diag {
	return diag("bad-id", t.At(), t.Value, "for example upper-bound-2",
		"expected an id for %s (a small letter, then small letters, digits and hyphens, at most 64), found %q", key, source.Shorten(t.Value, 40))
}

func (l *loader) badChoice(t Text, key string, words []string, near string) *source.Diag {
	return diag("bad-choice", t.At(), t.Value, didYouMean(near),
		"expected %s for %s, found %q", orList(words), key, source.Shorten(t.Value, 40))
}

func orList(words []string) string {
	if len(words) == 1 {
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

func (l *loader) badMarks(t Text, key string, positive bool) *source.Diag {
	what := "marks"
	if positive {
		what = "marks above zero"
	}
	return diag("bad-marks", t.At(), t.Value, "write 2, 1/2 or 0.5",
		"expected %s for %s, exactly and at most %d, found %q", what, key, maxMarks, source.Shorten(t.Value, 40))
}

func (l *loader) badVersion(t Text) *source.Diag {
	return diag("bad-version", t.At(), t.Value, "write rubric: 1", "expected version 1 of the format, found %q", source.Shorten(t.Value, 20))
}

func (l *loader) badLanguage(t Text) *source.Diag {
	return diag("bad-language", t.At(), t.Value, "for example en or de-AT",
		"expected a language tag, found %q", source.Shorten(t.Value, 40))
}

func (l *loader) wrongTotal(t Text, is *big.Rat, of string) *source.Diag {
	return diag("wrong-total", t.At(), t.Value, "write total: "+MarksText(is)+", or change the marks",
		"expected the sum of %s, %s, found %s", of, MarksText(is), t.Value)
}

func (l *loader) unknownUnknown(t Text, names []string) *source.Diag {
	return diag("unknown-variable", t.At(), t.Value, didYouMean(nearest(t.Value, names)),
		"expected a variable of the question as unknown, found %q", source.Shorten(t.Value, 40))
}

func (l *loader) idTwice(t, other Text, what string) *source.Diag {
	return diag("duplicate-id", t.At(), t.Value, "give one of them another id",
		"the %s %q is given twice; other declaration at %s", what, source.Shorten(t.Value, 40), other.Start())
}

func (l *loader) unknownFinding(t Text, near string, codes []string) *source.Diag {
	hint := didYouMean(near)
	if hint == "" {
		hint = "this kind knows " + strings.Join(codes, ", ")
	}
	return diag("unknown-finding", t.At(), t.Value, hint, "%q is not a finding that earns marks", source.Shorten(t.Value, 40))
}

func (l *loader) findingOfOtherKind(t Text, info FindingInfo, kind Kind) *source.Diag {
	kinds := make([]string, len(info.Kinds))
	for i, k := range info.Kinds {
		kinds[i] = string(k)
	}
	return diag("never-arises", t.At(), t.Value, "choose a finding of the kind "+string(kind),
		"this mark can never be earned: %s arises for %s, and this question is of the kind %s", info.Code, orList(kinds), kind)
}

func (l *loader) unknownCriterion(t Text, near string) *source.Diag {
	return diag("unknown-criterion", t.At(), t.Value, didYouMean(near),
		"expected the id of a criterion of this question, found %q", source.Shorten(t.Value, 40))
}

func (l *loader) needsItself(c *Criterion) *source.Diag {
	return diag("needs-itself", c.Needs[0].At(), c.ID.Value, "take one criterion out of the circle",
		"this mark can never be earned: %s needs itself, directly or through others", c.ID.Value)
}
