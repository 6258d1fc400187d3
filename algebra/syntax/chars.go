package syntax

// The reader maps single characters by its own tables and never normalises a
// text: compatibility forms would turn x² into x2 and 2½ into 21/2 (Unicode
// Standard Annex 15, from memory).

// class says how the lexer treats a character beyond ASCII.
type class uint8

const (
	unknown   class = iota
	sign            // a token by itself
	digit           // a raised or lowered digit
	blank           // a space of any width
	lineBreak       // U+0085, U+2028, U+2029
	stripped        // zero-width: left out, with a note
	skipped         // U+2061 FUNCTION APPLICATION: left out
	bidi            // could change the order shown: refused
	emDash          // refused: minus or punctuation?
	lookalike       // Cyrillic letter read as Latin, with a note
	foreign         // digits and letter-like numbers of other kinds: refused
	almost          // ≈ and its like: refused, answers are exact
	arrow           // → ↔, read as a link, with a note
	prime           // ′: refused
)

// char is what a character means.
type char struct {
	class class
	kind  kind
	aux   uint8
	level level
}

func vulgar(num, den uint8) char { return char{sign, tVulgar, num<<4 | den, onLine} }

// charOf gives the meaning of a character beyond ASCII.
func charOf(r rune) char {
	switch {
	case r >= 0x3b1 && r <= 0x3c9:
		return char{sign, tName, auxGreek + uint8(r-0x3b1), onLine}
	case r == 0x3a3:
		return char{sign, tSum, 0, onLine} // Σ, typed for ∑
	case r >= 0x391 && r <= 0x3a9 && r != 0x3a2:
		return char{sign, tName, auxCapital + uint8(r-0x391), onLine}
	case r >= 0x1d400 && r < 0x1d6a4: // mathematical alphabets, 52 letters each
		i := uint8((r - 0x1d400) % 52)
		if i < 26 {
			i += 26
		} else {
			i -= 26
		}
		return char{sign, tName, i + 1, onLine}
	case r >= 0x2080 && r <= 0x2089:
		return char{digit, tNumber, uint8(r - 0x2080), lowered}
	case r == 0x2070 || r >= 0x2074 && r <= 0x2079:
		return char{digit, tNumber, uint8(r - 0x2070), raised}
	case r >= 0x2000 && r <= 0x200a:
		return char{class: blank}
	case r >= 0x202a && r <= 0x202e, r >= 0x2066 && r <= 0x2069:
		return char{class: bidi}
	case r >= 0xff10 && r <= 0xff19, r >= 0x660 && r <= 0x669, r >= 0x6f0 && r <= 0x6f9, r >= 0x966 && r <= 0x96f,
		r >= 0x2150 && r <= 0x218b && vulgarOf(r).class == unknown, r >= 0x2460 && r <= 0x24ff, r >= 0x1d7ce && r <= 0x1d7ff:
		return char{class: foreign}
	}
	if c := vulgarOf(r); c.class != unknown {
		return c
	}
	if c := signOf(r); c.class != unknown {
		return c
	}
	return letterOf(r)
}
