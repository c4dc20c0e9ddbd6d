package typeset

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"modernc.org/knuth/tex"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// hyphens shows a word with the hyphens that it may take in a language.
func hyphens(l lang, word string) string { return parted(word, hyphenatorOf(codes[l]).points(word)) }

// parted is a word with hyphens after so many of its letters.
func parted(word string, points []int) string {
	var b strings.Builder
	last, letters := 0, []rune(word)
	for _, n := range points {
		b.WriteString(string(letters[last:n]) + "-")
		last = n
	}
	return b.String() + string(letters[last:])
}

// TestLiang checks words whose hyphens are printed: hyphenation and concatenation in Liang's thesis (1983), pp. 1 and 43;
// supercalifragilisticexpialidocious in "The TeXbook", appendix H; table, present and project, exceptions in hyphen.tex.
func TestLiang(t *testing.T) {
	for _, want := range []string{"hy-phen-ation", "con-cate-na-tion", "su-per-cal-ifrag-ilis-tic-ex-pi-ali-do-cious", "ta-ble", "present", "project",
		"dec-li-na-tion", "as-so-ciate", "manuscript", "the", "a", ""} {
		if got := hyphens(langEn, strings.ReplaceAll(want, "-", "")); got != want {
			t.Errorf("got %s, want %s", got, want)
		}
	}
	if n := len(hyphenatorOf("en").patterns); n != 4447 { // the number that the file is known for; see the thesis, p. 37
		t.Errorf("%d patterns", n)
	}
	if n := len(hyphenatorOf("en").exceptions); n != 14 {
		t.Errorf("%d exceptions", n)
	}
}

// TestAgainstShowhyphens compares with TeX's own \showhyphens for every word of the texts, of the frog king and of hyphen.tex's
// introduction to itself: the patterns read as words.
func TestAgainstShowhyphens(t *testing.T) {
	seen := map[string]bool{}
	var list []string
	add := func(text string) {
		for _, w := range strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) }) {
			if !seen[w] && strings.Trim(w, "abcdefghijklmnopqrstuvwxyz") == "" && len(w) < 60 {
				seen[w] = true
				list = append(list, w)
			}
		}
	}
	add(strings.Join(texts, " "))
	add(strings.ReplaceAll(frogKing, "-", ""))
	for p := range hyphenatorOf("en").patterns { // sorted below
		add(strings.Trim(p, ".") + "ing " + "re" + strings.Trim(p, ".") + "tion")
	}
	slices.Sort(list)
	list = list[:len(list)/slower]

	got := showHyphens(t, "", list)
	if len(got) != len(list) || len(list) < 5000/slower {
		t.Fatalf("TeX shows %d of %d words", len(got), len(list))
	}
	for i, w := range list {
		if h := hyphens(langEn, w); h != got[i] {
			t.Errorf("ours %s, TeX's %s", h, got[i])
		}
	}
	t.Logf("%d words", len(list))
}

// showHyphens is what TeX's \\showhyphens says of words, with another table than its own if one is given.
func showHyphens(t *testing.T, table string, list []string) (got []string) {
	t.Helper()
	var log, dvi, out, errs bytes.Buffer
	job := "\\batchmode\n"
	for _, w := range list {
		job += "\\showhyphens{" + w + "}\n"
	}
	options := []tex.Option{tex.WithDVIFile(&dvi), tex.WithInputFile("job.tex", strings.NewReader(job+"\\end\n")), tex.WithLogFile(&log)}
	if table != "" {
		options = append(options, tex.WithInputFile("hyphen.tex", strings.NewReader(table)))
	}
	if err := tex.Main(strings.NewReader(`\input plain \input job`), &out, &errs, options...); err != nil {
		t.Fatalf("%v: %.300s", err, out.String())
	}
	for line := range strings.Lines(log.String()) {
		if _, word, ok := strings.Cut(line, `[] \tenrm `); ok {
			got = append(got, strings.TrimSpace(word))
		}
	}
	return got
}

