package desk

import (
	"bytes"
	"errors"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"tuckmark/config/longtests"
)

// caller sends requests as a browser that has entered does, unless told otherwise.
type caller struct {
	t      testing.TB
	r      *running
	cookie *http.Cookie
	client *http.Client
}

// enter spends the secret of a desk.
func enter(t testing.TB, r *running) *caller {
	t.Helper()
	c := &caller{t: t, r: r, client: &http.Client{Timeout: time.Minute, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}
	t.Cleanup(c.client.CloseIdleConnections)
	_, secret, _ := strings.Cut(r.address, "#")
	answer := c.do(http.MethodPost, "/enter", `{"secret":"`+secret+`"}`, nil)
	if answer.StatusCode != http.StatusOK || len(answer.Cookies()) != 1 {
		t.Fatalf("the secret does not open the desk: %s", answer.Status)
	}
	c.cookie = answer.Cookies()[0]
	return c
}

// do sends a request; change may spoil it.
func (c *caller) do(method, path, body string, change func(*http.Request)) *http.Response {
	r, err := http.NewRequest(method, "http://"+c.r.host+path, strings.NewReader(body))
	if err != nil {
		c.t.Fatal(err)
	}
	if method == http.MethodPost {
		r.Header.Set("Origin", "http://"+c.r.host)
		r.Header.Set("Content-Type", "application/json")
	}
	if c.cookie != nil {
		r.AddCookie(c.cookie)
	}
	if change != nil {
		change(r)
	}
	answer, err := c.client.Do(r)
	if err != nil {
		c.t.Fatal(err)
	}
	data, err := io.ReadAll(answer.Body)
	answer.Body.Close()
	if err != nil {
		c.t.Fatal(err)
	}
	answer.Body = io.NopCloser(bytes.NewReader(data))
	return answer
}

// page is what a page says.
func (c *caller) page(path string) string {
	c.t.Helper()
	answer := c.do(http.MethodGet, path, "", nil)
	text, _ := io.ReadAll(answer.Body)
	if answer.StatusCode != http.StatusOK {
		c.t.Fatalf("%s: %s: %s", path, answer.Status, text)
	}
	return string(text)
}

// files are the names and contents of all that lies in a folder, as one text.
func files(t testing.TB, folder string) string {
	t.Helper()
	var out strings.Builder
	err := filepath.WalkDir(folder, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		out.WriteString(path + "\n" + string(data))
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// whenSettled are the files once nothing is saved any more.
func whenSettled(t testing.TB, folder string) string {
	t.Helper()
	was := ""
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(1200 * time.Millisecond) {
		now := files(t, folder)
		if now == was {
			break
		}
		was = now
	}
	return was
}

// TestBadRequests: what does not come from the desk's own page in the browser that was let in is refused, and changes nothing.
func TestBadRequests(t *testing.T) {
	t.Parallel()
	r := begin(t, copyOf(t, sample), Options{}, "retreat.xlsx")
	c := enter(t, r)
	row := r.rows(t, c)[0]
	change := `{"id":"` + row + `","cells":{"Journaling":"spoilt"}}`
	header := func(name, value string) func(*http.Request) {
		return func(r *http.Request) { r.Header.Set(name, value) }
	}
	without := func(name string) func(*http.Request) { return func(r *http.Request) { r.Header.Del(name) } }
	raw := func(path string) func(*http.Request) {
		return func(r *http.Request) { r.URL.Opaque = "//" + c.r.host + path }
	}
	waitLaid(t, c)
	before := whenSettled(t, r.folder)
	for _, bad := range []struct {
		name         string
		method, path string
		body         string
		spoil        func(*http.Request)
		status       int
	}{
		{"another host", "POST", "/change", change, func(r *http.Request) { r.Host = "desk.example" }, 404},
		{"a name for this machine", "POST", "/change", change, func(r *http.Request) { r.Host = strings.Replace(c.r.host, "127.0.0.1", "localhost", 1) }, 404},
		{"another port", "POST", "/change", change, func(r *http.Request) { r.Host = "127.0.0.1:1" }, 404},
		{"another host, a page", "GET", "/journaling", "", func(r *http.Request) { r.Host = "desk.example" }, 404},
		{"another origin", "POST", "/change", change, header("Origin", "http://desk.example"), 403},
		{"an origin of another port", "POST", "/change", change, header("Origin", "http://127.0.0.1:1"), 403},
		{"an origin of another scheme", "POST", "/change", change, header("Origin", "https://"+r.host), 403},
		{"no origin", "POST", "/change", change, without("Origin"), 403},
		{"the origin null", "POST", "/change", change, header("Origin", "null"), 403},
		{"from another site", "POST", "/change", change, header("Sec-Fetch-Site", "cross-site"), 403},
		{"from another port of this site", "POST", "/change", change, header("Sec-Fetch-Site", "same-site"), 403},
		{"a page from another site", "GET", "/journaling", "", header("Sec-Fetch-Site", "cross-site"), 403},
		{"no cookie", "POST", "/change", change, without("Cookie"), 403},
		{"no cookie, a page", "GET", "/journaling", "", without("Cookie"), 403},
		{"no cookie, a picture", "GET", "/block/" + row + ".svg", "", without("Cookie"), 403},
		{"no cookie, what changes by itself", "GET", "/events", "", without("Cookie"), 403},
		{"another cookie", "POST", "/change", change, header("Cookie", c.cookie.Name+"=abc"), 403},
		{"a cookie of another desk", "POST", "/change", change, header("Cookie", "tuckmark-desk-1="+c.cookie.Value), 403},
		{"the secret again", "POST", "/enter", `{"secret":"` + r.address[strings.Index(r.address, "#")+1:] + `"}`, without("Cookie"), 403},
		{"another secret", "POST", "/enter", `{"secret":"abc"}`, without("Cookie"), 403},
		{"no secret", "POST", "/enter", `{"secret":""}`, without("Cookie"), 403},
		{"a second start without the key", "POST", "/again", `{}`, without("Cookie"), 403},
		{"a second start with another key", "POST", "/again", `{}`, header(keyHeader, "abc"), 403},
		{"a change that is asked for", "GET", "/change", "", nil, 404},
		{"a page that is posted to", "POST", "/journaling", "{}", nil, 404},
		{"another method", "PUT", "/change", change, nil, 404},
		{"no such page", "GET", "/etc/passwd", "", nil, 404},
		{"a path out of the desk", "GET", "/block/../../etc/passwd", "", raw("/block/../../etc/passwd"), 404},
		{"a path out of the desk, hidden", "GET", "/block/x", "", raw("/block/..%2f..%2fetc%2fpasswd"), 404},
		{"a path in a name", "GET", "/block/a/b.svg", "", nil, 404},
		{"two slashes", "GET", "//journaling", "", raw("//journaling"), 404},
		{"no such picture", "GET", "/block/aaaaaaaaaa.svg", "", nil, 404},
		{"no such trial", "GET", "/trial/-1.svg", "", nil, 404},
		{"no such piece", "GET", "/piece/100000.svg", "", nil, 404},
		{"a body that is too large", "POST", "/change", `{"id":"` + row + `","cells":{"Journaling":"` + strings.Repeat("x", mostChanged) + `"}}`, nil, 413},
		{"a body that is too large and does not say so", "POST", "/change", `{"id":"` + row + `","cells":{"Journaling":"` + strings.Repeat("x", mostChanged) + `"}}`, func(r *http.Request) { r.ContentLength = -1 }, 413},
		{"a secret that is too large", "POST", "/enter", `{"secret":"` + strings.Repeat("x", 2000) + `"}`, nil, 413},
		{"no JSON", "POST", "/change", "id=1", nil, 400},
		{"JSON with more than is known", "POST", "/change", `{"id":"` + row + `","cells":{},"path":"/tmp"}`, nil, 400},
		{"two values", "POST", "/change", change + change, nil, 400},
		{"a form of another page", "POST", "/change", change, header("Content-Type", "text/plain"), 415},
		{"no such sheet", "POST", "/change", `{"sheet":"other","id":"` + row + `","cells":{"Name":"x"}}`, nil, 400},
		{"no such row", "POST", "/change", `{"id":"aaaaaaaaaa","cells":{"Name":"x"}}`, nil, 410},
		{"no such column", "POST", "/change", `{"id":"` + row + `","cells":{"../x":"x"}}`, nil, 409},
		{"a row behind none", "POST", "/add", `{"after":"../x","cells":{}}`, nil, 409},
		{"a state that never was", "POST", "/return", `{"state":99999}`, nil, 409},
		{"a job with a path for a name", "POST", "/start/new", `{"name":"../other"}`, nil, 422},
		{"a job with a folder in its name", "POST", "/start/new", `{"name":"a/b"}`, nil, 422},
		{"a job with another folder in its name", "POST", "/start/new", `{"name":"a\\b"}`, nil, 422},
		{"a job without a name", "POST", "/start/new", `{"name":" "}`, nil, 422},
		{"a job with a name that is too long", "POST", "/start/new", `{"name":"` + strings.Repeat("a", 61) + `"}`, nil, 422},
		{"a file that is not listed", "POST", "/start/open", `{"kind":"file","name":"../retreat.xlsx"}`, nil, 404},
		{"a job that is not listed", "POST", "/start/open", `{"kind":"job","name":"../../retreat"}`, nil, 404},
		{"files that are none", "POST", "/take/drop", "{}", nil, 415},
		{"an empty paste", "POST", "/take/paste", `{"text":""}`, nil, 422},
	} {
		answer := c.do(bad.method, bad.path, bad.body, bad.spoil)
		if answer.StatusCode != bad.status {
			text, _ := io.ReadAll(answer.Body)
			t.Errorf("%s: the answer is %s, not %d: %s", bad.name, answer.Status, bad.status, text)
		}
		if len(answer.Cookies()) > 0 {
			t.Errorf("%s: a cookie was given", bad.name)
		}
	}
	if whenSettled(t, r.folder) != before {
		t.Error("something was changed")
	}
	if got := c.do("POST", "/change", change, nil).StatusCode; got != 200 {
		t.Errorf("after all that, a good change is answered with %d", got)
	}
}

// rows are the ids of the journaling, as its page has them.
func (r *running) rows(t testing.TB, c *caller) (ids []string) {
	t.Helper()
	for _, part := range strings.Split(c.page("/part/blocks?who=all"), `data-id="`)[1:] {
		ids = append(ids, part[:strings.Index(part, `"`)])
	}
	if len(ids) == 0 {
		t.Fatal("the page has no rows")
	}
	return ids
}

// TestTooFast: whoever sends too much is slowed down; and wrong secrets sooner than others.
func TestTooFast(t *testing.T) {
	r := begin(t, copyOf(t, sample), Options{}, "retreat.xlsx")
	c := enter(t, r)
	for _, kind := range []struct {
		path, body string
		most       int
	}{{"/enter", `{"secret":"abc"}`, 20}, {"/undo", `{}`, 2000}} {
		slowed := 0
		for range kind.most {
			if c.do("POST", kind.path, kind.body, nil).StatusCode == http.StatusTooManyRequests {
				slowed++
				break
			}
		}
		if slowed == 0 {
			t.Errorf("%s is answered %d times in a row", kind.path, kind.most)
		}
	}
	if got := c.do("GET", "/journaling", "", nil).StatusCode; got != 200 {
		t.Errorf("a page is answered with %d meanwhile", got)
	}
}

// TestHeaders: each answer says what the browser may do with it (section 11 of the design: policy without inline script and style; pictures in a sandbox).
func TestHeaders(t *testing.T) {
	r := begin(t, copyOf(t, sample), Options{}, "retreat.xlsx")
	c := enter(t, r)
	if c.cookie.Name != "tuckmark-desk-"+r.host[strings.Index(r.host, ":")+1:] || !c.cookie.HttpOnly || c.cookie.SameSite != http.SameSiteStrictMode || c.cookie.Path != "/" || c.cookie.Domain != "" {
		t.Errorf("the cookie is %v", c.cookie)
	}
	waitLaid(t, c)
	block := "/block/" + r.rows(t, c)[0] + ".svg"
	for path, kind := range map[string]string{"/journaling": "text/html; charset=utf-8", "/look.css": "text/css; charset=utf-8", "/desk.js": "text/javascript; charset=utf-8",
		block: "image/svg+xml", "/piece/0.svg": "image/svg+xml", "/enter": "text/html; charset=utf-8", "/none": "text/plain; charset=utf-8"} {
		answer := c.do("GET", path, "", nil)
		h := answer.Header
		for name, want := range map[string]string{"Content-Type": kind, "X-Content-Type-Options": "nosniff", "Referrer-Policy": "same-origin", "Cross-Origin-Resource-Policy": "same-origin"} {
			if h.Get(name) != want {
				t.Errorf("%s: %s is %q", path, name, h.Get(name))
			}
		}
		policy := h.Get("Content-Security-Policy")
		picture := kind == "image/svg+xml"
		if !strings.HasPrefix(policy, "default-src 'none'") || strings.Contains(policy, "sandbox") != picture || !picture && strings.Contains(policy, "unsafe") {
			t.Errorf("%s: the policy is %q", path, policy)
		}
		body, _ := io.ReadAll(answer.Body)
		if kind == "text/html; charset=utf-8" && (bytes.Contains(body, []byte("style=")) || bytes.Contains(body, []byte("<style")) || bytes.Contains(body, []byte("<script>"))) {
			t.Errorf("%s has a style or script of its own, which the policy forbids", path)
		}
	}
}

// waitLaid waits until the sheets of a desk are laid.
func waitLaid(t testing.TB, c *caller) {
	t.Helper()
	for end := time.Now().Add(30 * time.Second); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if c.do("GET", "/piece/0.svg", "", nil).StatusCode == 200 {
			return
		}
	}
	t.Fatal("the sheets are never laid")
}

// TestLockOfAnyCase: a job whose workbook's name was written in capitals is opened with its lock beside its journal, is listed, and keeps its title.
func TestLockOfAnyCase(t *testing.T) {
	folder := copyOf(t, sample)
	if err := begin(t, folder, Options{}, "retreat.xlsx").end(); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(filepath.Join(folder, "retreat-desk.xlsx"), filepath.Join(folder, "RETREAT-DESK.XLSX")); err != nil {
		t.Fatal(err)
	}
	c := enter(t, begin(t, folder, Options{}, "RETREAT-DESK.XLSX"))
	if _, err := os.Stat(filepath.Join(folder, ".RETREAT-DESK", "lock")); err != nil {
		t.Error(err)
	}
	if others, _ := filepath.Glob(filepath.Join(folder, ".*-desk", "lock")); len(others) > 0 {
		t.Errorf("there are locks at %v", others)
	}
	if page := c.page("/start"); !strings.Contains(page, `data-open="job" data-name="RETREAT"`) {
		t.Error("the start does not list the job")
	}
}

// TestSecondStart: a second start on the same job finds the first, and enters it with a secret of its own; what a killed desk left does not matter.
func TestSecondStart(t *testing.T) {
	longtests.Only(t)
	folder := copyOf(t, sample)
	r := begin(t, folder, Options{}, "retreat.xlsx")
	info, err := os.Stat(lockFile(filepath.Join(folder, "retreat-desk.xlsx")))
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Fatalf("the lock is %v, %v", info, err)
	}
	second := begin(t, folder, Options{}, "retreat.xlsx")
	if err := second.end(); err != nil {
		t.Fatal(err)
	}
	if second.host != r.host || second.address == r.address {
		t.Errorf("the second start says %q", second.address)
	}
	enter(t, second)
	third := begin(t, folder, Options{}, "retreat-desk.xlsx")
	if third.address == r.address {
		t.Error("the same secret was given twice")
	}
	file := lockFile(filepath.Join(folder, "retreat-desk.xlsx"))
	err = os.RemoveAll(filepath.Dir(file)) // by somebody, while the desk is open, which writes there meanwhile
	for n := 0; err != nil && n < 100; n++ {
		err = os.RemoveAll(filepath.Dir(file))
	}
	if err != nil {
		t.Fatal(err)
	}
	for end := time.Now().Add(10 * time.Second); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if _, err := os.Stat(file); err == nil {
			break
		}
	}
	if fourth := begin(t, folder, Options{}, "retreat-desk.xlsx"); fourth.host != r.host {
		t.Errorf("after its lock was taken away the first desk is not found, but %s", fourth.address)
	}
	if err := r.end(); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(file); err == nil {
		t.Error("a desk that has ended leaves its lock")
	}
	// A process that was killed leaves a lock that nobody answers for; one that is no lock at all is taken over too.
	asked := false
	other := httptest.NewServer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { asked = true }))
	defer other.Close()
	named := strings.Replace(strings.TrimPrefix(other.URL, "http://"), "127.0.0.1", "localhost", 1) // a name can lead anywhere
	for _, left := range []string{`{"process":1,"host":"127.0.0.1:1","key":"abc"}`, `{"process":1,"host":"` + named + `","key":"abc"}`, `{"process":1,"host":"desk.example:80","key":"abc"}`, "", "{"} {
		if err := os.MkdirAll(filepath.Dir(file), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(left), 0o600); err != nil {
			t.Fatal(err)
		}
		again := begin(t, folder, Options{}, "retreat.xlsx")
		enter(t, again)
		if err := again.end(); err != nil {
			t.Error(err)
		}
	}
	if asked {
		t.Error("a lock leads to where only a name does")
	}
}

