package typeset

import (
	"strings"
	"testing"

	"tuckmark/config/measure"
)

// In what the tests expect, ~ is a narrow space that does not break (U+202F) and _ a wide one (U+00A0).
var spaces = strings.NewReplacer("~", "\u202f", "_", "\u00a0")

// delimiters are those of CLDR 47 (common/main/*.xml, delimiters), but for nl and the inner ones of fr: see quotesOf.
var delimiters = []struct {
	l          lang
	marks      string // opening, closing, and the inner ones
	says, tail string // how somebody says so
}{
	{langEn, "“”‘’", "he said", "and we were not at the lake"}, {langDe, "„“‚‘", "sagte er", "und wir waren nicht am See"}, {langEs, "“”‘’", "dijo él", "y no estaba en la casa"},
	{langIt, "«»“”", "disse lui", "e non era in casa con noi"}, {langPt, "“”‘’", "disse ele", "e não estava em casa com a avó"}, {langNl, "“”‘’", "zei hij", "en wij waren niet op het strand"},
	{langSv, "””’’", "sa han", "och vi var inte på stranden"}, {langDa, "“”‘’", "sagde han", "og vi var ikke på stranden af sted"}, {langNo, "«»‘’", "sa han", "og vi hadde også ikke vært av sted"},
	{langFi, "””’’", "sanoi hän", "ja me olivat myös mutta ei siellä"}, {langPl, "„”«»", "powiedział on", "i nie było nas w domu"}, {langRu, "«»„“", "сказал он", "и нас не было"},
	{langEl, "«»“”", "είπε", "και δεν ήμασταν εκεί"}, {rootLang, "“”‘’", "Zzz", "Qqq Vvv"},
}

// TestQuotes: marks of quotation in each language, typed with one key, eight cases each.
func TestQuotes(t *testing.T) {
	fs := built(t)
	for _, d := range delimiters {
		q := []rune(d.marks)
		o, c, io, ic := string(q[0]), string(q[1]), string(q[2]), string(q[3])
		for _, pair := range [][2]string{
			{`"A b," ` + d.says + `.`, o + `A b,` + c + ` ` + d.says + `.`},
			{d.says + `: "A b."`, d.says + `: ` + o + `A b.` + c},
			{`"A 'b' c" ` + d.tail, o + `A ` + io + `b` + ic + ` c` + c + ` ` + d.tail},
			{d.tail + ` ("A b")`, d.tail + ` (` + o + `A b` + c + `)`},
			{`"A" "B" ` + d.tail, o + `A` + c + ` ` + o + `B` + c + ` ` + d.tail},
			{`'A b' ` + d.tail, io + `A b` + ic + ` ` + d.tail},
			{`"A 'b'" ` + d.tail, o + `A ` + io + `b` + ic + c + ` ` + d.tail},
			{d.tail + ` b'c`, d.tail + ` b’c`},
		} {
			marked(t, fs, d.l, pair[0], pair[1])
		}
	}
}

// TestReads: the language of a text is found from a sentence.
func TestReads(t *testing.T) {
	ts := newTextSetter(shared, "en")
	for _, d := range delimiters {
		if got := ts.reads([]typed{{text: []rune(d.tail + ", " + d.says + ".")}}); got != d.l {
			t.Errorf("%q reads like %d, want %d", d.tail, got, d.l)
		}
	}
	for text, want := range map[string]lang{"Best day ever": rootLang, "Eh bien! dit-elle; tu viens? Oui: voilà.": langFr, "Pensione Sofía, Lago Verro": rootLang,
		"We ate crème brûlée with Renée and the dog": langEn, "Am Wochenende wanderten wir alle zusammen durch den Wald.": langDe} {
		if got := ts.reads([]typed{{text: []rune(text)}}); got != want {
			t.Errorf("%q reads like %d, want %d", text, got, want)
		}
	}
}

