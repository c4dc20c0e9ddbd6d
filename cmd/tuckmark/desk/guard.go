package desk

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/base32"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"

	"tuckmark/config/problem"
)

// guard lets a request through to the desk's handlers, or answers it with a refusal. It stands before every handler: what a page of
// another origin, another user of the machine, or a name that was made to lead here can send stops at it.
type guard struct {
	host   string // address and port, as the browser has to call them
	cookie string // name; the port is in it, since browsers hand cookies to all ports of an address

	mutex    sync.Mutex
	secrets  []string // each good for one entry
	sessions []string
	key      string // by which a second start of the same job asks for a new secret
	rates    map[string]*bucket
	now      func() time.Time

	strangers time.Duration // how long who has not entered may take to send what belongs to a request
}

// The most of each that are kept; the oldest goes.
const (
	mostSecrets  = 8
	mostSessions = 32
)

func newGuard(host, port string) *guard {
	return &guard{host: host, cookie: "tuckmark-desk-" + port, key: random(), now: time.Now, strangers: 3 * time.Second, rates: map[string]*bucket{
		"look":   {burst: 3000, perSecond: 400},
		"change": {burst: 120, perSecond: 40},
		"enter":  {burst: 10, perSecond: 1},
	}}
}

// random is a secret of 160 bits that can stand in an address.
func random() string {
	var raw [20]byte
	rand.Read(raw[:]) // never fails (crypto/rand)
	return strings.ToLower(base32.StdEncoding.EncodeToString(raw[:]))
}

// newSecret makes a secret that is good for one entry.
func (g *guard) newSecret() string {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	s := random()
	g.secrets = append(g.secrets, s)
	if len(g.secrets) > mostSecrets {
		g.secrets = g.secrets[1:]
	}
	return s
}

// spend takes a secret and gives a session for it; false where it is none, or was spent before.
func (g *guard) spend(secret string) (session string, ok bool) {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	at := index(g.secrets, secret)
	if at < 0 {
		return "", false
	}
	g.secrets = slices.Delete(g.secrets, at, at+1)
	session = random()
	g.sessions = append(g.sessions, session)
	if len(g.sessions) > mostSessions {
		g.sessions = g.sessions[1:]
	}
	return session, true
}

// index finds a secret in a time that does not tell how much of it was right.
func index(list []string, s string) int {
	at := -1
	for i, l := range list {
		if subtle.ConstantTimeCompare([]byte(l), []byte(s)) == 1 {
			at = i
		}
	}
	return at
}

// known reports whether the request comes from a page that has entered.
func (g *guard) known(r *http.Request) bool {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	for _, c := range r.CookiesNamed(g.cookie) {
		if index(g.sessions, c.Value) >= 0 {
			return true
		}
	}
	return false
}

// within reports whether a kind of request does not come too fast.
func (g *guard) within(kind string) bool {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	return g.rates[kind].take(g.now())
}

// bucket fills with time and is emptied by requests.
type bucket struct {
	burst, perSecond float64
	left             float64
	at               time.Time
}

func (b *bucket) take(now time.Time) bool {
	if b.at.IsZero() {
		b.left = b.burst
	} else {
		b.left = min(b.burst, b.left+now.Sub(b.at).Seconds()*b.perSecond)
	}
	b.at = now
	if b.left < 1 {
		return false
	}
	b.left--
	return true
}

// route is a way into the desk.
type route struct {
	serve  func(http.ResponseWriter, *http.Request)
	open   bool  // without having entered
	change bool  // POST, with a body of no more than most bytes
	most   int64 // bytes
	rate   string
}

// The limits of bodies, in bytes.
const (
	mostTyped   = 256 << 10     // one row's cells; a cell of a workbook holds 32,767 letters
	mostChanged = 4 * mostTyped // what was typed, and what was seen where it was typed
	mostPasted  = 4 << 20
	mostDropped = 32 << 20
)

// tooLarge says how much can be taken.
func tooLarge(most int64) error {
	if most < 1<<20 {
		return fmt.Errorf("that is too large: no more than %d KB can be taken at once", most>>10)
	}
	return fmt.Errorf("that is too large: no more than %d MB can be taken at once", most>>20)
}

