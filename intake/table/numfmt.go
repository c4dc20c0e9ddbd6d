package table

import (
	"bytes"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"tuckmark/config/measure"
)

// cellFormat is what a cell's style makes of its content.
type cellFormat struct {
	bold, italic, struck bool
	signs                bool      // a font of signs
	sections             []section // of its number format; none shows a number as it is
	restates             bool      // it shows a text otherwise than it was typed, or not at all
}

// section is the part of a number format that is for some of the numbers (ECMA-376 part 1, 18.8.31), as far as it matters here.
type section struct {
	limit *limit
	marks []mark // what is shown, from left to right
	odd   bool   // what is shown cannot be told

	date                             bool
	year, month, day, weekday, clock bool // what a date format shows
	seconds, halves                  bool // halves: of the day, AM and PM

	percent        bool
	fraction       bool // shown as 3 1/2: over is the denominator, or most the largest
	mixed          bool // with the whole number before the fraction
	over, most     int64
	prefix, suffix string // literal text around a number
	unit           string // the suffix, where it is a unit
	currency       string // that the format names apart, as [$€-407]
}

// mark is a sign of a number format: one of those of markSigns, or literal text.
type mark struct {
	sign byte
	text string
}

// The signs of marks besides those for a digit, which are 0, # and ?.
const (
	markText    = '"'
	markGeneral = 'G' // the number as it is
)

// limit is for which numbers a section is: [>=100].
type limit struct {
	op   string
	than float64
}

func (l *limit) holds(v float64) bool {
	switch l.op {
	case "<":
		return v < l.than
	case "<=":
		return v <= l.than
	case ">":
		return v > l.than
	case ">=":
		return v >= l.than
	case "=":
		return v == l.than
	}
	return v != l.than
}

// builtInFormats are the number formats that files name by number alone (ECMA-376 part 1, 18.8.30), as far as they
// matter: those left out show a number as it is.
var builtInFormats = map[int]string{
	1: "0", 2: "0.00", 3: "#,##0", 4: "#,##0.00", 9: "0%", 10: "0.00%", 12: "# ?/?", 13: "# ??/??", 14: "m/d/yyyy", 15: "d-mmm-yy",
	16: "d-mmm", 17: "mmm-yy", 18: "h:mm AM/PM", 19: "h:mm:ss AM/PM", 20: "h:mm", 21: "h:mm:ss", 22: "m/d/yy h:mm", 37: "#,##0", 38: "#,##0",
	39: "#,##0.00", 40: "#,##0.00", 45: "mm:ss", 46: "[h]:mm:ss", 47: "mm:ss.0",
	27: "yyyy-m-d", 28: "m-d", 29: "m-d", 30: "m/d/yy", 31: "yyyy-m-d", 32: "h:mm", 33: "h:mm:ss", 34: "h:mm", 35: "h:mm:ss", 36: "yyyy-m-d",
	50: "yyyy-m-d", 51: "m-d", 52: "yyyy-m", 53: "m-d", 54: "m-d", 55: "h:mm", 56: "h:mm:ss", 57: "yyyy-m", 58: "m-d",
}

// dayHalf stands for AM/PM among the letters of a date's format, which would look like a month.
const dayHalf = 'p'

// longestFormat is how many letters a number format may have, as in spreadsheets. What a longer one shows is not worked out.
const longestFormat = 255

// asItIs is the section of a number that no format changes.
var asItIs = section{marks: []mark{{sign: markGeneral}}}

// parseFormat reads a number format: its sections for numbers, without that for texts. A library for such codes (github.com/xuri/nfp) was tried: it
// takes the #/ of "# #/16" for a literal, so that a fraction would be read as a whole number.
func parseFormat(code string) (all []section) {
	if code == "" || strings.EqualFold(code, "general") {
		return nil
	}
	if utf8.RuneCountInString(code) > longestFormat {
		return []section{{odd: true}}
	}
	parts := sectionsOf([]rune(code))
	for i, part := range parts {
		s, text := parseSection(part)
		if i == 3 || text && i == len(parts)-1 {
			break
		}
		all = append(all, s)
	}
	return all
}

