package platform

import (
	"errors"
	"math/big"
	"strconv"
	"strings"
)

// Bounds on numbers, so that neither our own encoder nor a reader of doubles is led astray by giants.
const (
	maxNumberText = 40  // characters of a JSON number
	maxNumberBits = 256 // numerator and denominator
)

var errNumber = errors.New("score: a number is too long to be sent exactly")

// exactPair writes scoreGiven and scoreMaximum as exact decimals. When one of them has none (10/3 points), both are
// multiplied by the smallest whole number that gives both one: 10/3 of 10 becomes 10 of 30, the same share of the
// line item, because platforms rescale. A nil number stays "".
//
// Exact: always; nothing is rounded. Errors: a text beyond 40 characters.
// Source: elementary (a fraction in lowest terms has a finite decimal exactly when its denominator is 2^a 5^b);
// rescaling: LTI Assignment and Grade Services 2.0, section 3.4.4.
func exactPair(given, maximum *big.Rat) (givenText, maximumText string, err error) {
	factor := big.NewInt(1)
	for _, x := range []*big.Rat{given, maximum} {
		if x == nil {
			continue
		}
		if x.Num().BitLen() > maxNumberBits || x.Denom().BitLen() > maxNumberBits {
			return "", "", errNumber
		}
		factor = lcm(factor, withoutTwosAndFives(x.Denom()))
	}
	if givenText, err = decimal(given, factor); err != nil {
		return "", "", err
	}
	maximumText, err = decimal(maximum, factor)
	return givenText, maximumText, err
}

func lcm(a, b *big.Int) *big.Int {
	g := new(big.Int).GCD(nil, nil, a, b)
	return g.Mul(a, g.Quo(b, g))
}

func withoutTwosAndFives(n *big.Int) *big.Int {
	rest := new(big.Int).Set(n)
	for _, prime := range []*big.Int{big.NewInt(2), big.NewInt(5)} {
		for {
			quotient, remainder := new(big.Int).QuoRem(rest, prime, new(big.Int))
			if remainder.Sign() != 0 {
				break
			}
			rest = quotient
		}
	}
	return rest
}

// decimal writes x times factor, whose product has a finite decimal.
func decimal(x *big.Rat, factor *big.Int) (string, error) {
	if x == nil {
		return "", nil
	}
	product := new(big.Rat).Mul(x, new(big.Rat).SetInt(factor))
	digits, exact := product.FloatPrec()
	if !exact {
		return "", errNumber
	}
	text := product.FloatString(digits)
	if len(text) > maxNumberText {
		return "", errNumber
	}
	return text, nil
}

// parseNumber reads a JSON number exactly. Domain: at most 40 characters and an exponent from -40 to 40.
func parseNumber(text string) (*big.Rat, bool) {
	if text == "" || len(text) > maxNumberText || !(text[0] == '-' || text[0] >= '0' && text[0] <= '9') {
		return nil, false
	}
	if at := strings.IndexAny(text, "eE"); at >= 0 {
		exponent, err := strconv.Atoi(text[at+1:])
		if err != nil || exponent < -maxNumberText || exponent > maxNumberText {
			return nil, false
		}
	}
	return new(big.Rat).SetString(text)
}
