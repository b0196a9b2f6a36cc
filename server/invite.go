package server

import (
	"net/http"
	"net/netip"
	"net/url"
	"strings"

	goqr "github.com/piglig/go-qr"
)

const pairingPath = "/api/pairing"

// invitation is how somebody is let in as a role.
type invitation struct {
	Role Role   `json:"role"`
	Code string `json:"code"`
	// URL is the address that pairs a device, and QR the same as the rows of a QR code, "#"
	// for dark; none where the address is too long for one.
	URL string   `json:"url"`
	QR  []string `json:"qr"`
}

// getPairing is GET /api/pairing: how others are let in. It is the owner's.
func (s *Server) getPairing(w http.ResponseWriter, r *http.Request) {
	if s.pairing == nil {
		s.refuse(w, r, &Problem{http.StatusConflict, codeNoPairing, "this daemon answers this machine only", pairingPath, "start it with --listen 0.0.0.0:4040 to let phones in"})
		return
	}
	all := []invitation{}
	for _, k := range s.pairing.guests() {
		at := s.addressFor(r.Host, k.code)
		all = append(all, invitation{k.role, k.code, at, qrRows(at)})
	}
	writeJSON(w, http.StatusOK, map[string]any{"invitations": all})
}

// addressFor is the address by which others come in: the one that the asker has come by,
// unless only this machine has that.
func (s *Server) addressFor(host, code string) string {
	name := hostname(host)
	addr, err := netip.ParseAddr(name)
	if urls := s.urls(code); len(urls) > 0 && (strings.EqualFold(name, "localhost") || err == nil && addr.Unmap().IsLoopback()) {
		return urls[0]
	}
	return withCode(url.URL{Scheme: "http", Host: host}, code)
}

// qrRows draws text as a QR code (ISO/IEC 18004).
func qrRows(text string) []string {
	code, err := goqr.EncodeText(text, goqr.Low)
	if err != nil {
		return []string{}
	}
	rows := make([]string, code.Size())
	for y := range rows {
		var row strings.Builder
		for x := range rows {
			if code.Module(x, y) {
				row.WriteByte('#')
			} else {
				row.WriteByte('.')
			}
		}
		rows[y] = row.String()
	}
	return rows
}
