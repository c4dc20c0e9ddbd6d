package table

import (
	"bytes"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode/utf32"

	textunicode "golang.org/x/text/encoding/unicode"
)

// decode makes text of a file's bytes. name is the encoding where it had to be judged by the text, else ""; lines are those that it
// holds for, from 1, where the rest is UTF-8.
func decode(data []byte) (s, name string, lines []int, ok bool) {
	switch {
	case bytes.HasPrefix(data, []byte("\xef\xbb\xbf")):
		data = data[3:]
	case bytes.HasPrefix(data, []byte("\xff\xfe\x00\x00")):
		s, ok = through(data, utf32.UTF32(utf32.LittleEndian, utf32.UseBOM).NewDecoder().Bytes)
		return s, "", nil, ok
	case utf16Like(data):
		s, ok = utf16Text(data)
		return s, "", nil, ok && strayLine(data, s) == 0
	}
	if utf8.Valid(data) {
		return string(data), "", nil, true
	}
	// Not UTF-8, or not all of it: one stray byte must not turn the accents of the whole file.
	var old [][]byte
	utf := 0 // lines that can hardly be anything else
	all := bytes.SplitAfter(data, []byte("\n"))
	for i, l := range all {
		switch {
		case !utf8.Valid(l):
			old, lines = append(old, l), append(lines, i+1)
		case !ascii(l):
			utf++
		}
	}
	if utf == 0 {
		s, name = decodeSingleByte(data)
		return s, name, nil, true
	}
	_, name = decodeSingleByte(bytes.Join(old, nil))
	var b strings.Builder
	for _, l := range all {
		if utf8.Valid(l) {
			b.Write(l)
		} else {
			b.WriteString(as(name, l))
		}
	}
	return b.String(), name, lines, true
}

// utf16Text is text in UTF-16, with a byte order mark or without.
func utf16Text(data []byte) (s string, ok bool) {
	order, mark := textunicode.LittleEndian, textunicode.IgnoreBOM
	if bytes.HasPrefix(data, []byte("\xff\xfe")) || bytes.HasPrefix(data, []byte("\xfe\xff")) {
		mark = textunicode.UseBOM
	} else if data[0] == 0 {
		order = textunicode.BigEndian
	}
	return through(data, textunicode.UTF16(order, mark).NewDecoder().Bytes)
}

// strayLine finds where a file in UTF-16 is none any more, since plain text was added to it, or a byte was lost or came in: from there on it reads as Chinese. It
// is a line, from 1; 0, where all is well. Two plain letters read as one sign have their bytes among those of plain letters, both of them; a letter and a nought that
// are read a byte too late have a nought for their low byte. Single signs are so in any Chinese text; what is counted are runs, with signs in them that
// nobody writes: in UTF-16 a comma or a figure makes one of a block of characters that are in no text.
func strayLine(data []byte, s string) int {
	if !utf16Like(data) {
		return 0
	}
	line, last := 1, rune(0)
	glued, letters, rare := 0, 0, 0 // of a run
	shifted, other := 0, 0
	for _, r := range s {
		high, low := r>>8, r&0xff
		if r == '\n' {
			line++
		}
		if plainByte(high) && plainByte(low) {
			glued++
			if high >= 'a' && high <= 'z' {
				letters++
			}
			if high == ',' || high >= '4' && high <= 'M' {
				rare++
			}
		} else {
			glued, letters, rare = 0, 0, 0
		}
		if plainByte(high) && low == 0 {
			shifted++
			if r != last {
				other++
			}
		} else {
			shifted, other = 0, 0
		}
		last = r
		if r == 0x0A0D || glued >= 5 && letters > 0 && rare > 1 || glued >= 16 && letters >= glued/3 || shifted >= 6 && other > 3 { // U+0A0D, a line end read as one sign, is no character
			return line
		}
	}
	if len(data)%2 > 0 {
		return line
	}
	return 0
}

func plainByte(b rune) bool { return b >= ' ' && b <= '~' || b == '\t' || b == '\n' || b == '\r' }

func ascii(s []byte) bool {
	return !bytes.ContainsFunc(s, func(r rune) bool { return r >= utf8.RuneSelf })
}

// decodeSingleByte is text in one of the two encodings that office programs on Windows and on older Macs write without a mark.
func decodeSingleByte(data []byte) (s, name string) {
	m, w := as(macRoman, data), as(windows, data)
	if likelihood(m) > likelihood(w) {
		return m, macRoman
	}
	return w, windows
}

const windows, macRoman = "Windows-1252", "Mac Roman"

func as(name string, data []byte) string {
	table := charmap.Windows1252
	if name == macRoman {
		table = charmap.Macintosh
	}
	out, _ := table.NewDecoder().Bytes(data)
	return string(out)
}

func through(data []byte, f func([]byte) ([]byte, error)) (string, bool) {
	out, err := f(data)
	return strings.TrimPrefix(string(out), "\ufeff"), err == nil
}

// utf16Like reports text in UTF-16 without a byte order mark: every other byte of plain Latin text is nought.
func utf16Like(data []byte) bool {
	if bytes.HasPrefix(data, []byte("\xff\xfe")) || bytes.HasPrefix(data, []byte("\xfe\xff")) {
		return true
	}
	head := data[:min(len(data)&^1, 1024)]
	var noughts [2]int
	for i, b := range head {
		if b == 0 {
			noughts[i%2]++
		}
	}
	most, least := max(noughts[0], noughts[1]), min(noughts[0], noughts[1])
	return len(head) >= 8 && most > len(head)/4 && least < len(head)/64+1
}

// likelihood scores a decoding by how its letters and signs beyond ASCII stand among the plain ones: accented letters
// beside letters, opening quotes before them, closing ones after. Both encodings write the same bytes for different
// ones of these.
func likelihood(s string) int {
	score := 0
	before := ' '
	for i, r := range s {
		if r >= utf8.RuneSelf {
			after, _ := utf8.DecodeRuneInString(s[i+utf8.RuneLen(r):])
			letterBefore, letterAfter := unicode.IsLetter(before), unicode.IsLetter(after)
			switch {
			case strings.ContainsRune("“‘«„", r):
				score += evidence(!letterBefore && letterAfter)
			case strings.ContainsRune("”’»", r):
				score += evidence(letterBefore || unicode.IsPunct(before) || unicode.IsDigit(before))
			case strings.ContainsRune("…", r):
				score += evidence(!letterAfter)
			case strings.ContainsRune("–—·•", r):
				if letterBefore != letterAfter || letterBefore && r == '•' {
					score -= 2
				} else if !letterBefore {
					score += 2
				}
			case strings.ContainsRune("½¼¾×°", r):
				score += evidence(!letterBefore)
			case unicode.IsLower(r):
				score += evidence(letterBefore || letterAfter || unicode.IsSpace(before))
				if strings.ContainsRune("ƒıˆ", r) {
					score -= 3
				}
			case unicode.IsUpper(r):
				score += evidence(!unicode.IsLower(before))
			case r == utf8.RuneError || unicode.IsControl(r):
				score -= 6
			case r == '\u00a0' || strings.ContainsRune("€£©®¡¿", r):
			default:
				score -= 2
			}
		}
		before = r
	}
	return score
}

// evidence is what one sign says for or against a decoding.
func evidence(good bool) int {
	if good {
		return 2
	}
	return -2
}
