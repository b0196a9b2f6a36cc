package server

import (
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"
)

// codeLetters is what a pairing code is made of: no letter or digit that is
// taken for another, and none that asks a phone for the shift key.
const codeLetters = "abcdefghjkmnpqrstuvwxyz23456789"

// codeLength gives 31^8, 8.5e11 codes; see guesses for how many can be tried.
const codeLength = 8

// cookieLife is how long a phone stays paired: as long as a shoot.
const cookieLife = 60 * 24 * time.Hour

// newCode makes a pairing code, in two halves that are easily read out.
func newCode() string {
	b := make([]byte, 0, codeLength+1)
	for len(b) < cap(b) {
		var one [1]byte
		_, _ = rand.Read(one[:]) // never fails (crypto/rand)
		// Bytes beyond the last whole multiple would make some letters likelier.
		if int(one[0]) >= 256/len(codeLetters)*len(codeLetters) {
			continue
		}
		b = append(b, codeLetters[int(one[0])%len(codeLetters)])
		if len(b) == codeLength/2 {
			b = append(b, '-')
		}
	}
	return string(b)
}

// normalCode is a code as compared: typed with capitals, spaces or dashes, it
// is the same.
func normalCode(code string) string {
	return strings.Map(func(c rune) rune {
		if c == '-' || c == ' ' {
			return -1
		}
		return c
	}, strings.ToLower(code))
}

// pairing lets in who knows the code, and knows them again by a cookie. It is
// safe for concurrent use.
type pairing struct {
	code    string // as shown
	token   string // value of the cookie
	cookie  string // its name
	guesses *guesses
}

// newPairing makes a pairing with a code, or with a new one when it is "".
// The cookie follows from the code, so that phones stay paired over a restart
// when the code is given, and no longer when it is new.
func newPairing(code string) (*pairing, error) {
	if code == "" {
		code = newCode()
	}
	if len(normalCode(code)) < codeLength {
		return nil, fmt.Errorf("pairing code is too short: %d letters and digits, at least %d are needed", len(normalCode(code)), codeLength)
	}
	mac := hmac.New(sha256.New, []byte(normalCode(code)))
	mac.Write([]byte("linkboy page 1"))
	return &pairing{
		code: code, token: base64.RawURLEncoding.EncodeToString(mac.Sum(nil)),
		cookie: "linkboy", guesses: newGuesses(),
	}, nil
}

// usePort gives the cookie a name of its own among the daemons of a machine:
// cookies are shared between ports (RFC 6265 8.5).
func (p *pairing) usePort(port int) { p.cookie = fmt.Sprintf("linkboy-%d", port) }

// knows reports whether the request comes with the cookie.
func (p *pairing) knows(r *http.Request) bool {
	for _, c := range r.CookiesNamed(p.cookie) {
		if subtle.ConstantTimeCompare([]byte(c.Value), []byte(p.token)) == 1 {
			return true
		}
	}
	return false
}

// try checks a code. A wrong one, or one that came too soon after wrong ones,
// is refused.
func (p *pairing) try(w http.ResponseWriter, r *http.Request, code string) *Problem {
	given, wanted := sha256.Sum256([]byte(normalCode(code))), sha256.Sum256([]byte(normalCode(p.code)))
	right := subtle.ConstantTimeCompare(given[:], wanted[:]) == 1
	if wait := p.guesses.attempt(r.RemoteAddr, right); wait > 0 {
		seconds := int((wait + time.Second - 1) / time.Second)
		w.Header().Set("Retry-After", strconv.Itoa(seconds))
		return &Problem{
			http.StatusTooManyRequests, codeTooOften, "too many wrong pairing codes", "code",
			fmt.Sprintf("wait %d s, then type the code that the daemon shows", seconds),
		}
	}
	if !right {
		return &Problem{http.StatusUnauthorized, codeWrongCode, "this is not the pairing code", "code", "type the code that the daemon shows, or scan its QR code"}
	}
	http.SetCookie(w, &http.Cookie{
		Name: p.cookie, Value: p.token, Path: "/", MaxAge: int(cookieLife / time.Second),
		HttpOnly: true, SameSite: http.SameSiteStrictMode,
	})
	return nil
}

var notPaired = &Problem{
	http.StatusUnauthorized, codeNotPaired, "this device is not paired with the daemon", "",
	`open the page by the QR code or the address that the daemon prints, or send POST /pair {"code": "..."}`,
}