// TestSecondStartOfAFolder: a desk that was started without a job is found by a second start in the same folder, whatever it has open meanwhile, as by
// a second double click; not by a start in another one. Where a job cannot be kept, the desk says so before a browser opens.
func TestSecondStartOfAFolder(t *testing.T) {
	folder := copyOf(t, sample)
	r := begin(t, folder, Options{})
	c := enter(t, r)
	if code, body := c.post("/start/open", `{"kind":"file","name":"retreat.xlsx"}`); code != http.StatusOK {
		t.Fatal(code, body)
	}
	second := begin(t, folder, Options{})
	if err := second.end(); err != nil {
		t.Fatal(err)
	}
	if second.host != r.host || second.address == r.address {
		t.Errorf("the second start says %q", second.address)
	}
	if page := enter(t, second).page("/journaling"); !strings.Contains(page, "retreat") {
		t.Error("the job is not there for who comes in by the second start")
	}
	if other := begin(t, t.TempDir(), Options{}); other.host == r.host {
		t.Error("a start in another folder finds this desk")
	}
	if err := r.end(); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(folder, ".desk")); err == nil {
		t.Error("a desk that has ended leaves its lock")
	}
	file := filepath.Join(t.TempDir(), "file") // in which no folder can be made
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	err := Run(t.Context(), Options{NoBrowser: true, Work: file, Settings: load, Say: func(line string) { t.Error(line) }})
	var refused *Refused
	if !errors.As(err, &refused) || !refused.Problems[0].Disk || !strings.Contains(refused.Problems[0].What, "cannot be written to") {
		t.Errorf("in a folder that cannot be written to: %v", err)
	}
}

