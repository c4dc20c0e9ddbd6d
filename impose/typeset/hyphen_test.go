package typeset

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"unicode"

	"modernc.org/knuth/tex"

	"tuckmark/config"
	"tuckmark/config/problem"
)

// hyphens shows a word with the hyphens that it may take.
func hyphens(word string) string {
	var b strings.Builder
	last := 0
	for _, n := range hyphenatorOf("en").points(word) {
		b.WriteString(word[last:n] + "-")
		last = n
	}
	return b.String() + word[last:]
}

// TestLiang checks words whose hyphens are printed: hyphenation and concatenation in Liang's thesis (1983), pp. 1 and 43;
// supercalifragilisticexpialidocious in "The TeXbook", appendix H; table, present and project, exceptions in hyphen.tex.
func TestLiang(t *testing.T) {
	for _, want := range []string{"hy-phen-ation", "con-cate-na-tion", "su-per-cal-ifrag-ilis-tic-ex-pi-ali-do-cious", "ta-ble", "present", "project",
		"dec-li-na-tion", "as-so-ciate", "manuscript", "the", "a", ""} {
		if got := hyphens(strings.ReplaceAll(want, "-", "")); got != want {
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

	var log, dvi, out, errs bytes.Buffer
	job := "\\batchmode\n"
	for _, w := range list {
		job += "\\showhyphens{" + w + "}\n"
	}
	err := tex.Main(strings.NewReader(`\input plain \input job`), &out, &errs,
		tex.WithDVIFile(&dvi), tex.WithInputFile("job.tex", strings.NewReader(job+"\\end\n")), tex.WithLogFile(&log))
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for line := range strings.Lines(log.String()) {
		if _, word, ok := strings.Cut(line, `[] \tenrm `); ok {
			got = append(got, strings.TrimSpace(word))
		}
	}
	if len(got) != len(list) || len(list) < 5000/slower {
		t.Fatalf("TeX shows %d of %d words", len(got), len(list))
	}
	for i, w := range list {
		if h := hyphens(w); h != got[i] {
			t.Errorf("ours %s, TeX's %s", h, got[i])
		}
	}
	t.Logf("%d words", len(list))
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
	known = slices.DeleteFunc(known, func(w string) bool { return w == "or" || w == "none" })
	files, err := patterns.ReadDir(".")
	if err != nil || len(known) != len(files) {
		t.Errorf("the settings take %v, %d tables are at hand (%v)", known, len(files), err)
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

// TestTableOfOtherLetters: a table of TeX's collection says how few letters may stand at a hyphen, and has letters beyond a to z.
// The patterns are ours: a hyphen before each ß between vowels, and one word as it is.
func TestTableOfOtherLetters(t *testing.T) {
	h := readTeX("% hyphenmins:\n%     typesetting:\n%         left: 1\n%         right: 4\n\\patterns{\na1ß\nü1ß\n}\n\\hyphenation{\nüber-maß\n}\n")
	for word, want := range map[string][]int{"füßeln": {2}, "aßenaßen": {1}, "aßenaße": {1}, "straße": nil, "übermaß": {4}} {
		if got := h.points(word); !slices.Equal(got, want) {
			t.Errorf("%s after %v, want %v", word, got, want)
		}
	}
	if at, word := h.core([]rune("„füßü“,")); at != 0 || word != "" { // f is in no pattern
		t.Errorf("%d %q", at, word)
	}
	if at, word := h.core([]rune("„üßaß“,")); at != 1 || word != "üßaß" {
		t.Errorf("%d %q", at, word)
	}
}
