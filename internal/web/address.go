package web

import (
	"net/http"
	"net/netip"
	"strings"
)

// remote is where a request comes from: the other end of the connection or, where that
// is a proxy that the configuration names, what the proxy says of its other end. Anybody
// may write the header; so only what a named proxy added at its end counts.
func (s *Server) remote(r *http.Request) netip.Addr {
	from, err := netip.ParseAddrPort(r.RemoteAddr)
	if err != nil {
		return netip.Addr{}
	}
	at := from.Addr().Unmap().WithZone("")
	said := strings.Split(strings.Join(r.Header.Values("X-Forwarded-For"), ","), ",")
	for i := len(said) - 1; i >= 0 && s.isProxy(at); i-- {
		before, err := netip.ParseAddr(strings.TrimSpace(said[i]))
		if err != nil {
			break
		}
		at = before.Unmap().WithZone("")
	}
	return at
}

// address names where a request comes from. Of IPv6 it is the network of 64 bits, as
// one machine has all of its addresses.
func (s *Server) address(r *http.Request) string {
	at := s.remote(r)
	if network, err := at.Prefix(64); err == nil && at.Is6() {
		return network.String()
	}
	return at.String()
}

func (s *Server) isProxy(at netip.Addr) bool {
	for _, proxy := range s.Proxies {
		if proxy.Contains(at) {
			return true
		}
	}
	return false
}
