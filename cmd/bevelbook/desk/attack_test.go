package desk

import (
	"bufio"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"
)

// raw sends a request as it stands and gives the answer's status and what comes with it.
func (r *running) raw(request string) (int, http.Header, string) {
	r.t.Helper()
	c, err := net.Dial("tcp", fmt.Sprintf("127.0.0.1:%d", r.Port()))
	must(r.t, err)
	defer c.Close()
	must(r.t, c.SetDeadline(time.Now().Add(patience)))
	request = strings.ReplaceAll(strings.ReplaceAll(request, "PORT", fmt.Sprint(r.Port())), "\n", "\r\n")
	_, err = io.WriteString(c, request+"\r\nConnection: close\r\n\r\n")
	must(r.t, err)
	answer, err := http.ReadResponse(bufio.NewReader(c), nil)
	must(r.t, err)
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	must(r.t, err)
	return answer.StatusCode, answer.Header, string(body)
}

const plain = "GET %s HTTP/1.1\nHost: 127.0.0.1:PORT"

func TestOnlyTheDesksOwnNameIsAnswered(t *testing.T) {
	d := runDesk(t, Options{Dir: small(t)})
	for host, want := range map[string]int{
		"127.0.0.1:PORT": 200, "localhost:PORT": 200,
		"evil.example": 421, "evil.example:PORT": 421, "127.0.0.1": 421, "127.0.0.1:1": 421, "127.0.0.2:PORT": 421, "0.0.0.0:PORT": 421,
		"localhost.evil.example:PORT": 421, "127.0.0.1.evil.example:PORT": 421, "[::1]:PORT": 421, "localhost": 421,
	} {
		for _, path := range []string{"/", "/log/one.html", streamPath + "?page=index.html", scriptPath} {
			if want == 200 && strings.HasPrefix(path, streamPath) {
				continue // it does not end
			}
			if got, _, body := d.raw("GET " + path + " HTTP/1.1\nHost: " + host); got != want || want != 200 && strings.Contains(body, "lamp") {
				t.Errorf("host %s, %s: %d", host, path, got)
			}
		}
	}
	if got, _, _ := d.raw("GET / HTTP/1.0"); got == 200 {
		t.Error("a request without a host is answered")
	}
}

func TestPagesFromElsewhereSeeNothing(t *testing.T) {
	d := runDesk(t, Options{Dir: small(t)})
	for _, c := range []struct {
		headers string
		want    int
	}{
		{"", 200},
		{"Sec-Fetch-Site: none\nSec-Fetch-Mode: navigate\nSec-Fetch-Dest: document", 200},
		{"Sec-Fetch-Site: same-origin\nSec-Fetch-Mode: cors\nSec-Fetch-Dest: empty", 200},
		{"Origin: http://127.0.0.1:PORT", 200},
		// A link from elsewhere leads here, but whoever set it sees nothing of it.
		{"Sec-Fetch-Site: cross-site\nSec-Fetch-Mode: navigate\nSec-Fetch-Dest: document", 200},
		{"Sec-Fetch-Site: cross-site\nSec-Fetch-Mode: navigate\nSec-Fetch-Dest: iframe", 403},
		{"Sec-Fetch-Site: cross-site\nSec-Fetch-Mode: no-cors\nSec-Fetch-Dest: script", 403},
		{"Sec-Fetch-Site: cross-site\nSec-Fetch-Mode: no-cors\nSec-Fetch-Dest: image", 403},
		{"Sec-Fetch-Site: same-site\nSec-Fetch-Mode: cors\nSec-Fetch-Dest: empty", 403}, // another port
		{"Origin: http://evil.example", 403},
		{"Origin: http://127.0.0.1:1", 403},
		{"Origin: https://127.0.0.1:PORT", 403},
		{"Origin: null", 403},
	} {
		got, h, _ := d.raw(strings.TrimSuffix(fmt.Sprintf(plain, "/log/one.html")+"\n"+c.headers, "\n"))
		if got != c.want {
			t.Errorf("%q: %d, want %d", c.headers, got, c.want)
		}
		if h.Get("Access-Control-Allow-Origin") != "" || h.Get("Cross-Origin-Resource-Policy") != "same-origin" || h.Get("X-Frame-Options") != "DENY" {
			t.Errorf("%q: the answer is open to others: %v", c.headers, h)
		}
	}
	_, h, _ := d.raw(fmt.Sprintf(plain, "/"))
	if csp := h.Get("Content-Security-Policy"); !strings.Contains(csp, "default-src 'none'") || strings.Contains(csp, "script-src 'self' ") || strings.Contains(csp, "unsafe-eval") {
		t.Errorf("pages may do too much: %s", csp)
	}
	for _, method := range []string{"POST", "PUT", "DELETE", "OPTIONS", "TRACE", "CONNECT"} {
		target := "/"
		if got, _, _ := d.raw(method + " " + target + " HTTP/1.1\nHost: 127.0.0.1:PORT"); got < 400 {
			t.Errorf("%s: %d", method, got)
		}
	}
}

