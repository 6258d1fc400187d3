package api

import (
	"crypto/rand"
	"encoding/hex"
	"strings"
)

// trace is where a request stands in a distributed trace. All ids are random; none tells about anyone.
//
// Source: W3C Trace Context, Traceparent Header, Processing Model.
type trace struct {
	id      string // 32 hex digits
	parent  string // the caller's span, "" when the trace starts here
	span    string // this request
	sampled bool   // the caller's hint
}

// continueTrace continues the trace of a traceparent header, or starts one where there is none or it is not valid.
func continueTrace(fields []string) trace {
	if len(fields) == 1 {
		if t, ok := parseTraceparent(fields[0]); ok {
			t.span = randomHex(8)
			return t
		}
	}
	return trace{id: randomHex(16), span: randomHex(8)}
}

// parseTraceparent reads the known parts. Version 00 has exactly four parts; higher versions may have more.
func parseTraceparent(value string) (trace, bool) {
	const size = len("00-") + 32 + 1 + 16 + 1 + 2
	if len(value) < size || value[2] != '-' || value[35] != '-' || value[52] != '-' {
		return trace{}, false
	}
	version, id, parent, flags := value[:2], value[3:35], value[36:52], value[53:55]
	switch {
	case !lowerHex(version) || !lowerHex(id) || !lowerHex(parent) || !lowerHex(flags), version == "ff":
		return trace{}, false
	case version == "00" && len(value) != size, len(value) > size && value[size] != '-':
		return trace{}, false
	case strings.Trim(id, "0") == "" || strings.Trim(parent, "0") == "":
		return trace{}, false
	}
	bits, err := hex.DecodeString(flags)
	return trace{id: id, parent: parent, sampled: err == nil && bits[0]&1 == 1}, err == nil
}

func lowerHex(s string) bool {
	return strings.Trim(s, "0123456789abcdef") == ""
}

// randomHex never fails: crypto/rand.Read ends the process rather than give weak bytes.
func randomHex(octets int) string {
	raw := make([]byte, octets)
	rand.Read(raw)
	return hex.EncodeToString(raw)
}