// TestMarks: what a typesetter makes of the keyboard's marks (common practice; Bringhurst, "The Elements of Typographic Style", chapter 5; the
// characters by their names in the Unicode standard: U+2019 right single quotation mark as apostrophe, U+2032 and U+2033 primes, U+2013 en dash,
// U+2014 em dash, U+2026 horizontal ellipsis, U+00D7 multiplication sign, U+00BC to U+00BE and U+2153 on vulgar fractions).
func TestMarks(t *testing.T) {
	fs := built(t)
	for _, c := range []struct {
		l           lang
		typed, want string
	}{
		{langEn, "it's", "it’s"}, {langEn, "we didn't, she'd, they'll", "we didn’t, she’d, they’ll"}, {langEn, "the dogs' bowl", "the dogs’ bowl"},
		{langEn, "James's and James'", "James’s and James’"}, {langEn, "'tis the season", "’tis the season"}, {langEn, "'Twas night", "’Twas night"},
		{langEn, "the '90s", "the ’90s"}, {langEn, "summer of '69.", "summer of ’69."}, {langEn, "rock 'n' roll", "rock ’n’ roll"}, {langEn, "get 'em", "get ’em"},
		{langEn, "the 1980's", "the 1980’s"}, {langEn, "O'Brien", "O’Brien"}, {langEn, "goin' home", "goin’ home"}, {langEn, "'hello' and 'bye'", "‘hello’ and ‘bye’"},
		{langEn, `She said "it's the 'best' day"`, "She said “it’s the ‘best’ day”"}, {langEn, `"Papa, look!" she cried.`, "“Papa, look!” she cried."},
		{langEn, `"'Go,' he said."`, "“‘Go,’ he said.”"}, {langEn, `a "`, `a "`}, {langEn, `" b`, `" b`}, {langEn, `("x")`, "(“x”)"}, {langEn, `she--"no"--left`, "she—“no”—left"},
		{langEn, "already “set” ‘so’", "already “set” ‘so’"}, {langEn, "“it's”", "“it’s”"},

		{langEn, `5'10" tall`, "5′10″ tall"}, {langEn, `6' 2"`, "6′ 2″"}, {langEn, `a 4" x 6" print`, "a 4″ × 6″ print"}, {langEn, `12" ruler`, "12″ ruler"}, {langEn, `"page 10"`, "“page 10”"},
		{langEn, `"the year 1999," he said`, "“the year 1999,” he said"}, {langEn, `3' high`, "3′ high"}, {langEn, `'route 66'`, "‘route 66’"},

		{langEn, "day -- and", "day – and"}, {langEn, "day--and", "day—and"}, {langEn, "day --- and", "day — and"}, {langEn, "day - and", "day – and"}, {langEn, "- two boots", "– two boots"},
		{langEn, "well-known", "well-known"}, {langEn, "a ---- b", "a ---- b"}, {langEn, "pages 10-12", "pages 10–12"}, {langEn, "4-11 May", "4–11 May"}, {langEn, "2019-24", "2019–24"},
		{langEn, "2019-2024.", "2019–2024."}, {langEn, "9-5", "9-5"}, {langEn, "3-2", "3-2"}, {langEn, "2025-10-12", "2025-10-12"}, {langEn, "12-10-2025", "12-10-2025"}, {langEn, "555-1234", "555-1234"},
		{langEn, "+44 20-7946", "+44 20–7946"}, {langEn, "A4-5", "A4-5"}, {langEn, "1.5-2", "1.5-2"}, {langEn, "(10-12)", "(10–12)"}, {langEn, "8-14 September, 10-12, x", "8–14 September, 10–12, x"}, {langEn, "twenty-one-year-old", "twenty-one-year-old"},

		{langEn, "and then...", "and then…"}, {langEn, "...and", "…and"}, {langEn, "a....b", "a....b"}, {langEn, "wait ... what", "wait … what"}, {langEn, "No. 5.", "No. 5."}, {langEn, "a..b", "a..b"},

		{langEn, "1/2 past", "½ past"}, {langEn, "2 1/2 cups", "2½ cups"}, {langEn, "in 2026 1/2 of us, 120 1/2", "in 2026 ½ of us, 120½"}, {langEn, "3/4 time, 1/4", "¾ time, ¼"}, {langEn, "1/3 and 2/3", "⅓ and ⅔"}, {langEn, "1/8 3/8 5/8 7/8", "⅛ ⅜ ⅝ ⅞"}, {langEn, "24/7", "24/7"},
		{langEn, "1/2/2025", "1/2/2025"}, {langEn, "11/2", "11/2"}, {langEn, "1/20", "1/20"}, {langEn, "and/or", "and/or"}, {langEn, "http://a.b/1/2/c", "http://a.b/1/2/c"}, {langEn, "4/5", "4/5"}, {langEn, "1/2.", "½."}, {langEn, "10 1/4 in", "10¼ in"},

		{langEn, "20 x 30 cm", "20 × 30 cm"}, {langEn, "20x30", "20×30"}, {langEn, "4 X 6", "4 × 6"}, {langEn, "3*4", "3×4"}, {langEn, "x marks", "x marks"}, {langEn, "0x41", "0x41"}, {langEn, "max 4", "max 4"},
		{langEn, "10 x Anna", "10 x Anna"}, {langEn, "2 1/2 x 3", "2½ × 3"}, {langEn, "5 x", "5 x"}, {langEn, "love xxx", "love xxx"},

		{langFr, `"Eh bien!" dit-elle; "tu viens?" Oui: non.`, "«~Eh bien~!~» dit-elle~; «~tu viens~?~» Oui_: non."}, {langFr, "« Eh bien ! » et « non »", "«~Eh bien~!~» et «~non~»"},
		{langFr, "à 14:30", "à 14:30"}, {langFr, "http://a.fr", "http://a.fr"}, {langFr, "l'été d'Anne", "l’été d’Anne"}, {langFr, "oui : non", "oui_: non"}, {langFr, "Quoi ?!", "Quoi~?!"}, {langFr, "« \u202foui\u202f »", "« \u202foui\u202f »"},
		{langEn, "why? yes! so: no; «oui»", "why? yes! so: no; «oui»"}, {langDe, "Rock 'n' Roll", "Rock ’n’ Roll"}, {langDe, "Wie geht's? Gut!", "Wie geht’s? Gut!"},

		{langEn, "שלום \"צה\"ל\"", "שלום \"צה\"ל\""}, {langEn, "今日は\"x\"", "今日は\"x\""},
	} {
		if strings.HasPrefix(c.typed, "ש") || strings.HasPrefix(c.typed, "今") || c.typed == c.want {
			same(t, fs, c.l, c.typed)
			continue
		}
		marked(t, fs, c.l, c.typed, c.want)
	}
}