func TestNoPathLeadsOutOfTheSite(t *testing.T) {
	dir := small(t)
	secret := filepath.Join(filepath.Dir(dir), "secret.txt")
	must(t, os.WriteFile(secret, []byte("treasure"), 0o666))
	write(t, dir, "unlinked.txt", "treasure that no page links to")
	write(t, dir, ".hidden.txt", "treasure")
	write(t, dir, "log/kept.md", "---\ntitle: Kept\ndate: 2026-09-09\nshare: no\n---\nA treasure of my own.\n")
	must(t, os.Symlink(secret, filepath.Join(dir, "link.txt")))
	must(t, os.Symlink(filepath.Dir(dir), filepath.Join(dir, "up")))
	write(t, dir, "log/three.md", "---\ntitle: Three\ndate: 2026-09-07\n---\n[a](../link.txt) [b](../up/secret.txt) [c](../../secret.txt) [d](../notes.txt) [e](../.hidden.txt)\n![f](../link.txt)\n")
	write(t, dir, "notes.txt", "published")
	d := runDesk(t, Options{Dir: dir})
	if got, _, body := d.raw(fmt.Sprintf(plain, "/notes.txt")); got != 200 || body != "published" {
		t.Fatalf("a file that a page links to: %d %q", got, body)
	}
	paths := []string{
		"/../secret.txt", "/..%2fsecret.txt", "/%2e%2e/secret.txt", "/%2e%2e%2fsecret.txt", "/log/../../secret.txt", "/log/%2e%2e/%2e%2e/secret.txt",
		"/..\\secret.txt", "/..%5csecret.txt", "/%5c..%5csecret.txt", "/....//secret.txt", "/./../secret.txt", "//" + secret, "/" + secret, secret,
		"/%252e%252e/secret.txt", "/notes.txt%00.html", "/%00", "/log/%00../secret.txt", "/..;/secret.txt", "/.%2e/secret.txt", "/%c0%ae%c0%ae/secret.txt",
		"/link.txt", "/up/secret.txt", "/up/build/notes.txt", "/unlinked.txt", "/.hidden.txt", "/journal.md", "/log/one.md", "/shop.md", "/log/kept.html", "/log/kept.md",
		"/file:///etc/passwd", "/etc/passwd", "/.desk/", "/.desk/../secret.txt", "/.desk/x", "/NOTES.TXT", "/notes.txt/", "/notes.txt/..", "/log", "/log/",
	}
	for _, p := range paths {
		got, _, body := d.raw(fmt.Sprintf(plain, p))
		if got < 400 || strings.Contains(body, "treasure") || strings.Contains(body, "published") {
			t.Errorf("%s: %d", p, got)
		}
	}
	// A file that becomes a link after the journal was read leads nowhere either.
	must(t, os.Remove(filepath.Join(dir, "notes.txt")))
	must(t, os.Symlink(secret, filepath.Join(dir, "notes.txt")))
	for range 50 {
		if _, _, body := d.raw(fmt.Sprintf(plain, "/notes.txt")); strings.Contains(body, "treasure") {
			t.Fatal("a link is followed out of the journal")
		}
	}
}

