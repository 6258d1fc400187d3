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
		&crossTerm,
		&signNotTurned,
		&strictness,
		&movedWithoutSign,
		&tupleOrder,
		&boundary,
		&bracketValues,
		&shiftedWrongWay,
		&rootLost,
		&rootOneSided,
		&oneCoefficient,
	}
}

// TupleOrder is the id of the slip that exchanges the numbers of a tuple.
const TupleOrder = "tuple-order"