// TestIdle: the desk ends when no page has been open for a while, and not while one is.
func TestIdle(t *testing.T) {
	longtests.Only(t)
	r := begin(t, copyOf(t, sample), Options{idleAfter: 1500 * time.Millisecond}, "retreat.xlsx")
	c := enter(t, r)
	req, _ := http.NewRequest("GET", "http://"+r.host+"/events", nil)
	req.AddCookie(c.cookie)
	answer, err := c.client.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	time.Sleep(2500 * time.Millisecond)
	if got := c.do("GET", "/journaling", "", nil).StatusCode; got != 200 {
		t.Fatalf("while a page is open, the desk answers %d", got)
	}
	answer.Body.Close()
	c.client.CloseIdleConnections()
	for end := time.Now().Add(10 * time.Second); ; time.Sleep(50 * time.Millisecond) {
		if _, err := c.client.Get("http://" + r.host + "/enter"); err != nil {
			return
		}
		if time.Now().After(end) {
			t.Fatal("the desk does not end")
		}
	}
}

// unlimited lets requests come as fast as they can.
func unlimited(g *guard) {
	for _, b := range g.rates {
		b.burst, b.perSecond = 1e9, 1e9
	}
}

// FuzzRequests: whatever a browser that was let in sends, the desk answers, and never as if it had met a fault of its own; and nothing is written but
// the job's own files.
func FuzzRequests(f *testing.F) {
	r := begin(f, copyOf(f, sample), Options{limits: unlimited}, "retreat.xlsx")
	c := enter(f, r)
	row := r.rows(f, c)[0]
	for _, seed := range [][2]string{{"/try", `{"cells":{"Name":"A","Journaling":"*x*","Width":"4","Height":"2"}}`}, {"/change", `{"id":"` + row + `","cells":{"Width":"1e9"}}`},
		{"/add", `{"after":"^","cells":{"Name":"B"}}`}, {"/remove", `{"id":"` + row + `"}`}, {"/move", `{"id":"` + row + `","after":"` + row + `"}`}, {"/undo", `{}`}, {"/redo", `{}`},
		{"/return", `{"state":1}`}, {"/answer", `{"question":"x","key":"y"}`}, {"/take/paste", `{"text":"Name\tJournaling\tWidth\tHeight\nA\tb\t4\t2"}`},
		{"/start/paste", `{"name":"new","text":"Name,Journaling\n"}`}, {"/start/open", `{"kind":"job","name":"retreat"}`}, {"/enter", `{"secret":"a"}`}, {"/again", "{}"},
		{"/change", `{"sheet":"paper","id":"x","cells":null}`}} {
		f.Add(seed[0], seed[1])
	}
	f.Fuzz(func(t *testing.T, path, body string) {
		if path == "/quit" || !strings.HasPrefix(path, "/") || strings.ContainsAny(path, " \x00\r\n\t") || path == "/start/new" {
			t.Skip()
		}
		req, err := http.NewRequest("POST", "http://"+c.r.host+path, strings.NewReader(body))
		if err != nil {
			t.Skip()
		}
		req.Header.Set("Origin", "http://"+c.r.host)
		req.Header.Set("Content-Type", "application/json")
		req.AddCookie(c.cookie)
		answer, err := c.client.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		defer answer.Body.Close()
		if answer.StatusCode >= 500 {
			t.Errorf("%s %q is answered with %s", path, body, answer.Status)
		}
	})
}