// refusals, by status.
var (
	errHost   = errors.New("this is not the desk's address")
	errOrigin = errors.New("a change has to come from the desk's own page")
	errEnter  = errors.New("the desk is locked for this browser: start `tuckmark desk` again, it finds the one that is open")
	errFast   = errors.New("that came too fast; wait a moment and do it again")
)

// handler puts the guard before the routes. Their keys are method and path, and a path that ends in an asterisk stands for one more name.
func (g *guard) handler(routes map[string]route) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		head := w.Header()
		head.Set("X-Content-Type-Options", "nosniff")
		head.Set("Referrer-Policy", "same-origin")
		head.Set("Content-Security-Policy", policy)
		head.Set("Cross-Origin-Opener-Policy", "same-origin")
		head.Set("Cross-Origin-Resource-Policy", "same-origin")
		head.Set("X-Frame-Options", "DENY")
		head.Set("Cache-Control", "no-store")
		known := g.known(r)
		if !known { // else a few hundred who send nothing have all connections for a minute
			_ = http.NewResponseController(w).SetReadDeadline(time.Now().Add(g.strangers)) // where there is a connection, it can be set
		}
		if r.Host != g.host {
			refuse(w, http.StatusNotFound, errHost)
			return
		}
		to, ok := find(routes, r)
		if !ok {
			refuse(w, http.StatusNotFound, errors.New("there is no such page"))
			return
		}
		switch site := r.Header.Get("Sec-Fetch-Site"); {
		case site == "", site == "same-origin", site == "none":
		case to.open && !to.change && r.Header.Get("Sec-Fetch-Mode") == "navigate": // from the file that opens the browser
		default:
			refuse(w, http.StatusForbidden, errOrigin)
			return
		}
		if to.change && r.Header.Get("Origin") != "http://"+g.host {
			refuse(w, http.StatusForbidden, errOrigin)
			return
		}
		if !to.open && !known {
			refuse(w, http.StatusForbidden, errEnter)
			return
		}
		if !g.within(to.rate) {
			head.Set("Retry-After", "1")
			refuse(w, http.StatusTooManyRequests, errFast)
			return
		}
		if to.change {
			if r.ContentLength > to.most {
				refuse(w, http.StatusRequestEntityTooLarge, tooLarge(to.most))
				return
			}
			r.Body = http.MaxBytesReader(w, r.Body, to.most)
		}
		defer func() {
			if r := recover(); r != nil {
				refuse(w, http.StatusInternalServerError, faultOf(r))
			}
		}()
		to.serve(w, r)
	})
}

// faultOf is a panic as a problem: it cannot happen, so that it is told apart from what people can bring about.
func faultOf(panicked any) *problem.Problem {
	return &problem.Problem{What: fmt.Sprintf("this should not happen, and is a fault of tuckmark, not yours: %v", panicked), Hint: "go on with something else: what was typed is kept; keep the job's folder as it is, so that the fault can be found"}
}

// policy is what the browser allows a page: scripts, styles, pictures and requests of the desk, and nothing else.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; form-action 'none'; base-uri 'none'; frame-ancestors 'none'"

// picturePolicy is for pictures, which have a style of their own and run nothing.
const picturePolicy = "default-src 'none'; style-src 'unsafe-inline'; sandbox"

// find is the route of a request. A path is a key of a table: it is not cleaned, completed or looked for on the disk.
func find(routes map[string]route, r *http.Request) (route, bool) {
	p := r.URL.Path
	method := r.Method
	if method == http.MethodHead {
		method = http.MethodGet
	}
	to, ok := routes[method+" "+p]
	if !ok {
		to, ok = routes[method+" "+p[:strings.LastIndexByte(p, '/')+1]+"*"]
	}
	if !ok {
		return route{}, false
	}
	to.change = method == http.MethodPost
	if to.rate == "" {
		to.rate = "look"
		if to.change {
			to.rate = "change"
		}
	}
	if to.most == 0 {
		to.most = mostTyped
	}
	return to, true
}

// refuse answers with a status and a sentence.
func refuse(w http.ResponseWriter, status int, why error) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.WriteHeader(status)
	w.Write([]byte(why.Error() + "\n"))
}
