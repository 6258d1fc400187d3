package syntax

// kind says what a token is.
type kind uint8

const (
	tEnd       kind = iota // the end of the text
	tOther                 // a token of another level (raised or lowered)
	tNumber                // digits, perhaps with a decimal point
	tName                  // one letter; aux: see nameText
	tWord                  // a word of ordinary language; aux: word
	tPlus                  // +
	tMinus                 // -
	tPlusMinus             // ±
	tTimes                 // * × ·
	tDivide                // / ÷
	tColon                 // : (division, or "such that" in a set)
	tPower                 // ^ **
	tUnder                 // _
	tLParen                // (
	tRParen                // )
	tLBracket              // [
	tRBracket              // ]
	tLBrace                // {
	tRBrace                // }
	tLSet                  // \{
	tRSet                  // \}
	tBar                   // |
	tLBar                  // \lvert, \left|
	tRBar                  // \rvert, \right|
	tComma                 // ,
	tSemicolon             // ;
	tPeriod                // a full stop that is no decimal point
	tRelation              // aux: Rel
	tLink                  // aux: Link
	tAnd                   // and & ∧
	tOr                    // or ∨
	tNot                   // not ¬
	tIn                    // ∈
	tNotIn                 // ∉
	tUnion                 // ∪
	tMeet                  // ∩
	tWithout               // ∖
	tEmpty                 // ∅
	tInfinity              // ∞
	tStandard              // ℝ ℤ ℕ ℚ; aux: the letter
	tSqrt                  // √ ∛ ∜ sqrt cbrt; aux: the index
	tLatexSqrt             // \sqrt
	tRoot                  // root(3, x)
	tAbs                   // abs(x)
	tSum                   // Σ
	tFrac                  // \frac
	tVulgar                // ½; aux: numerator*16 + denominator
	tDots                  // ...
	tRange                 // ..
)

// level is the height at which a character stands.
type level uint8

const (
	onLine  level = iota
	raised        // x²
	lowered       // x₂
)

// token is one piece of text. Offsets count bytes, columns runes.
type token struct {
	kind       kind
	level      level
	aux        uint8
	spaced     bool // white space stands before it
	broken     bool // a line break stands before it
	start, end int32
	line, col  int32
}

// word is a word of ordinary language with a part to play.
type word uint8

const (
	wOther  word = iota // any other word: refused
	wNo                 // no
	wNone               // none, nothing
	wThere              // there
	wIs                 // is, are
	wThing              // solution, integer, real, ...
	wAll                // all, every, any
	wFiller             // we, have, get, that: skipped after "hence"
	wIf                 // if
	wOnly               // only
	wTo                 // to
	wFrom               // from
	wCyclic             // cyc, sym
)
