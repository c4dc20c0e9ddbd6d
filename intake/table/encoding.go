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

// decode makes text of a file's bytes. name is the encoding where it had to be judged by the text, else "".
func decode(data []byte) (s, name string, ok bool) {
	switch {
	case bytes.HasPrefix(data, []byte("\xef\xbb\xbf")):
		data = data[3:]
	case bytes.HasPrefix(data, []byte("\xff\xfe\x00\x00")):
		return through(data, utf32.UTF32(utf32.LittleEndian, utf32.UseBOM).NewDecoder().Bytes)
	case bytes.HasPrefix(data, []byte("\xff\xfe")), bytes.HasPrefix(data, []byte("\xfe\xff")):
		return through(data, textunicode.UTF16(textunicode.LittleEndian, textunicode.UseBOM).NewDecoder().Bytes)
	case utf16Like(data):
		order := textunicode.LittleEndian
		if data[0] == 0 {
			order = textunicode.BigEndian
		}
		return through(data, textunicode.UTF16(order, textunicode.IgnoreBOM).NewDecoder().Bytes)
	}
	if utf8.Valid(data) {
		return string(data), "", true
	}
	// No byte order mark and no UTF-8: one of the two that office programs on Windows and on older Macs write.
	windows, _ := charmap.Windows1252.NewDecoder().Bytes(data)
	mac, _ := charmap.Macintosh.NewDecoder().Bytes(data)
	if likelihood(string(mac)) > likelihood(string(windows)) {
		return string(mac), "Mac Roman", true
	}
	return string(windows), "Windows-1252", true
}

func through(data []byte, f func([]byte) ([]byte, error)) (string, string, bool) {
	out, err := f(data)
	return strings.TrimPrefix(string(out), "\ufeff"), "", err == nil
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
				score += vote(!letterBefore && letterAfter)
			case strings.ContainsRune("”’»", r):
				score += vote(letterBefore || unicode.IsPunct(before) || unicode.IsDigit(before))
			case strings.ContainsRune("…", r):
				score += vote(letterBefore && !letterAfter)
			case strings.ContainsRune("–—·•", r):
				if letterBefore != letterAfter || letterBefore && r == '•' {
					score -= 2
				} else if !letterBefore {
					score += 2
				}
			case strings.ContainsRune("½¼¾×°", r):
				score += vote(unicode.IsDigit(before) || unicode.IsSpace(before))
			case unicode.IsLower(r):
				score += vote(letterBefore || letterAfter || unicode.IsSpace(before))
				if strings.ContainsRune("ƒıˆ", r) {
					score -= 3
				}
			case unicode.IsUpper(r):
				score += vote(!unicode.IsLower(before))
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

// vote is what one sign says for or against a decoding.
func vote(good bool) int {
	if good {
		return 2
	}
	return -2
}
