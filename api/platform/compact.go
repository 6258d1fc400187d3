package platform

import (
	"encoding/base64"
	"encoding/json"
	"strings"
)

const (
	// MaxBearer is the longest bearer token that is read, in octets.
	MaxBearer = 16 << 10
	maxKeyID  = 256
)

// jose is the header of a token, as far as it is looked at. Keys or addresses of keys in a header (jwk, jku, x5c,
// x5u) are never read. Source: RFC 8725, section 3.10.
type jose struct {
	algorithm string
	typ       string // "" when absent
	keyID     string // "" when absent
	critical  bool
}

// unverified is a token taken apart, nothing of it checked but its form.
type unverified struct {
	header jose
	claims map[string]json.RawMessage
}

// takeApart reads a compact token: size first, then three base64url segments without padding, then strict JSON.
//
// Domain: at most longest octets. Source: RFC 7515, sections 2, 3.1 and 4; RFC 7519, sections 4 and 7.2.
func takeApart(token string, longest int) (unverified, *Refusal) {
	if len(token) > longest {
		return unverified{}, refuse(RefusedSize)
	}
	segments := strings.Split(token, ".")
	if len(segments) != 3 {
		return unverified{}, refuse(RefusedForm)
	}
	header, okHeader := segmentObject(segments[0])
	claims, okClaims := segmentObject(segments[1])
	if _, err := decodeSegment(segments[2]); err != nil || !okHeader || !okClaims {
		return unverified{}, refuse(RefusedForm)
	}
	read, ok := readHeader(header)
	if !ok {
		return unverified{}, refuse(RefusedForm)
	}
	return unverified{header: read, claims: claims}, nil
}

func decodeSegment(segment string) ([]byte, error) {
	if strings.ContainsAny(segment, "\r\n") { // the decoder would pass over them
		return nil, errJSON
	}
	return base64.RawURLEncoding.Strict().DecodeString(segment)
}

func segmentObject(segment string) (map[string]json.RawMessage, bool) {
	text, err := decodeSegment(segment)
	if err != nil {
		return nil, false
	}
	members, err := strictObject(text)
	return members, err == nil
}

// readHeader takes exact member names and types. Source: RFC 7515, sections 4.1.1, 4.1.4, 4.1.9 and 4.1.11.
func readHeader(members map[string]json.RawMessage) (jose, bool) {
	var h jose
	for name, field := range map[string]*string{"alg": &h.algorithm, "typ": &h.typ, "kid": &h.keyID} {
		raw, stated := members[name]
		if !stated {
			continue
		}
		text, ok := textMember(raw)
		if !ok || text == "" || len(text) > maxKeyID {
			return jose{}, false
		}
		*field = text
	}
	// No extension is understood, so every list of critical ones is a reason to refuse; an empty one is illegal anyway.
	_, h.critical = members["crit"]
	return h, h.algorithm != ""
}
