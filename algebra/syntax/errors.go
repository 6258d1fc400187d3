package syntax

import (
	"fmt"
	"unicode/utf8"

	"squaremark/algebra/source"
)

// Codes of what cannot be read. They never change their meaning.
const (
	codeBytes      = "text-too-long"
	codeDepth      = "nested-too-deep"
	codeNodes      = "formula-too-large"
	codeDigits     = "number-too-long"
	codeWork       = "work-limit"
	codeEmpty      = "empty-text"
	codeEncoding   = "not-utf-8"
	codeChar       = "unknown-character"
	codeEmDash     = "em-dash"
	codeBidi       = "direction-control"
	codeMarkup     = "markup"
	codeCommand    = "unknown-command"
	codeTwoPoints  = "two-decimal-points"
	codeWord       = "unknown-word"
	codeExpected   = "expected-expression"
	codeUnexpected = "unexpected-token"
	codeUnclosed   = "unclosed-bracket"
	codeNumbers    = "number-after-number"
	codeOperand    = "not-a-number"
	codeFormula    = "not-a-formula"
	codeMixed      = "values-and-formulas"
	codeInterval   = "bad-interval"
	codeInfinity   = "infinity-outside-interval"
	codeIndex      = "bad-index"
	codePower      = "bad-power"
	codeSum        = "bad-sum"
	codeDots       = "bad-dots"
	codeSet        = "bad-set"
	codeChain      = "chained-links"
	codeRoot       = "bad-root"
)

// Codes of notes: how an ambiguous text was read.
const (
	noteDecimalComma = "decimal-comma"
	noteListComma    = "list-comma"
	noteArrow        = "arrow-as-link"
	noteLookalike    = "look-alike-letter"
	noteInvisible    = "invisible-character"
	noteGreekWord    = "greek-word"
	noteLetterNumber = "number-after-letter"
	noteDivision     = "product-after-division"
	noteBareRoot     = "root-without-brackets"
	noteMixedNumber  = "mixed-number"
	noteIndexLetter  = "one-letter-index"
	notePlusMinus    = "plus-minus"
	notePlusNegative = "plus-then-minus"
	noteSumBounds    = "sum-without-bounds"
	noteTuples       = "list-of-tuples"
	noteCommaOr      = "comma-and-or"
	noteAndList      = "and-between-values"
	noteUnionLetter  = "union-letter"
	noteLeadingWord  = "leading-word"
	noteRange        = "range-word"
	noteAlternatives = "values-as-alternatives"
)

// maxShown is how much of a text a message repeats, in runes.
const maxShown = 24

func quote(s string) string { return "'" + source.Shorten(s, maxShown) + "'" }

func errorAt(code string, at source.Span, text, message, hint string) *source.Diag {
	return &source.Diag{Severity: source.Error, Code: code, At: at, Text: source.Shorten(at.In(text), maxShown), Message: message, Hint: hint}
}

// lexError words the problems with single characters and words.
func lexError(code string, at source.Span, text, hint string) *source.Diag {
	q := quote(at.In(text))
	var message string
	switch code {
	case codeDigits:
		message = "the number " + q + " has too many digits"
	case codeEncoding:
		message = "the text is not valid UTF-8"
	case codeChar:
		r, _ := utf8.DecodeRuneInString(at.In(text))
		message = fmt.Sprintf("cannot read the character %s (U+%04X)", q, r)
	case codeEmDash:
		message = "the long dash " + q + " may be a minus sign or punctuation"
		hint = "write - for minus"
	case codeBidi:
		message = "the text contains a control character that can change the order in which it is shown"
		hint = "type the formula again without it"
	case codeMarkup:
		message = "expected a formula, found markup: " + q
		hint = "write formulas as plain text or LaTeX"
	case codeCommand:
		message = "the command " + q + " is not one that is read here"
	case codeTwoPoints:
		message = "the number " + q + " has two decimal points"
	}
	return errorAt(code, at, text, message, hint)
}

// charHint suggests what to write for a character that is not read.
func charHint(r rune) string {
	switch charOf(r).class {
	case almost:
		return "answers are exact: write = or an inequality"
	case foreign:
		return "write numbers with the digits 0 to 9"
	case prime:
		return "names have no primes: use another letter or an index, a_1"
	}
	switch r {
	case '\'', '"', '`':
		return "names have no primes: use another letter or an index, a_1"
	case '!':
		return "factorials are not read"
	case '%':
		return "write a percentage as a fraction, 50/100"
	case '~':
		return "answers are exact: write = or an inequality"
	case '∓':
		return "write the two cases apart, joined by or"
	case '⟨', '⟩':
		return "write ( and )"
	}
	return ""
}

// noteText words the notes; q is the text concerned, in quotes.
func noteText(code, q string) (message, hint string) {
	switch code {
	case noteDecimalComma:
		return q + " is read as a number with a decimal comma", "write the decimal point"
	case noteListComma:
		return "the comma in " + q + " separates two values", "write a decimal point for one number"
	case noteArrow:
		return q + " is read as a link between two formulas", "write => or <=>"
	case noteLookalike:
		return q + " is a letter of another alphabet; it is read as the Latin letter it looks like", ""
	case noteInvisible:
		return "an invisible character was left out", ""
	case noteGreekWord:
		return q + " is read as the Greek letter of that name", "put * between the letters for a product"
	case noteLetterNumber:
		return q + " is read as a product", "write x^2 for a power, x_2 for an index"
	case noteDivision:
		return "after a division, the next factor " + q + " multiplies the quotient: 1/2x is (1/2)x", "write 1/(2x) if it belongs below"
	case noteBareRoot:
		return "a root without brackets takes one number or letter, with its power, and no more: √2x is (√2)x, √x² is √(x²)", "write √(...)"
	case noteMixedNumber:
		return q + " is read as a whole number and a fraction added", "write * for a product"
	case noteIndexLetter:
		return "the index takes one letter; " + q + " is read as a factor", "write a_{ij} with braces and a sign between, or a space"
	case notePlusMinus:
		return q + " is read as ±", ""
	case notePlusNegative:
		return q + " is read as plus a negative number", "write ± for both signs"
	case noteSumBounds:
		return "the sum " + q + " is read as running from 1 to n", `write sum(i=1..n, ...)`
	case noteTuples:
		return "the groups between semicolons are read as tuples", "write (1, 2), (2, 1)"
	case noteCommaOr:
		return "commas bind tighter than or: a, b or c is (a and b) or c", "use brackets, or and"
	case noteAndList:
		return "and between values is read as a list of values", ""
	case noteUnionLetter:
		return q + " is read as the union sign", "write ∪ or union"
	case noteLeadingWord:
		return q + " before the answer is left out", ""
	case noteRange:
		return q + " between values is read as all the values from one to the other", ""
	case noteAlternatives:
		return "different values of one name are read as alternatives", "write or between them"
	}
	return "", ""
}

// notes collects notes, each code once: at its first place.
type notes struct{ list []*source.Diag }

func (n *notes) add(code string, at source.Span, text string) {
	for _, d := range n.list {
		if d.Code == code {
			return
		}
	}
	message, hint := noteText(code, quote(at.In(text)))
	n.list = append(n.list, &source.Diag{Severity: source.Note, Code: code, At: at,
		Text: source.Shorten(at.In(text), maxShown), Message: message, Hint: hint})
}