func TestTextFromTheJournalIsDataOnTheDeskToo(t *testing.T) {
	dir := small(t)
	write(t, dir, "log/<img src=x>.md", "---\ntitle: \"</head></body><script>alert(1)</script>\"\ndate: 2026-09-07\n---\n```dims a\nx: \"<script>alert(2)</script>\" + 1 mm\n```\n</body><script>alert(3)</script>\n")
	d := runDesk(t, Options{Dir: dir})
	for _, p := range []string{"/", "/log.html", "/findings.html", "/log/-img%20src=x-.html"} {
		got, _, body := d.raw(fmt.Sprintf(plain, p))
		if got != 200 || strings.Contains(body, "<script>alert") || strings.Count(body, "</body>") != 1 || strings.Count(body, `id="desk"`) != 1 {
			t.Errorf("%s: %d\n%s", p, got, body)
		}
	}
}

func TestWithoutTheKeyNothingIsServed(t *testing.T) {
	d := runDesk(t, Options{Dir: small(t), LAN: true})
	if len(d.key)*6 < 128 || d.key == d.pass {
		t.Fatalf("the key %q is too short", d.key)
	}
	cookie := fmt.Sprintf("\nCookie: desk-%d=", d.Port())
	flip := "A"
	if d.key[0] == 'A' {
		flip = "B"
	}
	for _, c := range []string{"", "?key=", "?key=x", "?key=" + d.key[:len(d.key)-1], "?key=" + d.key + "x", "?key=" + flip + d.key[1:], "?KEY=" + d.key, "?key=" + d.pass} {
		for _, p := range []string{"/", "/log/one.html", "/look/style.css", scriptPath, streamPath, "/nothing.html"} {
			got, h, body := d.raw(fmt.Sprintf(plain, p+c))
			if got != 403 || strings.Contains(body, "lamp") || h.Get("Set-Cookie") != "" {
				t.Errorf("%s: %d %v", p+c, got, h)
			}
		}
	}
	for _, wrong := range []string{"", "x", d.key, d.pass[1:], d.pass + "x"} {
		if got, _, _ := d.raw(fmt.Sprintf(plain, "/") + cookie + wrong); got != 403 {
			t.Errorf("cookie %q: %d", wrong, got)
		}
	}
	got, h, _ := d.raw(fmt.Sprintf(plain, "/log/one.html?key="+d.key+"&q=a"))
	set := h.Get("Set-Cookie")
	if got != 303 || h.Get("Location") != "/log/one.html?q=a" || !strings.Contains(set, d.pass) || !strings.Contains(set, "HttpOnly") || !strings.Contains(set, "SameSite=Strict") || strings.Contains(set, d.key) {
		t.Errorf("with the key: %d %v", got, h)
	}
	if got, h, _ := d.raw(fmt.Sprintf(plain, "//evil.example/?key="+d.key)); got == 303 && h.Get("Location") != "/" {
		t.Errorf("the key leads away: %v", h)
	}
	got, _, body := d.raw(fmt.Sprintf(plain, "/log/one.html") + cookie + d.pass)
	if got != 200 || !strings.Contains(body, "330 mm") || strings.Contains(body, d.key) || strings.Contains(body, d.pass) {
		t.Errorf("with the cookie: %d", got)
	}
	if got, _, _ := d.raw("GET / HTTP/1.1\nHost: evil.example:PORT" + cookie + d.pass); got != 421 {
		t.Errorf("with the cookie under another name: %d", got)
	}
}

