package api

import (
	"mime"
	"net/http"
	"strconv"
	"strings"

	"squaremark/api/contract"
)

// acceptable tells whether one of the offered media types may be sent. A missing Accept takes everything, and
// application/json takes every type that is JSON by its suffix.
//
// Source: RFC 9110, section 12.5.1; RFC 6839, section 3.1 (suffix).
func acceptable(header http.Header, offered []string) bool {
	fields := header.Values("Accept")
	if len(fields) == 0 || len(offered) == 0 {
		return true
	}
	for _, part := range strings.Split(strings.Join(fields, ","), ",") {
		wanted, parameters, err := mime.ParseMediaType(part)
		if err != nil {
			continue
		}
		if quality, err := strconv.ParseFloat(parameters["q"], 64); err == nil && quality <= 0 {
			continue
		}
		for _, offer := range offered {
			if covers(wanted, offer) {
				return true
			}
		}
	}
	return false
}

func covers(wanted, offer string) bool {
	group, _, _ := strings.Cut(offer, "/")
	return wanted == "*/*" || wanted == group+"/*" || wanted == offer ||
		wanted == "application/json" && strings.HasSuffix(offer, "+json")
}

// checkMediaType wants the media type of the contract in UTF-8 without content coding.
func checkMediaType(header http.Header, wanted string) *Problem {
	refuse := func(why string) *Problem {
		return problem(contract.ProblemTypeUnsupportedMediaType, why).
			with("Accept", wanted).with("Accept-Encoding", "identity")
	}
	if coding := header.Get("Content-Encoding"); coding != "" && !strings.EqualFold(coding, "identity") {
		return refuse("Send the body without content coding.")
	}
	fields := header.Values("Content-Type")
	if len(fields) != 1 {
		return refuse("Send one Content-Type header field: " + wanted + ".")
	}
	kind, parameters, err := mime.ParseMediaType(fields[0])
	if err != nil || kind != wanted {
		return refuse("Send the body as " + wanted + ".")
	}
	if charset := parameters["charset"]; charset != "" && !strings.EqualFold(charset, "utf-8") {
		return refuse("Send JSON in UTF-8.")
	}
	return nil
}
