package workbench

import (
	"context"
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"net"
	"net/http"
	"sync"
	"time"

	"takeweave/internal/store"
)

// Pairing lets in the phones that have scanned the code. The code is a secret of
// at least 128 bits; a phone gives it once and gets a cookie, which is another secret made
// from it.
type Pairing struct {
	code, pass string
	now        func() time.Time

	mu    sync.Mutex
	wrong map[string]*guesses // by the address of who guesses
}

// guesses are the wrong codes that an address may still give.
type guesses struct {
	left  float64
	since time.Time
}

// How many wrong codes an address may give, and how soon another one. An honest
// phone gives none.
const (
	mostGuesses     = 10.0
	secondsPerGuess = 6.0
	mostGuessers    = 1000 // addresses that are remembered
)

// NewPairing returns the pairing of the film in s: the same code each time, so
// that phones stay paired when the program is started again.
func NewPairing(ctx context.Context, s *store.Store) (*Pairing, error) {
	const setting = "phone-code"
	code, err := s.Setting(ctx, setting)
	if err != nil {
		return nil, err
	}
	if code == "" {
		code = rand.Text()
		if err := s.Set(ctx, setting, code); err != nil {
			return nil, err
		}
	}
	of := hmac.New(sha256.New, []byte(code))
	of.Write([]byte("phone"))
	return &Pairing{code: code, pass: hex.EncodeToString(of.Sum(nil)), now: time.Now, wrong: map[string]*guesses{}}, nil
}

// filmSign tells films apart that were served under one address.
func (v *Server) filmSign(ctx context.Context) (string, error) {
	const setting = "phone-film"
	sign, err := v.store.Setting(ctx, setting)
	if err != nil || sign != "" {
		return sign, err
	}
	sign = rand.Text()
	return sign, v.store.Set(ctx, setting, sign)
}

// Address returns what a phone has to open to be paired.
func (p *Pairing) Address(name, port string) string {
	return "http://" + net.JoinHostPort(name, port) + "/pair?code=" + p.code
}

// cookie is the name of what a paired phone shows.
const cookie = "takeweave-phone"

// cookieDays is how long a phone stays paired.
const cookieDays = 30

// guard lets paired phones through, pairs those that give the code, and refuses
// all else.
func (p *Pairing) guard(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		shown, err := r.Cookie(cookie)
		if err == nil && same(shown.Value, p.pass) && r.URL.Path != "/pair" {
			next.ServeHTTP(w, r)
			return
		}
		from, _, _ := net.SplitHostPort(r.RemoteAddr)
		switch {
		case !p.mayGuess(from):
			http.Error(w, "too many wrong codes; wait a minute", http.StatusTooManyRequests)
		case r.Method == http.MethodGet && r.URL.Path == "/pair" && same(r.URL.Query().Get("code"), p.code):
			http.SetCookie(w, &http.Cookie{
				Name: cookie, Value: p.pass, Path: "/", MaxAge: cookieDays * 24 * 3600, HttpOnly: true, SameSite: http.SameSiteLaxMode,
			})
			w.Header().Set("Cache-Control", "no-store")
			http.Redirect(w, r, "/", http.StatusSeeOther)
		default:
			if err == nil || r.URL.Path == "/pair" { // it gave something
				p.guessedWrong(from)
			}
			http.Error(w, "this phone is not paired: scan the code that takeweave shows", http.StatusForbidden)
		}
	})
}

// same compares two secrets in a time that does not tell how much of them agrees.
func same(a, b string) bool {
	x, y := sha256.Sum256([]byte(a)), sha256.Sum256([]byte(b))
	return hmac.Equal(x[:], y[:])
}

// mayGuess reports whether an address may be answered.
func (p *Pairing) mayGuess(from string) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	g := p.wrong[from]
	return g == nil || g.now(p.now()) >= 1
}

func (p *Pairing) guessedWrong(from string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.wrong[from] == nil {
		if len(p.wrong) >= mostGuessers {
			clear(p.wrong)
		}
		p.wrong[from] = &guesses{mostGuesses, p.now()}
	}
	g := p.wrong[from]
	g.left, g.since = g.now(p.now())-1, p.now()
}

// now returns how many guesses are left by now.
func (g *guesses) now(t time.Time) float64 {
	return min(mostGuesses, g.left+t.Sub(g.since).Seconds()/secondsPerGuess)
}
