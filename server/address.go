package server

import (
	"net"
	"net/netip"
	"net/url"
	"slices"
	"strconv"
	"strings"
)

// isLoopback reports whether only this machine can reach a host to listen at.
// A name other than localhost may mean any address, so it is not taken for one.
func isLoopback(host string) bool {
	if addr, err := netip.ParseAddr(host); err == nil {
		return addr.Unmap().IsLoopback()
	}
	return strings.EqualFold(host, "localhost")
}

func portOf(addr net.Addr) int {
	if tcp, ok := addr.(*net.TCPAddr); ok {
		return tcp.Port
	}
	return 0
}

// Code gives the pairing code, "" when nobody is asked for one.
func (s *Server) Code() string {
	if s.pairing == nil {
		return ""
	}
	return s.pairing.owner.code
}

// URL gives the address of the page, with the pairing code when there is one:
// what goes into the QR code. It is "" before Listen.
func (s *Server) URL() string {
	if urls := s.URLs(); len(urls) > 0 {
		return urls[0]
	}
	return ""
}

// URLs gives every address by which the page may be reached, the likeliest
// first. A machine on the lamps' network and on the phones' has at least two.
func (s *Server) URLs() []string { return s.urls(s.Code()) }

// urls gives the addresses with a code.
func (s *Server) urls(code string) []string {
	s.mu.Lock()
	l := s.listener
	s.mu.Unlock()
	if l == nil {
		return nil
	}
	host, _, _ := net.SplitHostPort(s.cfg.Listen) // New has checked it
	hosts := []string{host}
	if addr, err := netip.ParseAddr(host); host == "" || err == nil && addr.IsUnspecified() {
		hosts = ownAddresses()
	}
	urls := make([]string, len(hosts))
	for i, h := range hosts {
		u := url.URL{Scheme: "http", Host: net.JoinHostPort(h, strconv.Itoa(portOf(l.Addr())))}
		urls[i] = withCode(u, code)
	}
	return urls
}

// withCode gives an address of the page with a pairing code; "" for none.
func withCode(u url.URL, code string) string {
	if code != "" {
		u.Path, u.RawQuery = "/", url.Values{"code": {code}}.Encode()
	}
	return u.String()
}

// ownAddresses gives this machine's IPv4 addresses as others may reach it:
// those of private networks first (RFC 1918), then the rest, and the loopback
// address when there is no other.
func ownAddresses() []string {
	var private, other []string
	addrs, err := net.InterfaceAddrs()
	if err != nil {
		addrs = nil
	}
	for _, a := range addrs {
		prefix, err := netip.ParsePrefix(a.String())
		if err != nil {
			continue
		}
		switch addr := prefix.Addr().Unmap(); {
		case !addr.Is4() || addr.IsLoopback() || addr.IsLinkLocalUnicast():
		case addr.IsPrivate():
			private = append(private, addr.String())
		default:
			other = append(other, addr.String())
		}
	}
	if all := slices.Concat(private, other); len(all) > 0 {
		return all
	}
	return []string{"127.0.0.1"}
}
