package slip

// Catalogue lists every slip, the more telling before the more general.
func Catalogue() []*Slip {
	return []*Slip{
		&bracketSign,
		&constantNotCompensated,
		&compensatedTwice,
		&halvedNotSquared,
		&squaredNotHalved,
		&leadingCoefficient,
		&crossTermDropped,
		&crossTermNotDoubled,
		&signNotTurned,
		&strictness,
		&movedWithoutSign,
		&minusNotDistributed,
		&bracketNotMultiplied,
		&cancelledTerms,
		&rootTermByTerm,
		&rootLost,
		&rootOneSided,
		&unequalSquares,
		&squaredUnsigned,
		&unknownSign,
		&mayBeZero,
		&tupleOrder,
		&boundary,
		&bracketValues,
		&shiftedWrongWay,
		&endTerm,
		&indexOffByOne,
		&termLost,
		&oneCoefficient,
	}
}

// TupleOrder is the id of the slip that exchanges the numbers of a tuple.
const TupleOrder = "tuple-order"
