package config

import (
	"reflect"
	"strings"
	"testing"
)

// TestLoads: what a printer is asked for by stock; a stock's name is taken as it is spelt where it is defined.
func TestLoads(t *testing.T) {
	s := load(t, `printers:
  - name: home
    queue: Home_Inkjet
    loads:
      - {stock: Vellum, source: rear, type: transparency, quality: draft}
      - {stock: cardstock, source: main, quality: best, at-once: 5}`)
	p := s.Printers[0]
	want := []Loading{{Stock: "vellum", Source: "rear", Type: "transparency", Quality: Draft}, {Stock: "cardstock", Source: "main", Quality: High, AtOnce: 5}}
	if p.Queue != "Home_Inkjet" || !reflect.DeepEqual(p.Loads, want) {
		t.Errorf("%+v", p)
	}
	if got := p.Loading("vellum"); got != want[0] {
		t.Errorf("vellum: %+v", got)
	}
	if got := p.Loading("plain paper"); got != (Loading{Stock: "plain paper"}) {
		t.Errorf("plain paper: %+v", got)
	}
}

func TestBadLoads(t *testing.T) {
	for text, want := range map[string]string{
		"[{stock: velum}]":                   "there is no stock “velum”",
		"[{source: rear}]":                   "this load names no stock",
		"[{stock: vellum}, {stock: Vellum}]": "there are two loads of “Vellum”",
		"[{stock: vellum, quality: fine}]":   "“fine” is not one of the choices",
		"[{stock: vellum, at-once: 0}]":      "“0” is not between 1 and 1000",
		"[vellum]":                           "this cannot be a single value",
		"[{stock: vellum, tray: rear}]":      "“tray” is not a setting",
	} {
		folder := t.TempDir()
		path := write(t, folder, "printers:\n  - name: home\n    loads: "+text)
		_, problems := Load(Source{File: path, Near: folder, Work: folder, Home: folder})
		if len(problems) != 1 || !strings.Contains(problems[0].What, want) || problems[0].Place.Line != 3 {
			t.Errorf("%s: %v", text, problems)
		}
	}
}
