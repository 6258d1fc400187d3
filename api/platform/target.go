package platform

import (
	"errors"
	"fmt"
	"net/netip"
	"net/url"
	"strconv"
	"strings"
)

// maxURL bounds every address this package calls, in octets.
const maxURL = 2048

// target is an address that passed the one strict parse. The text is kept as it was written.
type target struct {
	raw    string
	origin string // scheme://host[:port], as written
	url    *url.URL
}

// parseTarget reads an absolute address. There is one spelling for every origin: lower case, no user information, no
// fragment, no trailing dot, no default port, no escapes in the host; and the path has neither dot segments nor
// back-slashes, escaped or not. Anything else is refused rather than normalised.
//
// Source: OWASP ASVS 5.0, V1.3.6 and V13.2.4.
func parseTarget(raw string, plainHTTP bool) (target, error) {
	if len(raw) > maxURL {
		return target{}, fmt.Errorf("the address is longer than %d octets", maxURL)
	}
	for i := 0; i < len(raw); i++ {
		if c := raw[i]; c <= ' ' || c > '~' || strings.IndexByte("\\#\"<>^`{|}", c) >= 0 {
			return target{}, errors.New("the address holds a character that does not belong there")
		}
	}
	scheme, rest, found := strings.Cut(raw, "://")
	if !found || (scheme != "https" && !(plainHTTP && scheme == "http")) {
		return target{}, errors.New("expected an address that begins with https://")
	}
	u, err := url.Parse(raw)
	if err != nil {
		return target{}, errors.New("the address cannot be read")
	}
	authority := rest
	if end := strings.IndexAny(rest, "/?"); end >= 0 {
		authority = rest[:end]
	}
	if u.Opaque != "" || u.User != nil || u.Host != authority {
		return target{}, errors.New("the address has user information or an unusual host")
	}
	if err := checkHost(scheme, u); err != nil {
		return target{}, err
	}
	if err := checkPath(u.EscapedPath()); err != nil {
		return target{}, err
	}
	return target{raw: raw, origin: scheme + "://" + u.Host, url: u}, nil
}

func checkHost(scheme string, u *url.URL) error {
	host := u.Hostname()
	if strings.HasPrefix(u.Host, "[") {
		if addr, err := netip.ParseAddr(host); err != nil || addr.Zone() != "" || addr.String() != host {
			return errors.New("the IPv6 address of the host is not in its usual form")
		}
	} else if !plainName(host) {
		return errors.New("expected a host of lower-case letters, digits, hyphens and inner dots")
	}
	port := u.Port()
	if port == "" {
		if strings.HasSuffix(u.Host, ":") {
			return errors.New("the port is empty")
		}
		return nil
	}
	number, err := strconv.ParseUint(port, 10, 16)
	if err != nil || number == 0 || strconv.FormatUint(number, 10) != port {
		return errors.New("the port is not a number from 1 to 65535")
	}
	if (scheme == "https" && number == 443) || (scheme == "http" && number == 80) {
		return errors.New("leave out the port: it is the usual one")
	}
	return nil
}

func plainName(host string) bool {
	if host == "" || len(host) > 253 {
		return false
	}
	for _, label := range strings.Split(host, ".") {
		if label == "" || len(label) > 63 || label[0] == '-' || label[len(label)-1] == '-' {
			return false
		}
		for i := 0; i < len(label); i++ {
			c := label[i]
			if !(c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || c == '-') {
				return false
			}
		}
	}
	return true
}

func checkPath(path string) error {
	for _, segment := range strings.Split(strings.ToLower(path), "/") {
		if segment == "." || segment == ".." || strings.Contains(segment, "%2e") || strings.Contains(segment, "%5c") {
			return errors.New("the path has dot segments or back-slashes")
		}
	}
	return nil
}

// checkOrigin reads an entry of a list of permitted origins: scheme, host and port, nothing after.
func checkOrigin(raw string, plainHTTP bool) error {
	t, err := parseTarget(raw, plainHTTP)
	if err != nil {
		return err
	}
	if t.raw != t.origin {
		return errors.New("expected an origin: scheme, host and port, without path or query")
	}
	return nil
}