// The browser that the program opens gets a key that is good for one visit: what a program is started with
// can be read by others on the machine.
func TestATicketIsGoodForOneVisit(t *testing.T) {
	d := runDesk(t, Options{Dir: small(t), LAN: true})
	_, key, _ := strings.Cut(d.Ticket(), "?key=")
	if key == "" || key == d.key {
		t.Fatalf("the ticket is %q", key)
	}
	for i, want := range []int{303, 403, 403} {
		if got, h, _ := d.raw(fmt.Sprintf(plain, "/?key="+key)); got != want || (h.Get("Set-Cookie") != "") != (want == 303) {
			t.Errorf("visit %d: %d", i+1, got)
		}
	}
}

// Whoever looks over the network sees what the author's copy of the site holds, and no more.
func TestTheStripTellsNoMeasurementsAndNothingOfPagesThatAreKept(t *testing.T) {
	dir := small(t)
	write(t, dir, "wearer.md", "---\ntitle: Measures\n---\n```wearer\nhead_circumference: 571 mm\n```\n")
	write(t, dir, "log/kept.md", "---\ntitle: Kept\ndate: 2026-09-09\nshare: no\n---\n```dims\nsecretly: nobody + 1 mm\n```\n")
	write(t, dir, "log/three.md", "---\ntitle: Three\ndate: 2026-09-07\n---\n```dims\nx: wearer.head_circumference + 5 deg\n```\n")
	for _, lan := range []bool{false, true} {
		d := runDesk(t, Options{Dir: dir, LAN: lan})
		var text string
		d.ask(func() { s := d.strip("index.html"); text = s.errors + s.html + s.words })
		if strings.Contains(text, "571") {
			t.Errorf("over the network %v: a measurement is told:\n%s", lan, text)
		}
		if !strings.Contains(text, "log/three.md:6:") {
			t.Errorf("the finding of a page that is shown is not told:\n%s", text)
		}
		if told := strings.Contains(text, "log/kept.md") || strings.Contains(text, "nobody"); told == lan {
			t.Errorf("over the network %v: findings of a page that is kept are told: %v", lan, told)
		}
	}
}

func TestSlowClientsAreLetGo(t *testing.T) {
	d := runDesk(t, Options{Dir: small(t)}, func(d *Desk) {
		d.limits = limits{streams: 4, header: 150 * time.Millisecond, write: 150 * time.Millisecond, idle: 150 * time.Millisecond}
	})
	var all []net.Conn
	for i := range 200 {
		c, err := net.Dial("tcp", fmt.Sprintf("127.0.0.1:%d", d.Port()))
		must(t, err)
		defer c.Close()
		switch i % 3 {
		case 0:
			io.WriteString(c, "GET / HTTP/1.1\r\nHo") // a request that does not go on
		case 1:
			fmt.Fprintf(c, "GET / HTTP/1.1\r\nHost: 127.0.0.1:%d\r\nContent-Length: 1000000\r\n\r\n", d.Port()) // a body that does not come
		}
		all = append(all, c)
	}
	if got, _, body := d.raw(fmt.Sprintf(plain, "/log/one.html")); got != 200 || !strings.Contains(body, "330 mm") {
		t.Fatalf("beside slow clients: %d", got)
	}
	for i, c := range all {
		c.SetReadDeadline(time.Now().Add(patience))
		if _, err := io.Copy(io.Discard, c); err != nil {
			if e, ok := err.(net.Error); ok && e.Timeout() {
				t.Fatalf("client %d is waited for", i)
			}
		}
	}
}