// FuzzLooks: whatever page, part or picture is asked for, with whatever behind it, the desk answers, and shows nothing that is not its own.
func FuzzLooks(f *testing.F) {
	r := begin(f, copyOf(f, sample), Options{limits: unlimited}, "retreat.xlsx")
	c := enter(f, r)
	waitLaid(f, c)
	row := r.rows(f, c)[0]
	for _, seed := range [][2]string{{"/journaling", "who=all"}, {"/part/blocks", "who=%00"}, {"/part/people", "who=x&who=y"}, {"/block/" + row + ".x.svg", ""}, {"/block/..", ""}, {"/trial/1.svg", ""},
		{"/piece/0.svg", ""}, {"/piece/-1.svg", ""}, {"/stock/0.svg", ""}, {"/stock/99999999999999999999.svg", ""}, {"/part/states", ""}, {"/part/questions", ""}, {"/paper", ""}, {"/sheets", "x"},
		{"/../../etc/passwd", ""}, {"/assets/pages.html", ""}} {
		f.Add(seed[0], seed[1])
	}
	f.Fuzz(func(t *testing.T, path, query string) {
		if path == "/events" {
			t.Skip("it does not end")
		}
		answer := httptest.NewRecorder()
		req := httptest.NewRequest("GET", "/", nil)
		req.URL.Path, req.URL.RawQuery, req.Host = path, query, r.host
		req.AddCookie(c.cookie)
		r.handler().ServeHTTP(answer, req)
		if answer.Code >= 500 || answer.Code == 200 && !slices.Contains([]string{"text/html; charset=utf-8", "image/svg+xml", "text/css; charset=utf-8", "text/javascript; charset=utf-8"}, answer.Header().Get("Content-Type")) {
			t.Errorf("%q, %q is answered with %d, %s", path, query, answer.Code, answer.Header().Get("Content-Type"))
		}
	})
}

