package table

import (
	"bytes"
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
	"unicode"

	"tuckmark/config/measure"
)

// cellFormat is what a cell's style makes of its content: the letters of its number format that matter here.
type cellFormat struct {
	bold, italic bool

	date                    bool
	year, month, day, clock bool // what a date format shows

	percent        bool
	whole          int  // digits before the decimals that are shown at least
	decimals       int  // shown; -1 for as many as there are
	fraction       bool // shown as 3 1/2: over is the denominator, or most the largest
	mixed          bool // with the whole number before the fraction
	over, most     int64
	prefix, suffix string // literal text around a number
	unit           string // the suffix, where it is a unit
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

// dayHalves takes out what would look like a month.
var dayHalves = strings.NewReplacer("AM/PM", "h", "am/pm", "h", "A/P", "h", "a/p", "h")

// parseLook reads the first section of a number format. A library for such codes (github.com/xuri/nfp) was tried: it takes the #/ of
// "# #/16" for a literal, so that a fraction would be read as a whole number.
func parseLook(code string) cellFormat {
	l := cellFormat{decimals: -1}
	if code == "" || code == "@" || strings.EqualFold(code, "general") {
		return l
	}
	var marks []byte // the format's letters without its literals
	var before, after strings.Builder
	parted := false // text among the digits, as of 000-0000
	literal := func(s string) {
		if len(marks) == 0 {
			before.WriteString(s)
		} else {
			after.WriteString(s)
		}
	}
	runes := []rune(dayHalves.Replace(code))
scan:
	for i := 0; i < len(runes); i++ {
		switch r := runes[i]; r {
		case ';':
			break scan
		case '"':
			for i++; i < len(runes) && runes[i] != '"'; i++ {
				literal(string(runes[i]))
			}
		case '\\':
			if i++; i < len(runes) {
				literal(string(runes[i]))
			}
		case '_', '*':
			i++
		case '[':
			from := i
			for i < len(runes) && runes[i] != ']' {
				i++
			}
			if s := strings.ToLower(string(runes[from+1 : min(i, len(runes))])); s != "" && strings.Trim(s, "hms") == "" {
				marks = append(marks, s[0]) // elapsed time
			} else if rest, ok := strings.CutPrefix(s, "$"); ok {
				currency, _, _ := strings.Cut(rest, "-")
				literal(currency)
			}
		default:
			if slash := bytes.IndexByte(marks, '/'); slash >= 0 && r >= '0' && r <= '9' && (r > '0' || l.over > 0) {
				l.over = min(10*l.over+int64(r-'0'), 1000)
			} else if r < 128 && strings.ContainsRune("ymdhsYMDHS0#?/.%,", r) {
				if text := after.String(); strings.ContainsRune("0#?", r) && text != "" && slash < 0 {
					parted = parted || strings.TrimSpace(text) != ""
					l.mixed = true
					after.Reset()
				}
				marks = append(marks, byte(r)|0x20*countTrue(r >= 'A' && r <= 'Z'))
			} else if r == ' ' || r == '$' || r == '-' || r == '(' || r == ')' || r > 127 {
				literal(string(r))
			}
		}
	}
	letters := string(marks)
	for i, m := range marks {
		switch m {
		case 'y':
			l.year = true
		case 'd':
			l.day = true
		case 'h', 's':
			l.clock = true
		case 'm':
			rest := strings.TrimLeft(letters[i:], "m")
			if !strings.HasSuffix(strings.TrimRight(letters[:i], "m"), "h") && !strings.HasPrefix(rest, "s") {
				l.month = true
			} else {
				l.clock = true
			}
		}
	}
	l.date = l.year || l.month || l.day || l.clock
	l.percent = strings.Contains(letters, "%")
	l.prefix, l.suffix = before.String(), after.String()
	if strings.TrimSpace(l.suffix) == "" {
		l.suffix = ""
	}
	if u, ok := measure.ParseUnit(l.suffix); ok {
		l.unit = u.String()
	}
	first, parts, fraction := strings.Cut(letters, "/")
	l.fraction = fraction && !l.date && !parted
	l.most = []int64{9, 9, 99, 999}[min(strings.Count(parts, "?")+strings.Count(parts, "#")+strings.Count(parts, "0"), 3)]
	if whole, part, _ := strings.Cut(first, "."); !fraction && strings.ContainsAny(letters, "0#") {
		l.whole = strings.Count(whole, "0")
		l.decimals = len(part) - len(strings.TrimLeft(part, "0#?"))
	}
	if parted { // the digits cannot be told from the text
		l.prefix, l.suffix, l.whole = "", "", 0
	}
	return l
}

func countTrue(b bool) byte {
	if b {
		return 1
	}
	return 0
}

// plainNumber writes a number out, without an exponent.
func plainNumber(v float64) string {
	if math.Abs(v) >= 1e15 {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// show is a number as a person sees it.
func (l cellFormat) show(v float64) string {
	sign := ""
	if v < 0 {
		sign, v = "-", -v
	}
	end := l.suffix
	if l.percent {
		v *= 100
		end = "%" + end
	}
	if text, ok := l.inParts(v); ok {
		return sign + l.prefix + text + end
	}
	if l.decimals >= 0 && l.decimals < 15 && v < 1e15 {
		return sign + l.prefix + rounded(v, l.decimals, l.whole) + end
	}
	return sign + l.prefix + plainNumber(v) + end
}

// rounded writes a number with so many decimals and whole digits before them at least. A half is rounded up, as spreadsheets do: that of the decimal
// number that was typed, not of the binary one that is stored.
func rounded(v float64, decimals, whole int) string {
	var typed big.Rat
	typed.SetString(plainNumber(v))
	text := typed.FloatString(decimals)
	digits, _, _ := strings.Cut(text, ".")
	return strings.Repeat("0", max(0, min(whole, 100)-len(digits))) + text
}

// inParts writes a number as a fraction, where it is one that its format can show: how programs round others is not for us to guess.
func (l cellFormat) inParts(v float64) (string, bool) {
	if !l.fraction || v >= 1e9 {
		return "", false
	}
	whole, part := 0.0, v
	if l.mixed {
		whole, part = math.Modf(v)
	}
	first, last := int64(1), l.most
	if l.over > 0 {
		first, last = l.over, l.over
	}
	for over := first; over <= last; over++ {
		above := math.Round(part * float64(over))
		switch {
		case math.Abs(part*float64(over)-above) > 1e-8:
		case l.mixed && above == 0:
			return plainNumber(whole), true
		case l.mixed && above == float64(over):
			return plainNumber(whole + 1), true
		case l.mixed && whole > 0:
			return fmt.Sprintf("%s %s/%d", plainNumber(whole), plainNumber(above), over), true
		default:
			return fmt.Sprintf("%s/%d", plainNumber(above), over), true
		}
	}
	return "", false
}

// exact is a number as it is stored, with the unit that its format shows: what was typed, not what was rounded for
// the eye.
func (l cellFormat) exact(v float64) string {
	if l.percent {
		return l.show(v)
	}
	if l.unit != "" {
		return plainNumber(v) + " " + l.unit
	}
	return plainNumber(v)
}

// otherUnit is the text that a format shows after a number, where it may be a unit, or a part of the number, that is not known here; a sign such as € is none.
func (l cellFormat) otherUnit() string {
	if l.unit != "" || l.percent || !strings.ContainsFunc(l.suffix, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsNumber(r) }) {
		return ""
	}
	return " " + strings.TrimSpace(l.suffix)
}
