package table

import (
	"math"
	"strconv"
	"strings"

	"tuckmark/config/measure"
)

// cellFormat is what a cell's style makes of its content: the letters of its number format that matter here.
type cellFormat struct {
	bold, italic bool

	date                    bool
	year, month, day, clock bool // what a date format shows

	percent        bool
	decimals       int    // shown; -1 for as many as there are
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
			if r < 128 && strings.ContainsRune("ymdhsYMDHS0#?/.%,", r) {
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
	if strings.Contains(letters, "/") || strings.TrimSpace(l.suffix) == "" { // the space of a fraction or between thousands
		l.suffix = strings.TrimSpace(l.suffix)
	}
	if u, ok := measure.ParseUnit(l.suffix); ok {
		l.unit = u.String()
	}
	if !strings.Contains(letters, "/") && strings.ContainsAny(letters, "0#") {
		l.decimals = 0
		if _, part, ok := strings.Cut(letters, "."); ok {
			l.decimals = len(part) - len(strings.TrimLeft(part, "0#?"))
		}
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
	if l.decimals >= 0 && l.decimals < 15 && v < 1e15 {
		return sign + l.prefix + strconv.FormatFloat(v, 'f', l.decimals, 64) + end
	}
	return sign + l.prefix + plainNumber(v) + end
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
