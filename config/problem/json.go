package problem

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"
)

// WriteJSON writes a list as other programs read it, with the number of blocks that are ready and of rows held back. The error is
// w's.
func (l List) WriteJSON(w io.Writer, ready, held int) error {
	type entry struct {
		Severity string `json:"severity"`
		File     string `json:"file"`
		Sheet    string `json:"sheet"`
		Row      int    `json:"row"` // or the line of a text file
		Column   string `json:"column"`
		Cell     string `json:"cell"`
		What     string `json:"what"`
		Cause    string `json:"cause"`
		Hint     string `json:"hint"`
	}
	answer := struct {
		Problems []entry `json:"problems"`
		Blocks   int     `json:"blocks"`
		Held     int     `json:"held"`
	}{[]entry{}, ready, held}
	for _, p := range l {
		answer.Problems = append(answer.Problems, entry{p.Severity.String(), Plain(p.Place.File), p.Place.Sheet, max(p.Place.Row, p.Place.Line),
			p.Place.Column, p.Place.Cell, p.What, p.Cause, p.Hint})
	}
	var b strings.Builder
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	if err := e.Encode(answer); err != nil {
		return err
	}
	// The encoder escapes C0; what else steers a terminal is written as an escape here, which reads as the same text.
	var out strings.Builder
	for _, r := range b.String() {
		if steers(r) {
			fmt.Fprintf(&out, `\u%04x`, r)
		} else {
			out.WriteRune(r)
		}
	}
	_, err := io.WriteString(w, out.String())
	return err
}
