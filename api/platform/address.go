package platform

import (
	"errors"
	"fmt"
	"net"
	"net/netip"
	"slices"
	"syscall"
	"time"
)

// errAddress is what a dial to an address out of reach ends in; it never names the address.
var errAddress = errors.New("the target resolves to an address that is out of reach")

// notPublic lists the special-purpose ranges inside the unicast space that no outgoing call may reach.
// Source: the registries of RFC 6890, from memory.
func notPublic() []netip.Prefix {
	return []netip.Prefix{
		netip.MustParsePrefix("0.0.0.0/8"),       // this network, unspecified
		netip.MustParsePrefix("10.0.0.0/8"),      // private
		netip.MustParsePrefix("100.64.0.0/10"),   // shared between provider and customer
		netip.MustParsePrefix("127.0.0.0/8"),     // loopback
		netip.MustParsePrefix("169.254.0.0/16"),  // link-local, cloud metadata
		netip.MustParsePrefix("172.16.0.0/12"),   // private
		netip.MustParsePrefix("192.0.0.0/24"),    // protocol assignments
		netip.MustParsePrefix("192.0.2.0/24"),    // documentation
		netip.MustParsePrefix("192.88.99.0/24"),  // former 6to4 relays
		netip.MustParsePrefix("192.168.0.0/16"),  // private
		netip.MustParsePrefix("198.18.0.0/15"),   // benchmarking
		netip.MustParsePrefix("198.51.100.0/24"), // documentation
		netip.MustParsePrefix("203.0.113.0/24"),  // documentation
		netip.MustParsePrefix("224.0.0.0/4"),     // multicast
		netip.MustParsePrefix("240.0.0.0/4"),     // reserved, broadcast
		netip.MustParsePrefix("2001::/23"),       // protocol assignments, Teredo
		netip.MustParsePrefix("2001:db8::/32"),   // documentation
		netip.MustParsePrefix("2002::/16"),       // 6to4: an IPv4 address in disguise
		netip.MustParsePrefix("3fff::/20"),       // documentation
	}
}

// globalIPv6 is the only part of the IPv6 space handed out for public hosts. Loopback, unspecified, unique-local,
// link-local, multicast, IPv4-mapped and NAT64 (64:ff9b::/96, 64:ff9b:1::/48) addresses all lie outside.
func globalIPv6() netip.Prefix { return netip.MustParsePrefix("2000::/3") }

// private are the ranges that an operator may open, whole or in part: networks of one's own and this machine. All
// others that are not public (link-local with its metadata services, documentation, multicast, addresses in disguise)
// stay closed whatever the configuration says. Source: RFC 1918, RFC 4193, RFC 6598, from memory.
func private() []netip.Prefix {
	return []netip.Prefix{
		netip.MustParsePrefix("10.0.0.0/8"),
		netip.MustParsePrefix("172.16.0.0/12"),
		netip.MustParsePrefix("192.168.0.0/16"),
		netip.MustParsePrefix("100.64.0.0/10"),
		netip.MustParsePrefix("127.0.0.0/8"),
		netip.MustParsePrefix("fc00::/7"),
		netip.MustParsePrefix("::1/128"),
	}
}

// ParseNetworks reads the private networks that outgoing calls may reach besides the public one, in CIDR form: a
// course platform inside a school's own network.
//
// Domain: prefixes inside 10.0.0.0/8, 172.16.0.0/12, 192.168.0.0/16, 100.64.0.0/10, 127.0.0.0/8, fc00::/7 or ::1, with
// no bits set behind the prefix. Errors: name the place in the list and the defect.
func ParseNetworks(texts []string) ([]netip.Prefix, error) {
	var networks []netip.Prefix
	for i, text := range texts {
		prefix, err := netip.ParsePrefix(text)
		switch {
		case err != nil:
			return nil, fmt.Errorf("network %d: expected an address and a length, such as 10.20.0.0/16", i+1)
		case prefix != prefix.Masked():
			return nil, fmt.Errorf("network %d: bits are set behind the prefix; did you mean %s?", i+1, prefix.Masked())
		case !slices.ContainsFunc(private(), func(p netip.Prefix) bool {
			return p.Contains(prefix.Addr()) && p.Bits() <= prefix.Bits()
		}):
			return nil, fmt.Errorf("network %d: %s is not part of a private network", i+1, prefix)
		}
		networks = append(networks, prefix)
	}
	return networks, nil
}

// reach says what may be called besides public addresses.
type reach struct {
	loopback bool
	networks []netip.Prefix // from ParseNetworks
}

// allows decides on one resolved address. Cost: one pass over short lists.
func (r reach) allows(addr netip.Addr) bool {
	if addr.Zone() != "" || addr.Is4In6() {
		return false
	}
	if slices.ContainsFunc(r.networks, func(p netip.Prefix) bool { return p.Contains(addr) }) {
		return true
	}
	if addr.IsLoopback() {
		return r.loopback
	}
	if addr.Is6() && !globalIPv6().Contains(addr) {
		return false
	}
	for _, prefix := range notPublic() {
		if prefix.Contains(addr) {
			return false
		}
	}
	return addr.IsValid()
}

// NewDialer makes a dialer that looks at the resolved address at the moment of connecting, for every attempt, so that
// a name cannot change between check and connection. Loopback is reachable only with allowLoopback, which is for
// tests and the demo; private networks only when they are listed (see [ParseNetworks]).
//
// Errors: the refusal never names the address. Source: Standard Webhooks 1.0.0, server side request forgery;
// OWASP API Security 2023, API7.
func NewDialer(connectTimeout time.Duration, allowLoopback bool, networks ...netip.Prefix) *net.Dialer {
	permitted := reach{loopback: allowLoopback, networks: networks}
	return &net.Dialer{
		Timeout: connectTimeout,
		Control: func(network, address string, _ syscall.RawConn) error {
			target, err := netip.ParseAddrPort(address)
			if err != nil || (network != "tcp4" && network != "tcp6") || !permitted.allows(target.Addr()) {
				return errAddress
			}
			return nil
		},
	}
}
