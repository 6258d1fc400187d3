package syntax

import "strings"

const letters = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"

// greek lists the Greek letters by name, small ones in code point order from
// α (both sigmas are one letter), then the capitals.
var greek = [...]string{
	"alpha", "beta", "gamma", "delta", "epsilon", "zeta", "eta", "theta", "iota", "kappa", "lambda", "mu", "nu",
	"xi", "omicron", "pi", "rho", "sigma", "sigma", "tau", "upsilon", "phi", "chi", "psi", "omega",
	"Alpha", "Beta", "Gamma", "Delta", "Epsilon", "Zeta", "Eta", "Theta", "Iota", "Kappa", "Lambda", "Mu", "Nu",
	"Xi", "Omicron", "Pi", "Rho", "Sigma", "Sigma", "Tau", "Upsilon", "Phi", "Chi", "Psi", "Omega",
}

const (
	auxGreek   = uint8(len(letters)) + 1
	auxCapital = auxGreek + 25
)

// nameText is the name that a tName token's aux stands for; aux 0 means the
// source text itself.
func nameText(aux uint8) string {
	if aux >= auxGreek {
		return greek[aux-auxGreek]
	}
	return letters[aux-1 : aux]
}

// auxLetter is the aux of an ASCII letter.
func auxLetter(c byte) uint8 {
	if c >= 'a' {
		return c - 'a' + 1
	}
	return c - 'A' + 27
}

// auxGreekName is the aux of a Greek letter by name, 0 for any other text.
func auxGreekName(s string) uint8 {
	if len(s) < 2 || len(s) > 7 {
		return 0
	}
	for i, g := range greek {
		if g == s {
			return auxGreek + uint8(i)
		}
	}
	return 0
}

// wordToken is the token of a run of two or more ASCII letters that means
// something as a whole. Whole words win over products of letters.
func wordToken(run string) (kind, uint8, bool) {
	if len(run) > 16 {
		return 0, 0, false
	}
	if aux := auxGreekName(run); aux != 0 {
		return tName, aux, true
	}
	var buf [16]byte
	upper := 0
	for i := 0; i < len(run); i++ {
		c := run[i]
		if c < 'a' {
			upper++
			c += 'a' - 'A'
		}
		buf[i] = c
	}
	if upper > 0 && !(upper == 1 && run[0] < 'a') && (upper != len(run) || upper == 2 && run != "OR") {
		return 0, 0, false
	}
	switch string(buf[:len(run)]) {
	case "sqrt":
		return tSqrt, 2, true
	case "cbrt":
		return tSqrt, 3, true
	case "root":
		return tRoot, 0, true
	case "abs":
		return tAbs, 0, true
	case "sum":
		return tSum, 0, true
	case "and":
		return tAnd, 0, true
	case "or":
		return tOr, 0, true
	case "not":
		return tNot, 0, true
	case "in":
		return tIn, 0, true
	case "union":
		return tUnion, 0, true
	case "oo", "inf", "infinity":
		return tInfinity, 0, true
	case "iff", "equivalently":
		return tLink, uint8(TwoWay), true
	case "hence", "so", "therefore", "thus", "implies":
		return tLink, uint8(Forward), true
	case "because", "since":
		return tLink, uint8(Backward), true
	case "no":
		return tWord, uint8(wNo), true
	case "none", "nothing":
		return tWord, uint8(wNone), true
	case "there":
		return tWord, uint8(wThere), true
	case "is", "are":
		return tWord, uint8(wIs), true
	case "solution", "solutions", "roots", "integer", "integers", "real", "reals", "such", "value", "values",
		"answer", "answers", "number", "numbers", "exist", "exists", "pair", "pairs", "rational", "rationals",
		"natural", "naturals":
		return tWord, uint8(wThing), true
	case "all", "every", "any":
		return tWord, uint8(wAll), true
	case "we", "have", "get", "obtain", "that":
		return tWord, uint8(wFiller), true
	case "if":
		return tWord, uint8(wIf), true
	case "only":
		return tWord, uint8(wOnly), true
	case "to":
		return tWord, uint8(wTo), true
	case "from":
		return tWord, uint8(wFrom), true
	case "cyc", "sym":
		return tWord, uint8(wCyclic), true
	case "the", "for", "let", "but", "has", "yes", "now", "sin", "cos", "tan", "log", "exp",
		"max", "min", "mod", "div", "one", "two", "how", "why", "who", "say", "see", "use", "put", "try", "our", "its",
		"odd", "add", "can", "was", "may", "must", "just", "part":
		return tWord, uint8(wOther), true
	}
	return 0, 0, false
}

