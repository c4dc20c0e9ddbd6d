// Package chromium opens pages in Chromium for tests, where one is installed. It is imported by tests only.
package chromium

import (
	"context"
	"os"
	"os/exec"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"tuckmark/config/longtests"
	"tuckmark/impose/press/readback"
)

// browser is the one of the process; each test has tabs of its own.
var browser struct {
	sync.Mutex
	ctx  context.Context
	stop func()
}

// Main runs a package's tests and closes the browser after them.
func Main(m *testing.M) {
	code := m.Run()
	if browser.stop != nil {
		browser.stop()
	}
	os.Exit(code)
}

// Tab is a page that is open at a width, in light or dark. It collects what the page asks for.
type Tab struct {
	Context  context.Context
	t        testing.TB
	mutex    sync.Mutex
	requests []string
	dialogs  int
}

// quick are the tests, by their names, that open pages also where no long tests are asked for.
var quick sync.Map

// Always has a test open pages also where no long tests are asked for.
func Always(t testing.TB) { quick.Store(t.Name(), true) }

// Start skips the test where there is no Chromium, or no long tests are asked for.
func Start(t testing.TB) context.Context {
	t.Helper()
	if _, always := quick.Load(t.Name()); !always {
		longtests.Only(t)
	}
	if !readback.Available {
		t.Skip("the browser is not run under the race detector: nothing of ours runs in it")
	}
	path := ""
	for _, name := range []string{"chromium-headless-shell", "chrome-headless-shell", "chromium", "chromium-browser", "google-chrome"} {
		if p, err := exec.LookPath(name); err == nil {
			path = p
			break
		}
	}
	if path == "" {
		t.Skip("no Chromium is installed here")
	}
	browser.Lock()
	defer browser.Unlock()
	if browser.ctx == nil {
		options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU,
			chromedp.Flag("disable-component-update", true), chromedp.WSURLReadTimeout(time.Minute))
		alloc, stop1 := chromedp.NewExecAllocator(context.Background(), options...)
		ctx, stop2 := chromedp.NewContext(alloc)
		if err := chromedp.Do(ctx); err != nil {
			t.Fatalf("Chromium does not start: %v", err)
		}
		browser.ctx, browser.stop = ctx, func() { stop2(); stop1() }
	}
	return browser.ctx
}

// Open opens an address in a tab of its own, for as long as the test and no longer than two minutes.
func Open(t testing.TB, address string, width, height int64, scheme string, before ...chromedp.Action[chromedp.Void]) *Tab {
	t.Helper()
	parent := Start(t)
	ctx, stop := chromedp.NewContext(parent)
	t.Cleanup(stop)
	b := &Tab{t: t, Context: ctx}
	b.Do() // opens the tab, whose life must not hang on the limit
	b.Context, stop = context.WithTimeout(ctx, 2*time.Minute)
	t.Cleanup(stop)
	dialogs := make(chan bool, 100)
	if err := chromedp.Listen(ctx, func(event any) {
		b.mutex.Lock()
		defer b.mutex.Unlock()
		switch e := event.(type) {
		case *network.EventRequestWillBeSent:
			b.requests = append(b.requests, e.Request.URL)
		case *cdppage.EventJavascriptDialogOpening:
			b.dialogs++
			dialogs <- true
		}
	}); err != nil {
		t.Fatal(err)
	}
	go func() {
		for {
			select {
			case <-ctx.Done():
				return
			case <-dialogs: // counted already; if it cannot be closed, the test runs into its limit
				_, _ = chromedp.Call(ctx, cdppage.HandleJavaScriptDialog, cdppage.HandleJavaScriptDialogParams{})
			}
		}
	}()
	Command(b, network.Enable, network.EnableParams{})
	Command(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
	b.Do(chromedp.EmulateViewport(width, height))
	b.Do(before...)
	b.Do(chromedp.Navigate(address))
	b.Until(`document.fonts.status === "loaded"`)
	return b
}

// Until waits until a script comes to true on a page that is loaded, whatever page that is by then.
func (b *Tab) Until(script string) {
	b.t.Helper()
	said := ""
	for end := time.Now().Add(40 * time.Second); time.Now().Before(end); time.Sleep(30 * time.Millisecond) {
		v, err := chromedp.Run(b.Context, chromedp.Evaluate[bool](`document.readyState === "complete" && !!(`+script+`)`, chromedp.EvalAwaitPromise))
		if err == nil && v {
			return
		}
		if err != nil { // the page may be going to another one just then
			said = err.Error()
		}
	}
	b.t.Fatalf("it never came true that %s (%s); the page says: %s", script, said, Eval[string](b, `document.body.innerText.slice(0, 1500)`))
}

// Requests are the addresses that the page has asked for, and Dialogs how often a script opened one.
func (b *Tab) Requests() (addresses []string, dialogs int) {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	return b.requests, b.dialogs
}

// Do takes steps that have no result.
func (b *Tab) Do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	if err := chromedp.Do(b.Context, steps...); err != nil {
		b.t.Fatalf("Chromium: %v", err)
	}
}

// Command gives the browser a command of its protocol.
func Command[P, R any](b *Tab, c cdp.Command[P, R], p P) {
	b.t.Helper()
	if _, err := chromedp.Call(b.Context, c, p); err != nil {
		b.t.Fatalf("Chromium: %v", err)
	}
}

// Eval is what a script comes to, when its promise is kept.
func Eval[T any](b *Tab, script string) T {
	b.t.Helper()
	v, err := chromedp.Run(b.Context, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
	if err != nil {
		b.t.Fatalf("Chromium: %v\n%.200s", err, script)
	}
	return v
}

// JS runs a script for what it does.
func (b *Tab) JS(script string) { b.t.Helper(); Eval[chromedp.Void](b, script) }

// Shot is what the tab shows, as a PNG.
func (b *Tab) Shot() []byte {
	b.t.Helper()
	png, err := chromedp.Run(b.Context, chromedp.CaptureScreenshot())
	if err != nil {
		b.t.Fatalf("Chromium: %v", err)
	}
	return png
}