// FuzzDrop: whatever a dropped file is called and holds, it is taken or refused, and nothing lies outside of the folder.
func FuzzDrop(f *testing.F) {
	r := begin(f, copyOf(f, sample), Options{limits: unlimited}, "retreat.xlsx")
	c := enter(f, r)
	f.Add("crop.csv", []byte("Name,Journaling,Width,Height\nAnn,Words,4,2\n"))
	f.Add("../../crop.csv", []byte("Name,Journaling,Width,Height\nAnn,Words,4,2\n"))
	f.Add("a\x00b.xlsx", []byte("PK\x03\x04"))
	f.Add("", []byte{})
	f.Fuzz(func(t *testing.T, name string, data []byte) {
		c.t = t
		var body bytes.Buffer
		form := multipart.NewWriter(&body)
		part, err := form.CreateFormFile("file", name)
		if err != nil {
			t.Skip()
		}
		part.Write(data)
		form.Close()
		answer := c.do("POST", "/take/drop", body.String(), func(r *http.Request) { r.Header.Set("Content-Type", form.FormDataContentType()) })
		if answer.StatusCode >= 500 {
			text, _ := io.ReadAll(answer.Body)
			t.Errorf("%q is answered with %s: %s", name, answer.Status, text)
		}
		if n := droppedName(name, 0); filepath.Base(n) != n || n == "." || n == ".." || n == "" {
			t.Errorf("%q becomes %q", name, n)
		}
		entries, err := os.ReadDir(filepath.Dir(r.folder))
		if err != nil || len(entries) > 1 {
			t.Errorf("beside the folder lie %v, %v", entries, err)
		}
	})
}