// restatesText reports a number format whose section for texts, the fourth or the last one with an @, shows more or less than the text.
func restatesText(code string) bool {
	if utf8.RuneCountInString(code) > longestFormat {
		return true
	}
	parts := sectionsOf([]rune(code))
	text := parts[len(parts)-1]
	if len(parts) > 3 {
		text = parts[3]
	} else if _, is := parseSection(text); !is {
		return false
	}
	shown, literal := 0, func(r rune) bool { return !unicode.IsSpace(r) }
	for i := 0; i < len(text); i++ {
		switch r := text[i]; {
		case r == '@':
			shown++
		case r == '_' || r == '*': // room, and what fills the cell
			i++
		case r == '[': // a colour
			for i < len(text) && text[i] != ']' {
				i++
			}
		case r == '"':
			for i++; i < len(text) && text[i] != '"'; i++ {
				if literal(text[i]) {
					return true
				}
			}
		case r == '\\':
			if i++; i < len(text) && literal(text[i]) {
				return true
			}
		case i+7 <= len(text) && strings.EqualFold(string(text[i:i+7]), "general"):
			shown, i = shown+1, i+6
		case literal(r):
			return true
		}
	}
	return shown != 1
}

// sectionsOf parts a number format at the semicolons that are no text.
func sectionsOf(code []rune) (parts [][]rune) {
	from := 0
	for i := 0; i < len(code); i++ {
		switch code[i] {
		case ';':
			parts = append(parts, code[from:i])
			from = i + 1
		case '\\', '_', '*':
			i++
		case '"':
			for i++; i < len(code) && code[i] != '"'; i++ {
			}
		case '[':
			for i++; i < len(code) && code[i] != ']'; i++ {
			}
		}
	}
	return append(parts, code[from:])
}

// parseSection reads a section of a number format. Text reports that it is the one for texts.
func parseSection(runes []rune) (l section, text bool) {
	var marks []byte                         // the section's letters without its literals
	var date []byte                          // those of a date, and spaces for all else
	var before, after, words strings.Builder // literals
	parted := false                          // text among the digits, as of 000-0000
	foreign := false
	literal := func(s string) {
		words.WriteString(s)
		l.marks = append(l.marks, mark{markText, s})
		if len(marks) == 0 {
			before.WriteString(s)
		} else {
			after.WriteString(s)
		}
	}
	digit := func(r byte) {
		if text := after.String(); text != "" && !bytes.Contains(marks, []byte{'/'}) {
			parted = parted || strings.TrimSpace(text) != ""
			l.mixed = true
			after.Reset()
		}
		marks = append(marks, r)
	}
	for i := 0; i < len(runes); i++ {
		date = append(date, ' ')
		if words.Len() > 0 && runes[i] == '"' || unicode.IsLetter(runes[i]) {
			words.WriteByte(' ')
		}
		switch r := runes[i]; r {
		case '"':
			for i++; i < len(runes) && runes[i] != '"'; i++ {
				literal(string(runes[i]))
			}
		case '\\':
			if i++; i < len(runes) {
				literal(string(runes[i]))
			}
		case '_': // room as wide as a letter
			i++
			l.marks = append(l.marks, mark{markText, " "})
		case '*': // a letter that fills the cell
			i++
		case '@':
			text = true
		case '[':
			from := i + 1
			for i < len(runes) && runes[i] != ']' {
				i++
			}
			s := strings.ToLower(string(runes[min(from, i):i]))
			if s != "" && strings.Trim(s, "hms") == "" {
				marks, date, l.odd = append(marks, s[0]), append(date, s[0]), true // elapsed time, which a time of day is not
			} else if rest, ok := strings.CutPrefix(s, "$"); ok {
				_, place, _ := strings.Cut(rest, "-")
				foreign = foreign || !english(place)
				l.currency, _, _ = strings.Cut(string(runes[from+1:i]), "-")
				literal(l.currency)
			} else if op := strings.TrimRight(s, "0123456789.-+e "); op != "" && strings.Trim(op, "<>=") == "" {
				than, err := strconv.ParseFloat(strings.TrimSpace(s[len(op):]), 64)
				l.limit, l.odd = &limit{op, than}, l.odd || err != nil
			} else if !slices.Contains(colours, strings.TrimRight(s, "0123456789 ")) {
				l.odd = true // other digits, other calendars
			}
		default:
			if slash := bytes.IndexByte(marks, '/'); slash >= 0 && r >= '0' && r <= '9' && (r > '0' || l.over > 0) {
				l.over = min(10*l.over+int64(r-'0'), 1000)
			} else if i+7 <= len(runes) && strings.EqualFold(string(runes[i:i+7]), "general") {
				i += 6
				digit('0')
				l.marks = append(l.marks, mark{sign: markGeneral})
			} else if r == 'E' && i+1 < len(runes) && (runes[i+1] == '+' || runes[i+1] == '-') {
				i, l.odd = i+1, true // an exponent, which nobody types in a text
			} else if n := halvesAt(runes[i:]); n > 0 {
				marks, date[len(date)-1] = append(marks, 'h'), dayHalf
				i += n - 1
			} else if strings.ContainsRune("0#?", r) {
				digit(byte(r))
				l.marks = append(l.marks, mark{sign: byte(r)})
			} else if strings.ContainsRune("/.%,", r) {
				marks = append(marks, byte(r))
				l.marks = append(l.marks, mark{byte(r), string(r)})
			} else if r < 128 && strings.ContainsRune("ymdhsYMDHS", r) {
				letter := byte(unicode.ToLower(r))
				marks, date[len(date)-1] = append(marks, letter), letter
			} else if strings.ContainsRune("egbqEGBQ", r) {
				l.odd = true // years of an era, quarters
			} else {
				literal(string(r))
			}
		}
	}
	l.readDate(string(date))
	l.odd = l.odd || l.date && addsWords(words.String())
	l.percent = bytes.Contains(marks, []byte{'%'})
	l.prefix, l.suffix = before.String(), after.String()
	if strings.TrimSpace(l.suffix) == "" {
		l.suffix = ""
	}
	if u, ok := measure.ParseUnit(l.suffix); ok {
		l.unit = u.String()
	}
	_, parts, fraction := strings.Cut(string(marks), "/")
	l.fraction = fraction && !l.date && !parted
	l.most = []int64{9, 9, 99, 999}[min(strings.Count(parts, "?")+strings.Count(parts, "#")+strings.Count(parts, "0"), 3)]
	l.odd = l.odd || !l.date && (fraction && (parted || strings.Contains(parts, "0") && l.over == 0) || bytes.Count(marks, []byte{'.'}) > 1 || foreign && bytes.ContainsAny(marks, ".,"))
	if parted { // the digits cannot be told from the text
		l.prefix, l.suffix = "", ""
	}
	return l, text
}

