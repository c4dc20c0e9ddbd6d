package desk

import (
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"tuckmark/config/longtests"
	"tuckmark/impose/proof/chromium"
)

// hundred is a text of a hundred words.
var hundred = strings.TrimSpace(strings.Repeat("We rowed out before anybody was awake, and the lake was ours. ", 10)[:len("We rowed out before anybody was awake, and the lake was ours. ")*9+20])

// keystroke sends a text that is being typed, and takes the picture of it.
func keystroke(t testing.TB, c *caller, text string) {
	body, _ := json.Marshal(map[string]any{"cells": map[string]string{"Name": "Ann Lo", "Journaling": text, "Width": "4", "Height": "4", "Stock": "vellum"}})
	answer := c.do("POST", "/try", string(body), nil)
	var said trialSays
	if err := json.NewDecoder(answer.Body).Decode(&said); err != nil || said.Picture == "" {
		t.Fatalf("no picture: %v, %+v", err, said)
	}
	if got := c.do("GET", said.Picture, "", nil); got.StatusCode != http.StatusOK {
		t.Fatal(got.Status)
	}
}

// percentile is the time that a share of times does not exceed, in hundredths.
func percentile(times []time.Duration, share int) time.Duration {
	slices.Sort(times)
	return times[min(len(times)-1, len(times)*share/100)]
}

// BenchmarkKeystroke is from the arrival of a letter, of a text of about 100 words, to the picture: what the page waits for.
func BenchmarkKeystroke(b *testing.B) {
	r := begin(b, copyOf(b, sample), Options{limits: unlimited}, "retreat.xlsx")
	c := enter(b, r)
	waitLaid(b, c)
	var times []time.Duration
	for i := 0; b.Loop(); i++ {
		from := time.Now()
		keystroke(b, c, hundred+strings.Repeat("x", 1+i%7))
		times = append(times, time.Since(from))
	}
	b.ReportMetric(float64(percentile(times, 50).Microseconds())/1000, "ms-median")
	b.ReportMetric(float64(percentile(times, 99).Microseconds())/1000, "ms-99th")
}

// many is a CSV file of so many rows.
func many(t testing.TB, folder string, n int) {
	t.Helper()
	var out strings.Builder
	out.WriteString("Name,Page,Journaling,Width,Height,Stock\n")
	stocks := []string{"vellum", "clear sticker", "cardstock"}
	for i := range n {
		fmt.Fprintf(&out, "Person %d,Page %d,\"%d: %s\",%d,%d 1/2,%s\n", i/20, i%20/3, i, hundred[:60+i%7*40], 3+i%3, 1+i%2, stocks[i%3])
	}
	if err := os.WriteFile(filepath.Join(folder, "many.csv"), []byte(out.String()), 0o644); err != nil {
		t.Fatal(err)
	}
}

// BenchmarkOpen is from the start of a desk on a job of 1,000 blocks, begun before, to the page with somebody's blocks and their pictures.
func BenchmarkOpen(b *testing.B) {
	folder := b.TempDir()
	many(b, folder, 1000)
	if err := begin(b, folder, Options{}, "many.csv").end(); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		r := begin(b, folder, Options{limits: unlimited}, "many-desk.xlsx")
		c := enter(b, r)
		page := ""
		for !strings.Contains(page, "/block/") {
			page = c.page("/journaling")
		}
		b.StopTimer()
		if err := r.end(); err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
	}
}

// TestMemory: what a desk holds on to, with the sample and with 1,000 blocks, while it is laid.
func TestMemory(t *testing.T) {
	longtests.Only(t)
	if testing.Short() {
		t.Skip("it lays 1,000 blocks")
	}
	folder := copyOf(t, sample)
	many(t, folder, 1000)
	for _, c := range []struct {
		file string
		most uint64 // MiB
	}{{"retreat.xlsx", 150}, {"many.csv", 400}} {
		var before, after runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&before)
		r := begin(t, folder, Options{limits: unlimited}, c.file)
		caller := enter(t, r)
		waitLaid(t, caller)
		peak := uint64(0)
		for range 3 {
			runtime.ReadMemStats(&after)
			peak = max(peak, after.HeapAlloc-min(before.HeapAlloc, after.HeapAlloc))
			for _, part := range strings.SplitN(caller.page("/part/blocks?who=all"), `src="`, 40)[1:] {
				caller.do("GET", part[:strings.Index(part, `"`)], "", nil)
			}
			time.Sleep(50 * time.Millisecond)
		}
		t.Logf("%s: at most %d MiB in use", c.file, peak>>20)
		if peak>>20 > c.most {
			t.Errorf("%s takes %d MiB, the limit is %d", c.file, peak>>20, c.most)
		}
		if err := r.end(); err != nil {
			t.Fatal(err)
		}
	}
}

