package syntax

// vulgarOf maps the vulgar fractions.
func vulgarOf(r rune) char {
	switch r {
	case '½':
		return vulgar(1, 2)
	case '⅓':
		return vulgar(1, 3)
	case '⅔':
		return vulgar(2, 3)
	case '¼':
		return vulgar(1, 4)
	case '¾':
		return vulgar(3, 4)
	case '⅕':
		return vulgar(1, 5)
	case '⅖':
		return vulgar(2, 5)
	case '⅗':
		return vulgar(3, 5)
	case '⅘':
		return vulgar(4, 5)
	case '⅙':
		return vulgar(1, 6)
	case '⅚':
		return vulgar(5, 6)
	case '⅐':
		return vulgar(1, 7)
	case '⅛':
		return vulgar(1, 8)
	case '⅜':
		return vulgar(3, 8)
	case '⅝':
		return vulgar(5, 8)
	case '⅞':
		return vulgar(7, 8)
	case '⅑':
		return vulgar(1, 9)
	case '⅒':
		return vulgar(1, 10)
	}
	return char{}
}

// signOf maps signs: one meaning for each, whatever its look.
func signOf(r rune) char {
	at := func(k kind, aux uint8) char { return char{sign, k, aux, onLine} }
	up := func(k kind) char { return char{sign, k, 0, raised} }
	down := func(k kind, aux uint8) char { return char{sign, k, aux, lowered} }
	switch r {
	case '²':
		return char{digit, tNumber, 2, raised}
	case '³':
		return char{digit, tNumber, 3, raised}
	case '¹':
		return char{digit, tNumber, 1, raised}
	case '⁺':
		return up(tPlus)
	case '⁻':
		return up(tMinus)
	case '⁼':
		return char{sign, tRelation, uint8(Eq), raised}
	case '⁽':
		return up(tLParen)
	case '⁾':
		return up(tRParen)
	case '₊':
		return down(tPlus, 0)
	case '₋':
		return down(tMinus, 0)
	case '₌':
		return down(tRelation, uint8(Eq))
	case '₍':
		return down(tLParen, 0)
	case '₎':
		return down(tRParen, 0)
	case '−', '‐', '‑', '‒', '–', '﹣', '－', '➖':
		return at(tMinus, 0)
	case '—', '―', '⸺', '⸻':
		return char{class: emDash}
	case '＋', '﹢', '⁤', '➕':
		return at(tPlus, 0)
	case '±':
		return at(tPlusMinus, 0)
	case '×', '⋅', '·', '∙', '•', '∗', '⨯', '✕', '＊', '⁢', '⋆':
		return at(tTimes, 0)
	case '÷', '∕', '⁄', '／':
		return at(tDivide, 0)
	case '∶', '：':
		return at(tColon, 0)
	case '＾':
		return at(tPower, 0)
	case '（':
		return at(tLParen, 0)
	case '）':
		return at(tRParen, 0)
	case '［':
		return at(tLBracket, 0)
	case '］':
		return at(tRBracket, 0)
	case '｛':
		return at(tLBrace, 0)
	case '｝':
		return at(tRBrace, 0)
	case '∣', '｜', 'ǀ':
		return at(tBar, 0)
	case '，', '⁣':
		return at(tComma, 0)
	case '；':
		return at(tSemicolon, 0)
	case '＝', '﹦':
		return at(tRelation, uint8(Eq))
	case '≠':
		return at(tRelation, uint8(Ne))
	case '＜', '﹤':
		return at(tRelation, uint8(Lt))
	case '＞', '﹥':
		return at(tRelation, uint8(Gt))
	case '≤', '⩽', '≦', '≲':
		return at(tRelation, uint8(Le))
	case '≥', '⩾', '≧', '≳':
		return at(tRelation, uint8(Ge))
	case '⇒', '⟹', '∴':
		return at(tLink, uint8(Forward))
	case '⇔', '⟺':
		return at(tLink, uint8(TwoWay))
	case '⇐', '⟸', '∵':
		return at(tLink, uint8(Backward))
	case '→', '⟶':
		return char{arrow, tLink, uint8(Forward), onLine}
	case '↔', '⟷':
		return char{arrow, tLink, uint8(TwoWay), onLine}
	case '∧', '⋀':
		return at(tAnd, 0)
	case '∨', '⋁':
		return at(tOr, 0)
	case '¬':
		return at(tNot, 0)
	case '∈', '∊':
		return at(tIn, 0)
	case '∉':
		return at(tNotIn, 0)
	case '∪', '⋃':
		return at(tUnion, 0)
	case '∩', '⋂':
		return at(tMeet, 0)
	case '∖', '⧵':
		return at(tWithout, 0)
	case '∅', '⌀':
		return at(tEmpty, 0)
	case '∞':
		return at(tInfinity, 0)
	case 'ℝ':
		return at(tStandard, 'R')
	case 'ℤ':
		return at(tStandard, 'Z')
	case 'ℕ':
		return at(tStandard, 'N')
	case 'ℚ':
		return at(tStandard, 'Q')
	case '√':
		return at(tSqrt, 2)
	case '∛':
		return at(tSqrt, 3)
	case '∜':
		return at(tSqrt, 4)
	case '∑':
		return at(tSum, 0)
	case '…', '⋯':
		return at(tDots, 0)
	case '‥':
		return at(tRange, 0)
	case '≈', '≃', '≅', '∼', '≐', '≡':
		return char{class: almost}
	case '′', '″', '’', '´':
		return char{class: prime}
	case 0xa0, 0x202f, 0x205f, 0x3000, 0x1680:
		return char{class: blank}
	case 0x85, 0x2028, 0x2029:
		return char{class: lineBreak}
	case 0x200b, 0x200c, 0x200d, 0x2060, 0xfeff, 0xad, 0x200e, 0x200f:
		return char{class: stripped}
	case 0x2061:
		return char{class: skipped}
	}
	return char{}
}

