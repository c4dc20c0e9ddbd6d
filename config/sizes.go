package config

import (
	"fmt"
	"regexp"
	"strings"

	"tuckmark/config/measure"
)

// kindWord is a kind of text as type.largest names it.
var kindWord = regexp.MustCompile(`(?i)\b(text|caption)s?\b`)

// What type.largest leaves unsaid.
const (
	largestText    = 12 * measure.Point
	largestCaption = 18 * measure.Point
)

// largestSizes reads the largest sizes of texts and of captions: "text 12, caption 18", the same as a mapping, or one size
// for both.
func (r *reader) largestSizes(v value, t *Type) {
	t.Largest, t.Caption = largestText, largestCaption
	to := map[string]*measure.Length{"text": &t.Largest, "caption": &t.Caption}
	if v.kind == mapping {
		for _, part := range v.parts {
			if name, ok := r.known(part.label, part, []string{"text", "caption"}); ok && r.shaped(part, takesText) {
				r.typeSize(part, to[name], false)
			}
		}
		return
	}
	words := kindWord.FindAllStringSubmatchIndex(v.text, -1)
	if len(words) == 0 {
		r.typeSize(v, &t.Largest, false)
		t.Caption = t.Largest
		return
	}
	if before := strings.TrimSpace(v.text[:words[0][0]]); before != "" {
		r.bad(v, measure.Quote(before)+" does not say for what texts it is", "", "write it like text 12, caption 18")
		return
	}
	for i, w := range words {
		end := len(v.text)
		if i+1 < len(words) {
			end = words[i+1][0]
		}
		one := v
		one.text = strings.TrimSuffix(strings.Trim(v.text[w[1]:end], " ,;:="), " and")
		r.typeSize(one, to[strings.ToLower(v.text[w[2]:w[3]])], false)
	}
}

// scale reads the sizes to choose from, rising, or any.
func (r *reader) scale(v value, to *[]measure.Length) {
	if fold(v.text) == "any" {
		*to = nil
		return
	}
	sizes := v.list
	if v.kind == scalar {
		for _, text := range strings.FieldsFunc(v.text, func(c rune) bool { return c == ' ' || c == '\t' || c == '\n' || c == ';' }) {
			if text = strings.TrimSuffix(text, ","); text != "" && fold(text) != "pt" {
				one := v
				one.text = text
				sizes = append(sizes, one)
			}
		}
	}
	if len(sizes) == 0 {
		r.bad(v, "the scale has no sizes", "", "write them like 8 9 10 12 14 18, or any")
		return
	}
	var out []measure.Length
	for _, one := range sizes {
		if !r.shaped(one, takesText) {
			return
		}
		before := r.problems.Errors()
		l := measure.Length(0)
		if r.length(one, measure.Pt, &l, 4*measure.Point, 500*measure.Point); r.problems.Errors() > before {
			return
		}
		l = l / TypeStep * TypeStep
		if n := len(out); n > 0 && l <= out[n-1] {
			r.bad(one, fmt.Sprintf("the scale falls from %s to %s", out[n-1].Format(measure.Pt), l.Format(measure.Pt)), "", "write its sizes from the smallest to the largest, each once")
			return
		}
		out = append(out, l)
	}
	*to = out
}
