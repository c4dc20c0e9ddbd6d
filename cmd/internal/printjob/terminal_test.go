package printjob

import (
	"context"
	"errors"
	"io"
	"strings"
	"testing"
)

var loadedQuestion = Question{Kind: Loaded, Words: "Print it?", Usual: Yes, Choices: []Choice{{Yes, "it is loaded"}, {Skip, "leave it out"}, {Quit, "stop"}}}

// TestTerminal: letters and Enter are answers; what is none is asked again; the end of the input is told.
func TestTerminal(t *testing.T) {
	var out strings.Builder
	f := Terminal(strings.NewReader("\nwhat?\n S \nq"), &out, false)
	for _, want := range []Answer{Yes, Skip, Quit} {
		if got, err := f.Ask(context.Background(), loadedQuestion); got != want || err != nil {
			t.Errorf("%q, %v; want %q", got, err, want)
		}
	}
	if _, err := f.Ask(context.Background(), loadedQuestion); !errors.Is(err, io.EOF) {
		t.Errorf("at the end: %v", err)
	}
	const prompt = "Print it? (Enter = it is loaded, s = leave it out, q = stop) "
	if got := strings.Count(out.String(), prompt); got != 5 {
		t.Errorf("asked %d times: %q", got, out.String())
	}
	if f := Terminal(nil, &out, true); f.Ask != nil {
		t.Error("asks with nobody there")
	}
	out.Reset()
	f.Tell(Remark("a name\nof two lines"))
	if got := out.String(); got != "a name of two lines\n" {
		t.Errorf("%q", got)
	}
}

// TestTerminalStops: a question that nobody answers ends with the context, and the line that comes then answers the next question.
func TestTerminalStops(t *testing.T) {
	in, typed := io.Pipe()
	f := Terminal(in, io.Discard, false)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := f.Ask(ctx, loadedQuestion); !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
	go func() { _, _ = io.WriteString(typed, "s\n") }() // read below
	if got, err := f.Ask(context.Background(), loadedQuestion); got != Skip || err != nil {
		t.Errorf("%q %v", got, err)
	}
}