// built is a family that has all the marks.
func built(t *testing.T) *faces {
	ts := newTextSetter(shared, "en")
	fs, bad := ts.family("Serif")
	if bad != nil {
		t.Fatal(bad)
	}
	return fs
}

func same(t *testing.T, fs *faces, l lang, text string) { marked(t, fs, l, text, text) }

// marked sets the marks of a text, which must come out as wanted and stand for what was typed, each character of it once and in order.
func marked(t *testing.T, fs *faces, l lang, text, want string) {
	t.Helper()
	p := typed{text: []rune(text), styles: make([]uint8, len([]rune(text)))}
	p.setMarks(l, fs)
	if !fs[0].hasAll([]rune{narrowSpace}) {
		want = strings.ReplaceAll(want, "~", "_")
	}
	if strings.ContainsAny(want, "~") || l == langFr {
		want = spaces.Replace(want)
	}
	if got := string(p.text); got != want {
		t.Errorf("%q: set %q, want %q", text, got, want)
	}
	if p.at == nil {
		return
	}
	said := ""
	for i := range p.text {
		part := string(p.source[p.at[i]:p.at[i+1]])
		said += part
		if part == "" && p.text[i] != narrowSpace && p.text[i] != noBreak {
			t.Errorf("%q: %c stands for nothing", text, p.text[i])
		}
	}
	if said != text || len(p.at) != len(p.text)+1 || len(p.styles) != len(p.text) {
		t.Errorf("%q: stands for %q", text, said)
	}
}

// TestMarksReadBack: every setting with marks stands for what was typed, whatever is broken where.
func TestMarksReadBack(t *testing.T) {
	for _, text := range []string{`She said "it's the 'best' day" -- and we didn't argue... It was 1/2 past 3, 20 x 30 cm, the '90s, 5'10" tall, pages 10-12, and 2 1/2 cups.`,
		`"Eh bien!" dit-elle; "tu viens?" Oui: voilà "l'été" et la mer, que nous avions en vue.`, `"Guten Morgen," sagte der Mann, "wir sind 'endlich' da" -- und es war 1/2 acht.`} {
		for _, w := range []measure.Length{1, 2, 3, 4} {
			for _, font := range []string{"Serif", "Typewriter"} {
				b := aBlock(w*measure.Inch, 4*measure.Inch, text)
				b.Font = font
				set, list := one(b)
				if set == nil {
					t.Fatal(list)
				}
				check(t, set)
			}
		}
	}
	b := aBlock(4*measure.Inch, measure.Inch, `"Yes," 1/2 -- no...`)
	b.Type.AsTyped = true
	set, _ := one(b)
	if n := len(set.Lines[0].Spans[0].Glyphs); n != len(`"Yes," 1/2 -- no...`) {
		t.Errorf("as typed: %d glyphs", n)
	}
}
