package ipp

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
)

// TestIpptool: what CUPS' own ipptool sends by its files is read and written again byte for byte, and what is written here ipptool
// reads as it was meant.
func TestIpptool(t *testing.T) {
	if _, err := exec.LookPath("ipptool"); err != nil {
		t.Skip("there is no ipptool (Debian: cups-ipp-utils)")
	}
	var requests atomic.Int64
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		data, err := io.ReadAll(io.LimitReader(r.Body, 1<<22))
		if err != nil {
			t.Error(err)
			return
		}
		m, rest, err := Decode(data)
		if err != nil {
			t.Errorf("%v: %q", err, data)
			return
		}
		if got := append(m.Encode(), rest...); !bytes.Equal(got, data) {
			t.Errorf("read and written again:\n%q, was\n%q", got, data)
		}
		requests.Add(1)
		answer := Message{Version: m.Version, ID: m.ID, Groups: []Group{
			{OperationGroup, Attributes{Attr("attributes-charset", Charset, "utf-8"), Attr("attributes-natural-language", Language, "en")}},
			{PrinterGroup, Attributes{Attr("printer-name", Name, "home"), Number("printer-state", Enum, 3),
				Collect("media-col-default", Collect("media-size", Number("x-dimension", Integer, 10163), Number("y-dimension", Integer, 19057)), Attr("media-source", Keyword, "rear")),
				Attr("sides-supported", Keyword, "one-sided", "two-sided-long-edge"), {Name: "copies-supported", Values: []Value{{Tag: Range, Int: 1, Upper: 99}}}, Number("color-supported", Boolean, 1)}}}}
		w.Header().Set("Content-Type", "application/ipp")
		w.Write(answer.Encode())
	}))
	defer server.Close()
	uri := "ipp" + strings.TrimPrefix(server.URL, "http") + "/ipp/print"
	list := filepath.Join(t.TempDir(), "list.test")
	display := "{\nOPERATION Get-Printer-Attributes\nGROUP operation-attributes-tag\nATTR charset attributes-charset utf-8\nATTR naturalLanguage attributes-natural-language en\nATTR uri printer-uri $uri\n" +
		"ATTR collection media-col {MEMBER collection media-size {MEMBER integer x-dimension 10163 MEMBER rangeOfInteger y-dimension 1-19057} MEMBER keyword media-type a,b}\n"
	for _, name := range []string{"printer-name", "printer-state", "media-col-default", "sides-supported", "copies-supported", "color-supported"} {
		display += "DISPLAY " + name + "\n"
	}
	if err := os.WriteFile(list, []byte(display+"}\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("ipptool", "-T", "5", "-c", uri, list).CombinedOutput()
	want := "printer-name,printer-state,media-col-default,sides-supported,copies-supported,color-supported\n" +
		"home,idle,{media-size={x-dimension=10163 y-dimension=19057} media-source=rear},\"one-sided,two-sided-long-edge\",1-99,true\n"
	if err != nil || strings.ReplaceAll(string(out), "\r", "") != want {
		t.Errorf("%v: %s, want\n%s", err, out, want)
	}
	for _, file := range []string{"get-printer-attributes.test", "get-jobs.test", "get-job-attributes.test", "create-printer-subscription.test", "get-printers.test", "get-completed-jobs.test"} {
		if before, path := requests.Load(), filepath.Join("/usr/share/cups/ipptool", file); true {
			if _, err := os.Stat(path); err != nil {
				continue
			}
			out, _ := exec.Command("ipptool", "-T", "5", "-tv", "-d", "job-id=1", uri, path).CombinedOutput() // it misses things in the answers; its requests count
			if requests.Load() == before {
				t.Errorf("%s sent nothing: %s", file, out)
			}
		}
	}
	if n := requests.Load(); n < 2 {
		t.Error(fmt.Sprint(n, " requests"))
	}
}
