// Package readback reads PDF files with PDFium, which shares nothing with the code that wrote them. Tests of several
// packages use it to see what a reader, and a printer, would see. Nothing else may import it.
package readback

import (
	"io"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/klippa-app/go-pdfium"
	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"
	"github.com/klippa-app/go-pdfium/webassembly"
	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
	"github.com/tetratelabs/wazero/experimental"
)

// engine is the one PDFium of the process. It is not safe for use by several goroutines at once: hold mutex.
var engine struct {
	once   sync.Once
	mutex  sync.Mutex
	pdfium pdfium.Pdfium
	err    error
}

func startEngine() {
	config := wazero.NewRuntimeConfig().WithCoreFeatures(api.CoreFeaturesV2 | experimental.CoreFeaturesExceptionHandling)
	// Compiling PDFium takes some seconds; the machine code is kept for the next test binary.
	if cache, err := wazero.NewCompilationCacheWithDir(cacheFolder()); err == nil {
		config = config.WithCompilationCache(cache)
	}
	pool, err := webassembly.Init(webassembly.Config{
		MinIdle: 1, MaxIdle: 1, MaxTotal: 1,
		RuntimeConfig: config,
		FSConfig:      wazero.NewFSConfig(), // no folders: fonts must come from the file that is read
		Stdout:        io.Discard, Stderr: io.Discard,
	})
	if err != nil {
		engine.err = err
		return
	}
	engine.pdfium, engine.err = pool.GetInstance(time.Minute)
}

func cacheFolder() string {
	dir, err := os.UserCacheDir()
	if err != nil {
		dir = os.TempDir()
	}
	return filepath.Join(dir, "tuckmark-tests", "pdfium")
}

// Doc is an open PDF. Its methods fail the test that opened it where PDFium reports an error.
type Doc struct {
	t     testing.TB
	ref   references.FPDF_DOCUMENT
	pages int
}

// Open reads a PDF and closes it when the test ends. Under the race detector it skips the test.
func Open(t testing.TB, pdf []byte) *Doc {
	t.Helper()
	if !Available {
		t.Skip("PDFium is not run under the race detector")
	}
	engine.mutex.Lock()
	defer engine.mutex.Unlock()
	engine.once.Do(startEngine)
	if engine.err != nil {
		t.Fatalf("PDFium does not start: %v", engine.err)
	}
	opened, err := engine.pdfium.OpenDocument(&requests.OpenDocument{File: &pdf})
	if err != nil {
		t.Fatalf("PDFium does not open the file: %v", err)
	}
	d := &Doc{t: t, ref: opened.Document}
	t.Cleanup(func() {
		engine.mutex.Lock()
		defer engine.mutex.Unlock()
		// The test is over; a failure to close could only be reported to the next.
		_, _ = engine.pdfium.FPDF_CloseDocument(&requests.FPDF_CloseDocument{Document: d.ref})
	})
	count, err := engine.pdfium.FPDF_GetPageCount(&requests.FPDF_GetPageCount{Document: d.ref})
	if err != nil {
		t.Fatalf("PDFium does not count the pages: %v", err)
	}
	d.pages = count.PageCount
	return d
}

// lock guards the engine; call what it returns when done.
func (d *Doc) lock() func() {
	engine.mutex.Lock()
	return engine.mutex.Unlock
}

func (d *Doc) check(err error) {
	if err != nil {
		d.t.Helper()
		d.t.Fatalf("PDFium: %v", err)
	}
}

func (d *Doc) page(i int) requests.Page {
	return requests.Page{ByIndex: &requests.PageByIndex{Document: d.ref, Index: i}}
}