// TestLanguagesAgainstTeX compares with TeX's \\showhyphens, given the same tables, as many words of each language as its patterns are
// worth: the patterns themselves, three in a row. Letters beyond ASCII go to TeX as capitals that stand for themselves. (Tables that are too large
// for the memory of TeX as it is translated, 8,000 places, are thinned out; our reader gets the same.)
func TestLanguagesAgainstTeX(t *testing.T) {
	for l := range langs {
		full := hyphenatorOf(codes[l])
		if full == nil || l == langEn { // see TestAgainstShowhyphens
			continue
		}
		var letters []rune
		var patterns []string
		for p := range full.patterns { // sorted below
			patterns = append(patterns, p)
			for _, r := range p {
				if r >= 0x80 && !slices.Contains(letters, r) {
					letters = append(letters, r)
				}
			}
		}
		slices.Sort(letters)
		slices.Sort(patterns)
		few := patterns
		if most := 1200; len(patterns) > most { // every so manieth
			few = nil
			for i := 0; i < most; i++ {
				few = append(few, patterns[i*len(patterns)/most])
			}
		}
		const standIns = "ABCDEFGHIJKLMNOPQRSTUVWXYZ*+=/<>[]()!?:;@"
		var pairs []string // for TeX
		var setup strings.Builder
		for i, r := range letters {
			pairs = append(pairs, string(r), standIns[i:i+1])
			fmt.Fprintf(&setup, "\\lccode%d=%d\n", standIns[i], standIns[i])
		}
		in := strings.NewReplacer(pairs...)
		var table strings.Builder
		table.WriteString(setup.String() + "\\lccode39=39 \\lccode45=45 \\patterns{\n")
		ours := &hyphenator{patterns: map[string][]byte{}, longest: full.longest, before: fewestBefore, after: fewestAfter}
		for _, p := range few {
			digits := full.patterns[p]
			ours.patterns[p] = digits
			k := 0
			for _, r := range p {
				table.WriteString(string('0'+rune(digits[k])) + in.Replace(string(r)))
				k++
			}
			table.WriteString(string('0'+rune(digits[k])) + "\n")
		}
		table.WriteString("}\\lccode39=0 \\lccode45=0 ")
		var list, told []string
		for i, p := range few {
			w := strings.Trim(p, ".") + strings.Trim(few[(i*7+3)%len(few)], ".") + strings.Trim(few[(i*11+5)%len(few)], ".")
			if strings.ContainsAny(w, "'-’.") || utf8.RuneCountInString(w) > 50 {
				continue
			}
			list, told = append(list, w), append(told, in.Replace(w))
		}
		got := showHyphens(t, table.String(), told)
		if len(got) != len(list) {
			t.Fatalf("%s: TeX shows %d of %d words", codes[l], len(got), len(list))
		}
		slices.Reverse(pairs) // back again
		out := strings.NewReplacer(pairs...)
		wrong := 0
		for i, w := range list {
			if h := parted(w, ours.points(w)); h != out.Replace(got[i]) {
				if wrong++; wrong < 5 {
					t.Errorf("%s: ours %s, TeX's %s", codes[l], h, out.Replace(got[i]))
				}
			}
		}
		t.Logf("%s: %d words by %d of %d patterns", codes[l], len(list), len(few), len(patterns))
	}
}

