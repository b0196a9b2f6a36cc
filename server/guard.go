package server

import (
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"strings"
)

// guard lets a request through to next only when it comes from this daemon's
// own page or from a program, never from another site's page in somebody's
// browser, and only when it is paired where that is asked.
func (s *Server) guard(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		p := s.checkHost(r)
		if p == nil {
			p = checkOrigin(r)
		}
		setSecurityHeaders(w.Header(), r.Host, p == nil)
		if p != nil {
			s.refuse(w, r, p)
			return
		}
		if s.pairing != nil {
			role := s.pairing.role(r)
			if s.pairing.stops(w, r, s, role) {
				return
			}
			r = withRole(r, role)
		}
		next.ServeHTTP(w, r)
	})
}

// policy is what a page may load, by kind, and from here alone; what is not named it may
// not load at all: no fonts, frames or plugins (W3C CSP Level 3). Music that a person
// chooses on the phone is played there from memory (blob:), and goes nowhere.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; media-src 'self' blob:; " +
	"worker-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; connect-src "

// setSecurityHeaders says what a browser may do with the answer. The websocket is named
// as well: not every browser counts it to 'self' (W3C CSP 3, 6.7.2.8).
func setSecurityHeaders(h http.Header, host string, trusted bool) {
	connect := "'self'"
	if trusted {
		connect += " ws://" + host
	}
	h.Set("Content-Security-Policy", policy+connect)
	// A photo is taken by the phone's own camera program, sound needs none of these.
	h.Set("Permissions-Policy", "camera=(), microphone=(), geolocation=(), payment=(), usb=(), serial=(), hid=(), midi=()")
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("X-Frame-Options", "DENY")
	// Not no-referrer: a form would then come with `Origin: null`.
	h.Set("Referrer-Policy", "same-origin")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Cache-Control", "no-store")
}

// checkHost refuses a request that was sent to another name. A daemon that
// trusts this machine must do so, or a foreign page could reach it by letting
// its own name point here (DNS rebinding). With pairing, the cookie belongs to
// the name it was set for, so that any name will do.
func (s *Server) checkHost(r *http.Request) *Problem {
	if !plainHost(r.Host) {
		return &Problem{http.StatusBadRequest, codeHost, fmt.Sprintf("%q is no host", r.Host), "Host", "use the address that the daemon prints"}
	}
	if s.pairing != nil && !s.loopback {
		return nil
	}
	host := hostname(r.Host)
	if addr, err := netip.ParseAddr(host); err == nil && addr.Unmap().IsLoopback() {
		return nil
	}
	if strings.EqualFold(host, "localhost") || strings.EqualFold(host, hostname(s.cfg.Listen)) {
		return nil
	}
	return &Problem{
		http.StatusForbidden, codeHost, fmt.Sprintf("this daemon answers this machine only, not as %q", host), "Host",
		"use the address that the daemon prints; to let phones in, start it with --listen 0.0.0.0:4040",
	}
}

// plainHost reports whether a Host header has only what a name, an address
// and a port are made of (RFC 3986 3.2.2). It is quoted in a header of ours.
func plainHost(host string) bool {
	return host != "" && len(host) <= 255 && !strings.ContainsFunc(host, func(c rune) bool {
		return !(c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || strings.ContainsRune("-._:[]", c))
	})
}

// hostname is host without port and brackets.
func hostname(host string) string {
	if name, _, err := net.SplitHostPort(host); err == nil {
		return name
	}
	return strings.TrimSuffix(strings.TrimPrefix(host, "["), "]")
}

// checkOrigin refuses what a page of another origin asks for. Origin is what
// the browser says of that page (RFC 6454); programs send none. Browsers leave
// it out of plain reads, and say there by Sec-Fetch-Site whose page it is (W3C
// Fetch Metadata).
func checkOrigin(r *http.Request) *Problem {
	foreign := func(header, value string) *Problem {
		return &Problem{
			http.StatusForbidden, codeOrigin, fmt.Sprintf("a page of another origin asks for this (%s)", value), header,
			"open the daemon's own page; a script outside a browser sends no " + header,
		}
	}
	if origin := r.Header.Get("Origin"); origin != "" && !sameHost(origin, r.Host) {
		return foreign("Origin", origin)
	}
	site := r.Header.Get("Sec-Fetch-Site")
	if site == "" || site == "same-origin" || site == "none" {
		return nil
	}
	if r.Header.Get("Sec-Fetch-Mode") == "navigate" && (r.Method == http.MethodGet || r.Method == http.MethodHead) {
		return nil // a link to the page is no harm; it cannot be framed
	}
	return foreign("Sec-Fetch-Site", site)
}

// sameHost reports whether origin is a page of host, whatever its scheme: TLS
// may end in front of the daemon.
func sameHost(origin, host string) bool {
	u, err := url.Parse(origin)
	if err != nil || u.Host == "" || u.Scheme != "http" && u.Scheme != "https" {
		return false
	}
	port := map[string]string{"http": ":80", "https": ":443"}[u.Scheme]
	return strings.EqualFold(strings.TrimSuffix(u.Host, port), strings.TrimSuffix(host, port))
}
