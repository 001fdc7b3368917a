package desk

import (
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"net/url"
	"strings"
)

// silent takes what net/http would log of connections that strangers break.
var silent = log.New(io.Discard, "", 0)

// random is a text of 192 random bits that may stand in an address and a cookie.
func random() string {
	var b [24]byte
	rand.Read(b[:]) // never fails: it would end the program
	return base64.RawURLEncoding.EncodeToString(b[:])
}

// guarded lets through what the desk's own pages may ask. What a page of somebody else's asks in the
// maker's browser is refused: by the Host header a name that was rebound to this machine (RFC 9110,
// 7.2), by Origin and Sec-Fetch-Site (Fetch Metadata) a page from elsewhere.
func (d *Desk) guarded(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("X-Frame-Options", "DENY")
		switch {
		case !d.ownHost(r):
			http.Error(w, "this is not where the desk is", http.StatusMisdirectedRequest)
		case r.Method != http.MethodGet && r.Method != http.MethodHead:
			h.Set("Allow", "GET, HEAD")
			http.Error(w, "the desk is only looked at", http.StatusMethodNotAllowed)
		case !ownOrigin(r):
			http.Error(w, "another site's page asks", http.StatusForbidden)
		case crooked(r.URL):
			http.Error(w, "no path of a site looks like this", http.StatusBadRequest)
		case d.key != "" && !d.known(w, r):
		default:
			next.ServeHTTP(w, r)
		}
	})
}

// ownHost tells whether the request names the very address that it came to. Names other than
// localhost are nobody's: they could be rebound.
func (d *Desk) ownHost(r *http.Request) bool {
	local, ok := r.Context().Value(http.LocalAddrContextKey).(*net.TCPAddr)
	if !ok {
		return false
	}
	host, port, err := net.SplitHostPort(r.Host)
	if err != nil {
		host, port = strings.Trim(r.Host, "[]"), "80"
	}
	if port != fmt.Sprint(local.Port) {
		return false
	}
	if host == "localhost" {
		return local.IP.IsLoopback()
	}
	ip := net.ParseIP(host)
	return ip != nil && ip.Equal(local.IP)
}

// ownOrigin tells whether a page of the desk itself asks, or the person at the browser: a page from
// elsewhere may lead here, but sees nothing of where it led.
func ownOrigin(r *http.Request) bool {
	if o := r.Header.Get("Origin"); o != "" {
		u, err := url.Parse(o)
		if err != nil || u.Scheme != "http" || u.Host != r.Host {
			return false
		}
	}
	switch r.Header.Get("Sec-Fetch-Site") {
	case "", "same-origin", "none":
		return true
	}
	return r.Header.Get("Sec-Fetch-Mode") == "navigate" && r.Header.Get("Sec-Fetch-Dest") == "document"
}

// crooked tells of a path whether it is not one that a site links to. The site is asked by whole
// names, so no such path would find anything; it is said more clearly this way.
func crooked(u *url.URL) bool {
	if !strings.HasPrefix(u.Path, "/") || strings.ContainsAny(u.Path, "\\\x00") {
		return true
	}
	for _, name := range strings.Split(u.Path[1:], "/") {
		if name == ".." || name == "." {
			return true
		}
	}
	return false
}

// known lets in a device that shows the key, or carries what it was given when it did. The key leaves
// the address at once, so that it stands in no history.
func (d *Desk) known(w http.ResponseWriter, r *http.Request) bool {
	name := fmt.Sprintf("desk-%d", d.Port()) // cookies do not tell ports apart
	if c, err := r.Cookie(name); err == nil && alike(c.Value, d.pass) {
		if !r.URL.Query().Has("key") {
			return true
		}
	} else if key := r.URL.Query().Get("key"); !alike(key, d.key) && !(alike(key, d.ticket) && d.spent.CompareAndSwap(false, true)) {
		w.Header().Set("Cache-Control", "no-store")
		http.Error(w, "The desk does not know this device. Open the whole address that it printed, with its key, or scan the code.", http.StatusForbidden)
		return false
	}
	http.SetCookie(w, &http.Cookie{Name: name, Value: d.pass, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
	w.Header().Set("Cache-Control", "no-store")
	q := r.URL.Query()
	q.Del("key")
	to := url.URL{Path: r.URL.Path, RawQuery: q.Encode()}
	if strings.HasPrefix(to.Path, "//") {
		to.Path = "/"
	}
	http.Redirect(w, r, to.String(), http.StatusSeeOther)
	return false
}

// alike compares in a time that says nothing of how much is alike.
func alike(a, b string) bool {
	x, y := sha256.Sum256([]byte(a)), sha256.Sum256([]byte(b))
	return subtle.ConstantTimeCompare(x[:], y[:]) == 1
}
