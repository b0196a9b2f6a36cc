package server

import (
	"bytes"
	"crypto/hkdf"
	"crypto/hmac"
	"crypto/pbkdf2"
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"strings"
	"sync"
	"time"
)

// codeLetters is what a pairing code is made of: no letter or digit that is
// taken for another, and none that asks a phone for the shift key.
const codeLetters = "abcdefghjkmnpqrstuvwxyz23456789"

// codeLength gives 31^8, 8.5e11 codes; see guesses for how many can be tried.
const codeLength = 8

// cookieLife is how long a phone stays paired: as long as a shoot.
const cookieLife = 60 * 24 * time.Hour

// newCode makes a pairing code.
func newCode() string { return codeFrom(rand.Reader) }

// codeFrom makes a code of random bytes, in two halves that are easily read out. One byte
// in thirty is of no use, and the source must not end before eight are.
func codeFrom(source io.Reader) string {
	b := make([]byte, 0, codeLength+1)
	for len(b) < cap(b) {
		var one [1]byte
		if _, err := io.ReadFull(source, one[:]); err != nil {
			panic(err)
		}
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
	owner   roleKeys          // at hand at once
	guests  func() []roleKeys // made when they are first asked for
	cookie  string            // its name
	guesses *guesses
}

// roleKeys is what lets somebody in as a role.
type roleKeys struct {
	role  Role
	code  string // as shown
	token string // value of the cookie
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
	return &pairing{
		owner:  keysOf(Owner, code),
		guests: sync.OnceValue(func() []roleKeys { return guestKeys(code) }),
		cookie: "linkboy", guesses: newGuesses(),
	}, nil
}

func keysOf(role Role, code string) roleKeys {
	mac := hmac.New(sha256.New, []byte(normalCode(code)))
	mac.Write([]byte("linkboy page 1"))
	return roleKeys{role, code, base64.RawURLEncoding.EncodeToString(mac.Sum(nil))}
}

// guestRounds makes a guess at the owner's code cost a tenth of a second to those who know
// a guest's, which follows from it: 31^8 of them take thousands of years (PBKDF2, RFC 8018 5.2;
// as many rounds as OWASP's Password Storage Cheat Sheet asks for, from memory).
const guestRounds = 600_000

// guestKeys makes the keys of the guests from the owner's code. They are the same each time,
// so that guests too stay paired over a restart.
func guestKeys(code string) []roleKeys {
	seed, err := pbkdf2.Key(sha256.New, normalCode(code), []byte("linkboy guests 1"), guestRounds, sha256.Size)
	if err != nil {
		panic(err) // only for what is too short for FIPS 140-3, as none of it is
	}
	keys := make([]roleKeys, len(guests))
	for i, role := range guests {
		stream, err := hkdf.Expand(sha256.New, seed, role.String(), 255*sha256.Size)
		if err != nil {
			panic(err) // only for more than that
		}
		keys[i] = keysOf(role, codeFrom(bytes.NewReader(stream)))
	}
	return keys
}

// usePort gives the cookie a name of its own among the daemons of a machine:
// cookies are shared between ports (RFC 6265 8.5).
func (p *pairing) usePort(port int) { p.cookie = fmt.Sprintf("linkboy-%d", port) }

// role is that of who sends a request, by its cookie.
func (p *pairing) role(r *http.Request) Role {
	for _, c := range r.CookiesNamed(p.cookie) {
		if k := p.find(func(k roleKeys) string { return k.token }, c.Value); k != nil {
			return k.role
		}
	}
	return nobody
}

// roleOfCode is whom a code lets in; nobody for a wrong one.
func (p *pairing) roleOfCode(code string) Role {
	if k := p.byCode(code); k != nil {
		return k.role
	}
	return nobody
}

func (p *pairing) byCode(code string) *roleKeys {
	return p.find(func(k roleKeys) string { return normalCode(k.code) }, normalCode(code))
}

// find gives the keys one of which was given; nil for none. The owner's are looked at first,
// as those of guests take a while to make when they are first asked for.
func (p *pairing) find(key func(roleKeys) string, given string) *roleKeys {
	sum := sha256.Sum256([]byte(given))
	is := func(k roleKeys) bool {
		wanted := sha256.Sum256([]byte(key(k)))
		return subtle.ConstantTimeCompare(sum[:], wanted[:]) == 1
	}
	if is(p.owner) {
		return &p.owner
	}
	for _, k := range p.guests() {
		if is(k) {
			return &k
		}
	}
	return nil
}

// try checks a code. A wrong one, or one that came too soon after wrong ones,
// is refused.
func (p *pairing) try(w http.ResponseWriter, r *http.Request, code string) *Problem {
	keys := p.byCode(code)
	if wait := p.guesses.attempt(r.RemoteAddr, keys != nil); wait > 0 {
		seconds := int((wait + time.Second - 1) / time.Second)
		w.Header().Set("Retry-After", strconv.Itoa(seconds))
		return &Problem{
			http.StatusTooManyRequests, codeTooOften, "too many wrong pairing codes", "code",
			fmt.Sprintf("wait %d s, then type the code that the daemon shows", seconds),
		}
	}
	if keys == nil {
		return &Problem{http.StatusUnauthorized, codeWrongCode, "this is not the pairing code", "code", "type the code that the daemon shows, or scan its QR code"}
	}
	http.SetCookie(w, &http.Cookie{
		Name: p.cookie, Value: keys.token, Path: "/", MaxAge: int(cookieLife / time.Second),
		HttpOnly: true, SameSite: http.SameSiteStrictMode,
	})
	return nil
}

var notPaired = &Problem{
	http.StatusUnauthorized, codeNotPaired, "this device is not paired with the daemon", "",
	`open the page by the QR code or the address that the daemon prints, or send POST /pair {"code": "..."}`,
}
