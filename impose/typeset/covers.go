package typeset

import (
	"unicode"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/font/opentype/tables"
	"github.com/go-text/typesetting/fontscan"

	"tuckmark/impose/typeset/weigh"
)

// What a machine or a folder has by the thousand is known by the letters that it has, not held: a set takes a few kilobytes, a face
// megabytes.

// mayHave reports whether the font says that it has a letter with its marks, without holding its face. One that lies is found out when
// it is loaded.
func (m *member) mayHave(cluster []rune) bool {
	if !m.described {
		m.described = true
		m.covers = m.letters()
	}
	return contains(m.covers, cluster)
}

// letters are the characters that a font has; none where it cannot be read.
func (m *member) letters() (out fontscan.RuneSet) {
	defer func() {
		if recover() != nil { // damaged
			out = nil
		}
	}()
	data := m.data
	if m.path != "" {
		var err error
		if data, err = readFont(m.path); err != nil {
			return nil
		}
	}
	lds, err := loaders(data)
	if err != nil || m.index >= len(lds) {
		return nil
	}
	raw, err := lds[m.index].RawTable(tagCmap)
	if err != nil || !weigh.Table("cmap", raw, 0, nil, false) {
		return nil
	}
	table, _, err := tables.ParseCmap(raw)
	if err != nil {
		return nil
	}
	cmap, _, err := font.ProcessCmap(table, tables.FPNone)
	if err != nil {
		return nil
	}
	for all := cmap.Iter(); all.Next(); {
		if r, g := all.Char(); g != 0 && r >= 0 && r <= unicode.MaxRune {
			out.Add(r)
		}
	}
	return out
}

var tagCmap = opentype.MustNewTag("cmap")

// contains reports whether a font of those characters can show a letter with its marks.
func contains(set fontscan.RuneSet, cluster []rune) bool {
	return showsAll(func(r rune) bool { return shows(set.Contains, r) }, cluster)
}