// TestKeystroke: in the browser, from the letter to the picture that shows it, with a text of about 100 words. Times are noisy on a shared machine: the
// limits are for what is plainly wrong; what it takes is told.
func TestKeystroke(t *testing.T) {
	chromium.Start(t)
	r := begin(t, copyOf(t, sample), Options{limits: unlimited}, "retreat.xlsx")
	b := enterDesk(t, r, 1280, 900, "light")
	until(t, b, laidAll)
	b.JS(`document.querySelector(".take").click()`)
	until(t, b, `document.querySelector("#fit b").textContent`)
	typeInto(b, "Journaling", hundred)
	until(t, b, `document.querySelector(".take").dataset.trial > 1`)
	time.Sleep(time.Second)
	times := chromium.Eval[[]float64](b, `(async () => {
		const e = document.getElementById("editor").elements.Journaling, take = () => document.querySelector("[data-id] .take");
		const out = [];
		for (let i = 0; i < 25; i++) {
			const was = take().dataset.trial, from = performance.now();
			e.value += "x y"[i % 3];
			e.dispatchEvent(new Event("input", {bubbles: true}));
			while (take().dataset.trial === was) await new Promise((done) => setTimeout(done, 1));
			out.push(performance.now() - from);
			await new Promise((done) => setTimeout(done, 40));
		}
		return out.sort((a, b) => a - b); })()`)
	t.Logf("letter to picture: %.0f ms at the median, %.0f ms at most", times[len(times)/2], times[len(times)-1])
	if times[len(times)/2] > 250 {
		t.Errorf("a picture takes %.0f ms", times[len(times)/2])
	}
}

// TestThousand: the parts of 1,000 blocks stay small enough for a browser, 2 MB and 20,000 elements; told is how long the desk takes for them, and the
// browser.
func TestThousand(t *testing.T) {
	if !longtests.Many() {
		t.Skip("it takes half a minute: LONG_TESTS=1")
	}
	chromium.Start(t)
	folder := t.TempDir()
	many(t, folder, 1000)
	r := begin(t, folder, Options{limits: unlimited, printer: (&standIn{}).printer()}, "many.csv")
	b := enterDesk(t, r, 1280, 900, "light")
	from := time.Now()
	until(t, b, laidAll)
	t.Logf("laid in full: %v", time.Since(from).Round(time.Millisecond))
	b.JS(`desk.send("/print/make", {}).then(() => { document.title = "made"; }); 0`)
	until(t, b, `document.title === "made"`)
	const load = `(async () => {
		const e = performance.getEntriesByType("navigation")[0];
		const sight = []; // to ask where a picture far below lies has the browser lay it out, which takes 10 ms for each
		for (const i of document.images) {
			if (i.getBoundingClientRect().top > innerHeight) break;
			sight.push(i);
		}
		while (!sight.every((i) => i.complete)) await new Promise((done) => setTimeout(done, 5));
		return [e.responseEnd - e.requestStart, e.encodedBodySize, e.domContentLoadedEventEnd, performance.now(), document.querySelectorAll("*").length]; })()`
	for _, part := range []string{"/journaling?who=all", "/sheets", "/print", "/reprint", "/cutting", "/share"} {
		for range 2 {
			goTo(t, r, b, part)
			n := chromium.Eval[[]float64](b, load)
			t.Logf("%-20s answered in %4.0f ms, %7.0f bytes, ready after %5.0f ms, with the pictures in sight %5.0f ms, %.0f elements", part, n[0], n[1], n[2], n[3], n[4])
			if n[1] > 2_000_000 || n[4] > 20_000 {
				t.Errorf("%s has %.0f bytes and %.0f elements", part, n[1], n[4])
			}
		}
	}
	goTo(t, r, b, "/sheets")
	if spots := chromium.Eval[int](b, `document.querySelectorAll("button.spot").length`); spots != 1000 {
		t.Errorf("%d blocks can be pressed", spots)
	}
	n := chromium.Eval[[]float64](b, `(async () => {
		const from = performance.now();
		document.getElementById("pieces").innerHTML = await desk.part("/part/sheets");
		const fetched = performance.now();
		document.body.getBoundingClientRect();
		const i = document.querySelectorAll(".drawing img")[50];
		const p = performance.now();
		await fetch(i.src + "?").catch(() => 0);
		return [fetched - from, performance.now() - fetched, performance.now() - p, (await (await fetch(i.src)).text()).length]; })()`)
	t.Logf("renewed in %.0f ms, laid out in %.0f ms; a picture in %.0f ms, %.0f bytes", n[0], n[1], n[2], n[3])
}