// A reader that takes nothing of a stream does not hold up the desk, and is let go.
func TestAStreamThatIsNotReadIsLetGo(t *testing.T) {
	d := runDesk(t, Options{Dir: small(t)}, func(d *Desk) { d.limits.write = 150 * time.Millisecond })
	c, err := net.Dial("tcp", fmt.Sprintf("127.0.0.1:%d", d.Port()))
	must(t, err)
	defer c.Close()
	must(t, c.(*net.TCPConn).SetReadBuffer(4<<10))
	fmt.Fprintf(c, "GET %s?page=log/one.html HTTP/1.1\r\nHost: 127.0.0.1:%d\r\n\r\n", streamPath, d.Port())
	open := func() (n int) {
		d.ask(func() { n = len(d.streams) })
		return n
	}
	eventually(t, "it is open", func() bool { return open() == 1 })
	i := 0
	eventually(t, "it is let go", func() bool {
		i++
		write(t, d.dir, "log/one.md", firstEntry(fmt.Sprintf("%d mm", 300+i%60))+strings.Repeat("More of it.\n\n", 4000))
		return open() == 0
	})
}

func TestAThousandStreamsAreBounded(t *testing.T) {
	d := runDesk(t, Options{Dir: small(t)})
	before := runtime.NumGoroutine()
	type answer struct {
		c net.Conn
		r *bufio.Reader
	}
	var all []answer
	for range 1000 {
		c, err := net.Dial("tcp", fmt.Sprintf("127.0.0.1:%d", d.Port()))
		must(t, err)
		defer c.Close()
		fmt.Fprintf(c, "GET %s?page=log/one.html HTTP/1.1\r\nHost: 127.0.0.1:%d\r\n\r\n", streamPath, d.Port())
		all = append(all, answer{c, bufio.NewReader(c)})
		// The next one comes when this one is answered, so that the last is the youngest.
		c.SetReadDeadline(time.Now().Add(patience))
		if line, err := all[len(all)-1].r.ReadString('\n'); err != nil || !strings.Contains(line, "200") {
			t.Fatalf("%q %v", line, err)
		}
	}
	open := 0
	d.ask(func() { open = len(d.streams) })
	if open > plainLimits.streams {
		t.Errorf("%d streams are open", open)
	}
	// The oldest are told that they had to go; the youngest follows.
	if text, err := io.ReadAll(all[0].r); err != nil || !strings.Contains(string(text), "event: full") {
		t.Errorf("the oldest is not told: %v", err)
	}
	eventually(t, "those that had to go cost nothing", func() bool { return runtime.NumGoroutine() < before+5*plainLimits.streams })
	write(t, d.dir, "log/one.md", firstEntry("391 mm"))
	for {
		line, err := all[999].r.ReadString('\n')
		if err != nil {
			t.Fatal(err)
		}
		if strings.HasPrefix(line, "data:") && strings.Contains(line, "391 mm") {
			break
		}
	}
	if got, _, _ := d.raw(fmt.Sprintf(plain, "/log/one.html")); got != 200 {
		t.Errorf("beside a thousand streams: %d", got)
	}
}

func TestClosingLetsGoOfEveryStream(t *testing.T) {
	d := runDesk(t, Options{Dir: small(t)})
	c, err := net.Dial("tcp", fmt.Sprintf("127.0.0.1:%d", d.Port()))
	must(t, err)
	defer c.Close()
	fmt.Fprintf(c, "GET %s?page=log/one.html HTTP/1.1\r\nHost: 127.0.0.1:%d\r\n\r\n", streamPath, d.Port())
	r := bufio.NewReader(c)
	if _, err := r.ReadString('\n'); err != nil {
		t.Fatal(err)
	}
	begun := time.Now()
	d.stop()
	c.SetReadDeadline(time.Now().Add(patience))
	if _, err := io.Copy(io.Discard, r); err != nil {
		t.Error(err)
	}
	if took := time.Since(begun); took > patience/2 {
		t.Errorf("closing takes %v", took)
	}
	if l, err := net.Listen("tcp", fmt.Sprintf("127.0.0.1:%d", d.Port())); err != nil {
		t.Error("the port is not free again")
	} else {
		l.Close()
	}
}
