package platform

// RefusalCode says why a bearer token was refused; the set is closed, so it can label a metric.
type RefusalCode string

// The refusal codes.
const (
	RefusedSize        RefusalCode = "size"             // longer than 16 KiB
	RefusedForm        RefusalCode = "form"             // not three base64url segments of strict JSON objects
	RefusedCritical    RefusalCode = "critical"         // demands an extension that is not understood
	RefusedIssuer      RefusalCode = "issuer"           // missing, or not a registered platform
	RefusedAlgorithm   RefusalCode = "algorithm"        // not on the list for this issuer or not that of the key
	RefusedType        RefusalCode = "type"             // another kind of token
	RefusedKey         RefusalCode = "key"              // no key identifier, or none of the issuer's keys
	RefusedKeysMissing RefusalCode = "keys-unavailable" // the issuer's keys cannot be had at the moment
	RefusedSignature   RefusalCode = "signature"        // does not fit
	RefusedAudience    RefusalCode = "audience"         // missing, or not this service
	RefusedExpired     RefusalCode = "expired"          // the token's time is over
	RefusedEarly       RefusalCode = "not-yet-valid"    // issued or valid only in the future
	RefusedAge         RefusalCode = "age"              // issued too long ago
	RefusedLifetime    RefusalCode = "lifetime"         // meant to be valid for too long
	RefusedSubject     RefusalCode = "subject"          // missing, blank, too long or not ASCII
	RefusedClaims      RefusalCode = "claims"           // a claim is missing or of the wrong type
	RefusedPlatform    RefusalCode = "platform"         // a receipt that was made for another platform
)

// RefusalCodes lists every code.
func RefusalCodes() []RefusalCode {
	return []RefusalCode{
		RefusedSize, RefusedForm, RefusedCritical, RefusedIssuer, RefusedAlgorithm, RefusedType, RefusedKey,
		RefusedKeysMissing, RefusedSignature, RefusedAudience, RefusedExpired, RefusedEarly, RefusedAge,
		RefusedLifetime, RefusedSubject, RefusedClaims, RefusedPlatform,
	}
}

// Refusal is the answer to a token that is not good. It holds no text of the token.
type Refusal struct {
	Code RefusalCode
	Text string // for the integrator; one sentence of this package
}

// Error is the text.
func (r *Refusal) Error() string { return r.Text }

// Temporary tells that the token may be good but cannot be judged now: answer 503 rather than 401.
func (r *Refusal) Temporary() bool { return r.Code == RefusedKeysMissing }

// refuse pairs a code with its sentence; all wording is here.
func refuse(code RefusalCode) *Refusal {
	text := map[RefusalCode]string{
		RefusedSize:        "the token is longer than this service reads",
		RefusedForm:        "expected a signed token in compact form: three base64url segments, JSON objects in UTF-8 without repeated names",
		RefusedCritical:    "the token's header demands extensions that this service does not understand",
		RefusedIssuer:      "the token's issuer is missing or not registered here",
		RefusedAlgorithm:   "the token's algorithm is not the one agreed on for this issuer and key",
		RefusedType:        "the token is of another kind than this service takes",
		RefusedKey:         "the token names none of its issuer's keys",
		RefusedKeysMissing: "the issuer's keys cannot be read at the moment",
		RefusedSignature:   "the token's signature does not fit",
		RefusedAudience:    "the token is not meant for this service",
		RefusedExpired:     "the token has expired",
		RefusedEarly:       "the token is not valid yet: compare the clocks",
		RefusedAge:         "the token was issued too long ago",
		RefusedLifetime:    "the token is valid for longer than this service accepts",
		RefusedSubject:     "the token's subject is missing or not 1 to 255 ASCII characters",
		RefusedClaims:      "a claim of the token is missing or of the wrong type",
		RefusedPlatform:    "the receipt was made for another platform",
	}
	return &Refusal{Code: code, Text: text[code]}
}
