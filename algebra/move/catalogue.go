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
	&multiplyByKnownSign,
	&divideByKnownSign,
	&squareBothSides,
	&takeRoots,
	// one way
	&dropPositiveConstant,
	&addNonNegative,
	// solving
	&rootsOfBothSigns,
	&zeroProduct,
	&squaresSumZero,
	&quadraticInterval,
	&modulusBounds,
	&signsOfProduct,
	&integerSquares,
	&integersBetween,
	&neverTrue,
	// several lines
	&introduceName,
	&substituteValue,
	&substituteEquation,
	&combineEquations,
	&chainInequalities,
	&addInequalities,
	&multiplyInequalities,
	&splitCases,
	&rejoinCases,
	// facts
	&givenFact,
	&squareNonNegative,
	&squaresNonNegative,
	&knownSigns,
	&numberFact,
	&identityFact,
	&chainOfRelations,
}

// Retired lists the ids of moves that are no longer tried, with the reason.
var Retired = map[string]string{}

// rewritings is the number of moves at the head of the catalogue that rest on
// the core of rewriting alone; named tells which of them name the same thing,
// so that one of each group is enough.
var (
	rewritings = Catalogue[:14]
	written    = Catalogue[:9]
	acrossed   = Catalogue[9:14]
)