// TestLanguagesHyphens: words as dictionaries part them (from memory), with two letters before a hyphen and three after.
func TestLanguagesHyphens(t *testing.T) {
	for l, list := range map[lang]string{
		langDe: "groß-mutter selbst-ver-ständ-lich weih-nachts-ge-schich-ten schnee-flo-cken win-ter-wald zu-sam-men stra-ßen-bahn ge-burts-tags-über-ra-schung",
		langFr: "mer-veilleuses aven-tures mon-tagne tran-quille-ment gé-né-ra-le-ment sou-ve-nirs an-ni-ver-saires",
		langEs: "acon-te-ci-mien-tos ex-tra-or-di-na-rios si-mul-tá-nea-mente pin-güino",
		langIt: "com-ple-tare me-ra-vi-glioso spiag-gia in-di-men-ti-ca-bile",
		langPt: "ani-ver-sá-rio as-sem-bleia bom-bei-ros sur-presa",
		langNl: "ver-jaar-dag groot-moe-der on-ver-ge-te-lijk",
		langSv: "mid-som-mar som-mar",
		langDa: "som-mer-fugle",
		langNo: "beste-mor som-mer-fugl",
		langFi: "iso-äiti syn-ty-mä-päivä ke-sä-mökki",
		langPl: "nad-zwy-czajny bab-cia uro-dziny",
	} {
		for _, want := range strings.Fields(list) {
			if got := hyphens(l, strings.ReplaceAll(want, "-", "")); got != want {
				t.Errorf("%s: %s, want %s", codes[l], got, want)
			}
		}
	}
	for l, words := range map[lang][2]string{langDe: {"„Großmutter“,", "großmutter"}, langFr: {"l’anniversaire,", "anniversaire"}, langEn: {"(grandmother's)", "grandmother"}, langIt: {"dell'anniversario", "anniversario"}} {
		if _, got := hyphenatorOf(codes[l]).wordIn([]rune(words[0])); got != words[1] {
			t.Errorf("in %s %q is to be parted, want %q", words[0], got, words[1])
		}
	}
	for l, words := range map[lang]string{langDe: "DRK B2B KdF großMutter", langFr: "Renée Grand-mère", langEn: "Harold Ångström café 5th o'Brien"} {
		for _, w := range strings.Fields(words) {
			if _, got := hyphenatorOf(codes[l]).wordIn([]rune(w)); got != "" {
				t.Errorf("%s: %s is parted as %q", codes[l], w, got)
			}
		}
	}
}

// TestEnglish: running texts of other languages are not taken for English, and journaling is. The sentences are ours.
func TestEnglish(t *testing.T) {
	ts := newTextSetter(shared, "en")
	defer ts.close()
	reads := func(text string) lang { return ts.reads([]typed{{text: []rune(text)}}) }
	for _, text := range texts[:5] {
		if got := reads(text); got != langEn {
			t.Errorf("English that reads like %q: %s", codes[got], text)
		}
	}
	for name, text := range map[string]string{
		"German":  "Wir sind vor Sonnenaufgang losgefahren, zu viert in Onkel Haralds altem Kombi, mit einer Kanne Kakao und viel zu vielen Decken. Als der Leuchtturm in Sicht kam, war der Nebel weg, und die Bucht lag da wie ein Spiegel in der Sonne.",
		"Dutch":   "We vertrokken voor zonsopgang met zijn vieren in de oude auto van oom Harald, met een kan chocolademelk en veel te veel dekens. Toen de vuurtoren in zicht kwam was de mist weg en lag de baai erbij als een spiegel.",
		"French":  "Nous sommes partis avant l'aube, tous les quatre dans la vieille voiture de l'oncle Harold, avec du chocolat et beaucoup trop de couvertures. Quand le phare est apparu, la brume avait disparu et la baie était plate comme un miroir.",
		"Spanish": "Salimos antes del amanecer, los cuatro en el viejo coche del tío Harold, con chocolate y demasiadas mantas. Cuando apareció el faro la niebla se había ido y la bahía estaba lisa como un espejo. A mi abuela le gustó.",
		"Italian": "Siamo partiti prima dell'alba, in quattro nella vecchia macchina dello zio Aroldo, con la cioccolata e troppe coperte. Quando il faro apparve la nebbia era sparita e la baia era piatta come uno specchio. A mia nonna piace.",
	} {
		if reads(text) == langEn {
			t.Errorf("%s reads like English", name)
		}
	}
}