// halvesAt is how many letters stand for the halves of the day at the beginning of a part of a format, 0 for none.
func halvesAt(format []rune) int {
	for _, halves := range []string{"AM/PM", "A/P"} {
		if n := len(halves); n <= len(format) && strings.EqualFold(string(format[:n]), halves) {
			return n
		}
	}
	return 0
}

// colours are what a number may be shown in.
var colours = []string{"black", "blue", "cyan", "green", "magenta", "red", "white", "yellow", "color", "colour"}

// english reports whether a number format's language, a hexadecimal LCID, parts thousands and decimals as English does; "" is that of the person's
// program, which the file does not tell.
func english(lcid string) bool {
	n, err := strconv.ParseInt(lcid, 16, 64)
	return lcid == "" || err == nil && n <= 0xffff && (n&0x3ff == 9 || n == 0xf800 || n == 0xf400)
}

// addsWords reports that the text in a date's format is more than what a date is written with: it says something of its own, which is not printed.
func addsWords(literals string) bool {
	parts := func(r rune) bool { return unicode.IsSpace(r) || unicode.IsPunct(r) || unicode.IsMark(r) || r == '|' }
	for _, word := range strings.FieldsFunc(literals, parts) {
		if !dateWords[strings.ToLower(word)] {
			return true
		}
	}
	return false
}

// dateWords stand between the parts of a date or a time of day in the formats of spreadsheets and languages (Unicode CLDR, dateFormats; from memory).
var dateWords = func() map[string]bool {
	all := map[string]bool{}
	for _, word := range strings.Fields(`of the on at st nd rd th t z h min s o clock de del d di da den der le à au a las los um uhr kl klo kello den dne og en
		gada g m e ko ren k r г р ж ngày tháng năm 年 月 日 时 時 分 秒 年度 上午 下午 년 월 일 시 분 초 年 週 o rok roku roka anul året`) {
		all[word] = true
	}
	return all
}()

// readDate reads what a section shows of a date, by its letters, with spaces for all that stands between them.
func (s *section) readDate(letters string) {
	hour := false
	last := byte(0) // the letter before
	for i := 0; i < len(letters); {
		m := letters[i]
		end := i
		for end < len(letters) && letters[end] == m {
			end++
		}
		n, next := end-i, strings.TrimLeft(letters[end:], " ")
		i = end
		switch m {
		case ' ':
			continue
		case 'y':
			s.year = true
		case 'd':
			s.day, s.weekday = s.day || n < 3, s.weekday || n >= 3
		case 'h':
			s.clock, hour = true, true
		case dayHalf:
			s.halves = true
			continue
		case 's':
			s.clock, s.seconds = true, true
		case 'm':
			if last == 'h' || strings.HasPrefix(next, "s") {
				s.clock = true
			} else {
				s.month = true
				s.odd = s.odd || last == 0 && next == "" && n < 3 || n == 5 // the month's number, or its first letter
			}
		}
		last = m
	}
	s.date = s.year || s.month || s.day || s.weekday || s.clock
	s.odd = s.odd || s.clock && !hour
}
