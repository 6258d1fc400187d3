package move

// Catalogue lists every move, in the order in which they are tried and named.
// A new move is one file, its examples, and its line here. Retired moves stay
// in the list of Retired; ids are never used again.
var Catalogue = []*Move{
	// rewriting
	&swapSides,
	&recogniseSquare,
	&sumOfSquares,
	&differenceOfSquares,
	&completeSquare,
	&commonDenominator,
	&rootOfSquare,
	&factorise,
	&expand,
	&collect,
	// both sides
	&solveLinear,
	&scaleNegative,
	&scalePositive,
	&addToBothSides,
	&moveAcross,
	&rearrange,
	&strictToLoose,
	&clearDenominator,
	&squareBothSides,
	&takeRoots,
	&multiplyByKnownSign,
	&divideByKnownSign,
	// one way
	&dropPositiveConstant,
	&addNonNegative,
	// solving
	&rootsOfBothSigns,
	&zeroProduct,
	&squaresSumZero,
	&signsOfProduct,
	&quadraticInterval,
	&modulusBounds,
	&integerSquares,
	&integerSumOfSquares,
	&integersBetween,
	&neverTrue,
	// several lines
	&introduceName,
	&substituteValue,
	&combineEquations,
	&substituteEquation,
	&chainInequalities,
	&addInequalities,
	&multiplyInequalities,
	&signByEquation,
	&splitCases,
	&rejoinCases,
	&chainOfRelations,
	// facts
	&givenFact,
	&squareNonNegative,
	&squaresNonNegative,
	&knownSigns,
	&numberFact,
	&identityFact,
}

// Retired lists the ids of moves that are no longer tried, with the reason.
var Retired = map[string]string{}

// Of the rewritings, which rest on one core, a step names what was written
// differently and what was done to both sides.
var (
	squares = []*Move{&swapSides, &recogniseSquare, &completeSquare, &sumOfSquares, &differenceOfSquares, &commonDenominator, &rootOfSquare}
	written = []*Move{&factorise, &expand, &collect}
	across  = []*Move{&scaleNegative, &scalePositive, &addToBothSides, &moveAcross}
)

// rest is the part of the catalogue that goes beyond rewriting.
func rest() []*Move {
	for i, m := range Catalogue {
		if m == &strictToLoose {
			return Catalogue[i+1:]
		}
	}
	return Catalogue
}