// likeProduct reports whether an unknown run of letters is read as a product
// of single letters: up to three letters; more in alphabetical order (abcde)
// or of letters usual for products only (acbd). Anything else is taken for a
// word, so that prose is not marked as algebra.
func likeProduct(run string) bool {
	if len(run) <= 3 {
		return true
	}
	usual := "abcdxyz"
	if len(run) == 4 {
		usual = "abcdmnpqrstuvwxyz"
	}
	ordered, known := true, true
	for i := range len(run) {
		ordered = ordered && (i == 0 || run[i] >= run[i-1])
		known = known && strings.IndexByte(usual, run[i]|0x20) >= 0
	}
	return ordered || known
}

// endsInFunction is the length of a function word at the end of a run
// (xsqrt), 0 if there is none.
func endsInFunction(run string) int {
	for _, f := range [...]string{"sqrt", "cbrt", "abs"} {
		if strings.HasSuffix(run, f) {
			return len(f)
		}
	}
	return 0
}

// command is the token of a LaTeX command (without its backslash). The kinds
// tEnd and tOther stand for spacing, which is skipped, and for commands with
// an argument that the lexer handles itself.
func command(name string) (kind, uint8, bool) {
	if aux := auxGreekName(name); aux != 0 {
		return tName, aux, true
	}
	switch name {
	case "quad", "qquad", "displaystyle", "textstyle", "limits", "nolimits", "thinspace", "space", "enspace":
		return tEnd, 0, true
	case "left", "right", "bigl", "bigr", "Bigl", "Bigr", "biggl", "biggr", "Biggl", "Biggr", "big", "Big", "bigg", "Bigg",
		"text", "textrm", "mathrm", "mbox", "textbf", "textit", "mathit", "mathbb", "mathbf":
		return tOther, 0, true
	case "varepsilon":
		return tName, auxGreekName("epsilon"), true
	case "varphi":
		return tName, auxGreekName("phi"), true
	case "vartheta":
		return tName, auxGreekName("theta"), true
	case "frac", "dfrac", "tfrac", "cfrac":
		return tFrac, 0, true
	case "sqrt":
		return tLatexSqrt, 0, true
	case "cdot", "times", "ast":
		return tTimes, 0, true
	case "div":
		return tDivide, 0, true
	case "pm":
		return tPlusMinus, 0, true
	case "le", "leq", "leqslant", "leqq":
		return tRelation, uint8(Le), true
	case "ge", "geq", "geqslant", "geqq":
		return tRelation, uint8(Ge), true
	case "lt":
		return tRelation, uint8(Lt), true
	case "gt":
		return tRelation, uint8(Gt), true
	case "ne", "neq":
		return tRelation, uint8(Ne), true
	case "iff", "Leftrightarrow", "Longleftrightarrow", "leftrightarrow":
		return tLink, uint8(TwoWay), true
	case "implies", "Rightarrow", "Longrightarrow", "therefore", "rightarrow", "to":
		return tLink, uint8(Forward), true
	case "impliedby", "Leftarrow", "Longleftarrow", "because":
		return tLink, uint8(Backward), true
	case "land", "wedge":
		return tAnd, 0, true
	case "lor", "vee":
		return tOr, 0, true
	case "lnot", "neg":
		return tNot, 0, true
	case "in":
		return tIn, 0, true
	case "notin":
		return tNotIn, 0, true
	case "cup":
		return tUnion, 0, true
	case "cap":
		return tMeet, 0, true
	case "setminus", "smallsetminus":
		return tWithout, 0, true
	case "emptyset", "varnothing":
		return tEmpty, 0, true
	case "infty":
		return tInfinity, 0, true
	case "ldots", "dots", "cdots", "dotsb", "dotsc":
		return tDots, 0, true
	case "lvert":
		return tLBar, 0, true
	case "rvert":
		return tRBar, 0, true
	case "vert", "mid":
		return tBar, 0, true
	case "lbrace":
		return tLSet, 0, true
	case "rbrace":
		return tRSet, 0, true
	case "lbrack":
		return tLBracket, 0, true
	case "rbrack":
		return tRBracket, 0, true
	case "sum":
		return tSum, 0, true
	case "R", "Z", "N", "Q":
		return tStandard, name[0], true
	}
	return 0, 0, false
}
