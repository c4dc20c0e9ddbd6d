package typeset

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"unicode"

	"modernc.org/knuth/tex"
)

// hyphens shows a word with the hyphens that it may take.
func hyphens(word string) string {
	var b strings.Builder
	last := 0
	for _, n := range english().points(word) {
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
	if n := len(english().patterns); n != 4447 { // the number that the file is known for; see the thesis, p. 37
		t.Errorf("%d patterns", n)
	}
	if n := len(english().exceptions); n != 14 {
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
	for p := range english().patterns { // sorted below
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
	share := func(text string) int {
		words, hits := countCommon([]rune(text))
		return 100 * hits / words
	}
	for _, text := range texts[:5] {
		if s := share(text); s < commonShare {
			t.Errorf("English with %d in 100 common words: %s", s, text)
		}
	}
	for name, text := range map[string]string{
		"German":  "Wir sind vor Sonnenaufgang losgefahren, zu viert in Onkel Haralds altem Kombi, mit einer Kanne Kakao und viel zu vielen Decken. Als der Leuchtturm in Sicht kam, war der Nebel weg, und die Bucht lag da wie ein Spiegel in der Sonne.",
		"Dutch":   "We vertrokken voor zonsopgang met zijn vieren in de oude auto van oom Harald, met een kan chocolademelk en veel te veel dekens. Toen de vuurtoren in zicht kwam was de mist weg en lag de baai erbij als een spiegel.",
		"French":  "Nous sommes partis avant l'aube, tous les quatre dans la vieille voiture de l'oncle Harold, avec du chocolat et beaucoup trop de couvertures. Quand le phare est apparu, la brume avait disparu et la baie était plate comme un miroir.",
		"Spanish": "Salimos antes del amanecer, los cuatro en el viejo coche del tío Harold, con chocolate y demasiadas mantas. Cuando apareció el faro la niebla se había ido y la bahía estaba lisa como un espejo. A mi abuela le gustó.",
		"Italian": "Siamo partiti prima dell'alba, in quattro nella vecchia macchina dello zio Aroldo, con la cioccolata e troppe coperte. Quando il faro apparve la nebbia era sparita e la baia era piatta come uno specchio. A mia nonna piace.",
	} {
		if s := share(text); s > commonShare/2 {
			t.Errorf("%s has %d common English words in 100", name, s)
		}
	}
}
