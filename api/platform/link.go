package platform

import (
	"net/url"
	"strings"
)

// maxLinkField bounds a Link header field that is read, in octets.
const maxLinkField = 8 << 10

// NextLink is the target of the first link with the relation "next" among the values of Link header fields, resolved
// against the address that was asked; "" when there is none. Relation types are compared without regard to case, of
// several rel parameters only the first counts, and targets may hold commas and semicolons.
//
// Domain: fields of at most 8 KiB together. Source: RFC 8288, sections 3, 3.1 and 3.3, appendix B.2.
func NextLink(fields []string, asked string) string {
	text := strings.Join(fields, ",")
	base, err := url.Parse(asked)
	if err != nil || len(text) > maxLinkField {
		return ""
	}
	for {
		text = strings.TrimLeft(text, " \t,")
		end := strings.IndexByte(text, '>')
		if !strings.HasPrefix(text, "<") || end < 0 {
			return ""
		}
		target := text[1:end]
		var parameters [][2]string
		parameters, text = linkParameters(text[end+1:])
		if !hasRelation(parameters, "next") {
			continue
		}
		next, err := base.Parse(target)
		if err != nil {
			return ""
		}
		return next.String()
	}
}

func hasRelation(parameters [][2]string, wanted string) bool {
	for _, p := range parameters {
		if p[0] == "rel" { // only the first one counts
			for _, relation := range strings.Fields(p[1]) {
				if strings.EqualFold(relation, wanted) {
					return true
				}
			}
			return false
		}
	}
	return false
}

// linkParameters reads the parameters of one link and gives what is behind it.
func linkParameters(text string) (parameters [][2]string, rest string) {
	for {
		text = strings.TrimLeft(text, " \t")
		if !strings.HasPrefix(text, ";") {
			if next := strings.IndexByte(text, ','); next >= 0 {
				return parameters, text[next:]
			}
			return parameters, ""
		}
		text = strings.TrimLeft(text[1:], " \t;")
		end := strings.IndexAny(text, "=;, \t")
		if end < 0 {
			return parameters, ""
		}
		name := strings.ToLower(text[:end])
		text = strings.TrimLeft(text[end:], " \t")
		value := ""
		if strings.HasPrefix(text, "=") {
			value, text = linkValue(strings.TrimLeft(text[1:], " \t"))
		}
		parameters = append(parameters, [2]string{name, value})
	}
}

// linkValue reads a token or a quoted string.
func linkValue(text string) (value, rest string) {
	if !strings.HasPrefix(text, `"`) {
		end := strings.IndexAny(text, ";, \t")
		if end < 0 {
			return text, ""
		}
		return text[:end], text[end:]
	}
	var plain strings.Builder
	for i := 1; i < len(text); i++ {
		switch {
		case text[i] == '"':
			return plain.String(), text[i+1:]
		case text[i] == '\\' && i+1 < len(text):
			i++
		}
		plain.WriteByte(text[i])
	}
	return plain.String(), ""
}