// TestLanguages: each language that the settings take has hyphens, and each table is taken by the settings. What may be written is
// what the settings say when it is something else.
func TestLanguages(t *testing.T) {
	load := func(code string) (*config.Settings, problem.List) {
		return config.Load(config.Source{Home: t.TempDir(), Flags: map[string]string{"language": code}})
	}
	_, problems := load("?")
	if len(problems) != 1 {
		t.Fatal(problems)
	}
	known := strings.FieldsFunc(strings.TrimPrefix(problems[0].Hint, "write "), func(r rune) bool { return r == ' ' || r == ',' })
	known = slices.DeleteFunc(known, func(w string) bool { return w == "or" || w == "none" || w == config.AutoLanguage })
	files, err := hyphenTables.ReadDir("hyphens")
	if err != nil || len(known) != len(files)+1 { // English has a file of its own
		t.Errorf("the settings take %v, %d tables are at hand (%v)", known, len(files)+1, err)
	}
	for _, code := range known {
		if s, problems := load(code); len(problems) > 0 || s.Language != code || hyphenatorOf(code) == nil {
			t.Errorf("there is no table for %s (%v)", code, problems)
		}
	}
	if s, problems := load("none"); len(problems) > 0 || hyphenatorOf(s.Language) != nil {
		t.Errorf("none has hyphens (%v)", problems)
	}
}

// TestWhoseHyphens: a text goes by the rules of the language that it reads like; with a language in the settings only its texts are broken,
// and those that tell of none, but for English, which its common words tell.
func TestWhoseHyphens(t *testing.T) {
	ts := newTextSetter(shared, "")
	defer ts.close()
	const german, french, none = "Die Kinder waren mit der Großmutter im Garten und haben gesungen.", "Les enfants racontaient leurs aventures pendant que la mer était calme.", "Wochenendspaziergang"
	for _, c := range []struct{ setting, text, want string }{
		{"auto", german, "de"}, {"auto", french, "fr"}, {"auto", texts[0], "en"}, {"auto", none, ""}, {"de", german, "de"}, {"de", french, ""}, {"de", texts[0], ""}, {"de", none, "de"},
		{"en", german, ""}, {"en", texts[0], "en"}, {"en", none, ""}, {"", german, ""}, {"", texts[0], ""},
	} {
		b := aBlock(3*measure.Inch, 3*measure.Inch, c.text)
		body, found := ts.prepare(&b)
		if found.Errors() > 0 {
			t.Fatal(found)
		}
		got := ""
		if h := body.hyphenator(&b, &config.Settings{Language: c.setting}); h != nil {
			got = codes[h.lang]
		}
		if got != c.want {
			t.Errorf("%q, %q in the settings: by the rules of %q, want %q", c.text, c.setting, got, c.want)
		}
		b.Type.Hyphenate = config.HyphenateNever
		if body.hyphenator(&b, &config.Settings{Language: c.setting}) != nil {
			t.Errorf("%q is broken where nothing may be", c.text)
		}
	}
}

// TestTableOfOtherLetters: a table of TeX's collection says how few letters may stand at a hyphen, and has letters beyond a to z.
// The patterns are ours: a hyphen before each ß between vowels, and two words as they are, the second with too few letters after its hyphen.
func TestTableOfOtherLetters(t *testing.T) {
	h := readTeX("% hyphenmins:\n%     typesetting:\n%         left: 1\n%         right: 4\n\\patterns{\na1ß\nü1ß\n}\n\\hyphenation{\nüber-maße über-maß\n}\n")
	for word, want := range map[string][]int{"füßeln": {2}, "aßenaßen": {1}, "aßenaße": {1}, "straße": nil, "übermaße": {4}, "übermaß": nil} {
		if got := h.points(word); !slices.Equal(got, want) {
			t.Errorf("%s after %v, want %v", word, got, want)
		}
	}
	if at, word := h.wordIn([]rune("„füßü“,")); at != 0 || word != "" { // f is in no pattern
		t.Errorf("%d %q", at, word)
	}
	if at, word := h.wordIn([]rune("„üßaß“,")); at != 1 || word != "üßaß" {
		t.Errorf("%d %q", at, word)
	}
}