// letterOf maps single letters of other kinds to names.
func letterOf(r rune) char {
	letter := func(c byte, l level) char { return char{sign, tName, auxLetter(c), l} }
	like := func(c byte) char { return char{lookalike, tName, auxLetter(c), onLine} }
	switch r {
	// Cyrillic letters with the shape of a Latin one (UTS 39 lists them).
	case 'а':
		return like('a')
	case 'е':
		return like('e')
	case 'о':
		return like('o')
	case 'р':
		return like('p')
	case 'с':
		return like('c')
	case 'у':
		return like('y')
	case 'х':
		return like('x')
	case 'і':
		return like('i')
	case 'А':
		return like('A')
	case 'В':
		return like('B')
	case 'С':
		return like('C')
	case 'Е':
		return like('E')
	case 'М':
		return like('M')
	case 'Н':
		return like('H')
	case 'К':
		return like('K')
	case 'Р':
		return like('P')
	case 'Т':
		return like('T')
	case 'Х':
		return like('X')
	case 'µ':
		return char{sign, tName, auxGreek + 11, onLine}
	case 'ϵ':
		return char{sign, tName, auxGreek + 4, onLine}
	case 'ϑ':
		return char{sign, tName, auxGreek + 7, onLine}
	case 'ϕ':
		return char{sign, tName, auxGreek + 21, onLine}
	case 'ℎ':
		return letter('h', onLine)
	case 'ℓ':
		return letter('l', onLine)
	}
	if c := raisedLetter(r); c != 0 {
		return letter(c, raised)
	}
	if c := loweredLetter(r); c != 0 {
		return letter(c, lowered)
	}
	return char{}
}

// raisedLetter is the letter that a raised one stands for, 0 for none.
func raisedLetter(r rune) byte {
	const from, to = "ⁿⁱᵃᵇᶜᵈᵉᶠᵍʰʲᵏˡᵐᵒᵖʳˢᵗᵘᵛʷˣʸᶻ", "niabcdefghjklmoprstuvwxyz"
	return counterpart(r, from, to)
}

// loweredLetter is the letter that a lowered one stands for, 0 for none.
func loweredLetter(r rune) byte {
	const from, to = "ₐₑₒₓₕₖₗₘₙₚₛₜᵢⱼᵣᵤᵥ", "aeoxhklmnpstijruv"
	return counterpart(r, from, to)
}

// counterpart is the byte of to at the place of r in from, 0 for none.
func counterpart(r rune, from, to string) byte {
	i := 0
	for _, f := range from {
		if f == r {
			return to[i]
		}
		i++
	}
	return 0
}