// TestDroppedNames: of forms that all have one name each is told by it, in the order in which they come; another name stays as far as it is a plain one, with what
// it says of units.
func TestDroppedNames(t *testing.T) {
	dir := t.TempDir()
	long := strings.Repeat("Copy of the form ", 5)
	for i, c := range [][2]string{
		{"journaling-form.xlsx", "journaling-form.xlsx"},
		{"journaling-form.xlsx", "journaling-form (file 2 of this name).xlsx"},
		{"journaling-form (2).xlsx", "journaling-form (2).xlsx"},
		{"journaling-form.xlsx", "journaling-form (file 3 of this name).xlsx"},
		{"Retreat – sizes in cm.csv", "Retreat sizes in cm.csv"},
		{"Ann [mm]; ~2.csv", "Ann mm 2.csv"},
		{long + "(all sizes in cm).csv", "Copy of the form Copy of the of the form (all sizes in cm).csv"},
		{"???.xlsx", "dropped.xlsx"},
		{"..", "dropped"},
		{"...xlsx", "dropped (file 2 of this name).xlsx"},
		{".\u202e.csv", "dropped.csv"},
	} {
		if file, err := writeDropped(dir, c[0], []byte{byte(i)}); err != nil || filepath.Base(file) != c[1] {
			t.Errorf("%q is %q, %v, want %q", c[0], filepath.Base(file), err, c[1])
		}
	}
}

// TestJobNames: what a job may be called is a plain name of a file.
func TestJobNames(t *testing.T) {
	for typed, want := range map[string]string{"retreat": "retreat", "  Skarven  2026 ": "Skarven 2026", "Avó’s crop": "Avó’s crop", "../x": "", "a/b": "", `a\b`: "", ".hidden": "",
		"a:b": "", "con\x00": "", "": "", "a.": "", "<b>": "", "\xff": ""} {
		if got, bad := jobName(typed); got != want || (bad == nil) != (want != "") {
			t.Errorf("%q becomes %q, %v", typed, got, bad)
		}
	}
}
