package intake

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"tuckmark/config"
	"tuckmark/intake/intaketest"
)

func TestHeadings(t *testing.T) {
	for heading, want := range map[string]string{
		"Name": "Name", "NAME": "Name", " name ": "Name", "Your name": "Name", "What is your name?": "Name", "your name*": "Name", "Name (first and last)": "Name", "Owner": "Name", "Participant": "Name",
		"Page": "Page", "Page name": "Page", "Layout": "Page", "Page #": "Page",
		"Journaling": "Journaling", "journalling": "Journaling", "Jornaling": "Journaling", "Journalng": "Journaling", "Journaling text": "Journaling", "Text": "Journaling", "Your journaling (type it here)": "Journaling",
		"Width": "Width", "Width (cm)": "Width cm", "Width in cm": "Width cm", "Width in inches": "Width in", "width, mm": "Width mm", "Width [mm]": "Width mm", `Width "`: "Width in", "Width (\")": "Width in", "Widht": "Width",
		"How wide is the space?": "Width", "Space width": "Width", "W": "Width", "Breite": "Width",
		"Height": "Height", "Heigth": "Height", "height (in.)": "Height in", "Höhe": "Height", "How tall?": "Height",
		"Space": "Space", "Space (w x h)": "Space", "Size of the space": "Space", "Dimensions (inches)": "Space in", "Journaling space": "Space", "W x H": "Space", "Measurements": "Space",
		"Stock": "Stock", "paper type": "Stock", "Type of paper": "Stock", "Paper": "Stock", "Which paper would you like?": "Stock",
		"Font": "Font", "Typeface": "Font", "Size": "Size", "Font size": "Size", "Type size (pt)": "Size pt", "Point size": "Size",
		"Align": "Align", "Alignment": "Align", "Ink": "Ink", "Ink colour": "Ink", "Color": "Ink", "Text color": "Ink", "Tuck": "Tuck", "Tuck (in)": "Tuck in", "Turn": "Turn", "May it be turned?": "", "OK to rotate": "Turn",
		"Copies": "Copies", "How many copies?": "Copies", "Qty": "Copies", "# of copies": "Copies", "Title": "Title", "Headline": "Title", "Who": "Who", "People": "Who", "Who is in the photo?": "Who",
		"Where": "Where", "Place": "Where", "When": "When", "Date": "When", "Note": "Note", "Comments": "Note", "Page colour": "Page colour", "Background color": "Page colour", "Last name": "Surname",
		"Name of page": "Page", "Owner of the page": "Name", "Paper size": "", "What should the journaling say?": "Journaling", "How wide is your space (inches)?": "Width in", "How tall is your space, in cm?": "Height cm", "Shoe size": "", "Email": "", "Timestamp": "", "Phone": "", "": "", "4": "", "Number": "", "No.": "", "#": "", "Allergies": "", "Score": "", "x": "", "Table": "", "Weight": "Height",
	} {
		f, unit, _ := recognise(heading)
		if got := strings.TrimSpace(f.String() + " " + unit); got != want {
			t.Errorf("%q is taken for %q, want %q", heading, got, want)
		}
	}
}

// Every field has synonyms, none of which stands for two fields.
func TestSynonyms(t *testing.T) {
	per := map[meaning]int{}
	for s, f := range synonyms {
		per[f]++
		if plainLetters(s) != s {
			t.Errorf("%q is not folded", s)
		}
	}
	total := 0
	for f := asName; f < asHold; f++ { // those after it have no synonyms
		if per[f] == 0 {
			t.Errorf("nothing means %s", f)
		}
		if g, _, guess := recognise(f.String()); g != f || guess != "" {
			t.Errorf("%s is taken for %s", f, g)
		}
		total += per[f]
	}
	if total != len(synonyms) {
		t.Errorf("%d of %d synonyms have a field", total, len(synonyms))
	}
}

// What the columns were taken for, over whole tables.
func TestColumns(t *testing.T) {
	for name, c := range map[string]struct{ csv, want, problems string }{
		"any order": {"HEIGHT,journaling,WIDTH,name\n2,At Odile's in Larvik 2026,4,Pim\n",
			"Height Journaling Width Name", ""},
		"a size that is the space": {"owner,page,text,size\nPim,1,At Odile's in Larvik 2026,4½” × 2”\n", "Name Page Journaling Space", ""},
		"a size beside the space":  {"owner,text,space,size\nPim,At Odile's in Larvik 2026,4 x 2,11\n", "Name Journaling Space Size", ""},
		"two of one kind":          {"Name,Text,Journaling,Space\nPim,At Odile's in Larvik 2026,At Odile's in Larvik 2026,4 x 2\n", "Name Journaling - Space", "note a.csv 1: not read: “Journaling” in column C (a second one for Journaling)\nerror a.csv 1 C1: 1 text in column C would be lost\n"},
		"near misses give way": {"Name,Heigth,Height,Width,Text\nPim,9,2,4,At Odile's in Larvik 2026\n",
			"Name - Height Width Journaling", "note a.csv 1: not read: “Heigth” in column B (a second one for Height)\n"},
		"first and last name": {"First name,Last name,Text,Space\nPim,Berg,At Odile's in Larvik 2026,4 x 2\n",
			"Name Surname Journaling Space", ""},
		"no name": {"Text,Width,Height\nx,4,2\n", "Journaling Width Height", "error a.csv: there is no column Name\n"},
		"no space": {"Name,Text,Page\nPim,x,4\n", "Name Journaling Page",
			"error a.csv: there is no column Width and Height (or Space)\n"},
		"no height":   {"Name,Text,Width\nPim,x,4\n", "Name Journaling Width", "error a.csv: there is no column Height\n"},
		"no text":     {"Name,Width,Height\nPim,4,2\n", "Name Width Height", "error a.csv: there is no column Journaling\n"},
		"no headings": {"Pim,At Odile's,4,2\n", "", "error a.csv: no table of journaling was found in it\n"},
	} {
		job, problems := read(t, "a.csv", c.csv)
		var got []string
		for _, col := range job.Columns {
			if col.As == "" {
				col.As = "-"
			}
			got = append(got, col.As)
		}
		if strings.Join(got, " ") != c.want || intaketest.Say(problems) != c.problems {
			t.Errorf("%s: columns %v\n%s", name, got, intaketest.Say(problems))
		}
		if c.problems == "" && (len(job.Blocks) != 1 || job.Blocks[0].Space.W == 0) {
			t.Errorf("%s: %+v", name, job.Blocks)
		}
	}
}

func FuzzHeadings(f *testing.F) {
	for _, s := range []string{"Width (cm)", "your name", "W x H", "Größe", "Space in \"", "\xff", strings.Repeat("a ", 90)} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, heading string) {
		m, unit, guess := recognise(heading)
		if m == asUnknown && guess != "" || m >= meanings {
			t.Fatalf("%q: %v %q", heading, m, guess)
		}
		if again, u, _ := recognise(strings.ToUpper(heading)); ascii(heading) && (again != m || u != unit) {
			t.Fatalf("%q is %v %s, in capitals %v %s", heading, m, unit, again, u)
		}
	})
}

func ascii(s string) bool {
	return strings.IndexFunc(s, func(r rune) bool { return r >= utf8.RuneSelf }) < 0
}

// TestNear: a misspelled heading is found as by comparing it with each that is known.
func TestNear(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	letters := []rune("aeinorstwhz 1é")
	found := 0
	for range 3_000 {
		key := []rune(longSynonyms[r.IntN(len(longSynonyms))].text)
		for range r.IntN(4) {
			switch at := r.IntN(len(key)); r.IntN(3) {
			case 0:
				key[at] = letters[r.IntN(len(letters))]
			case 1:
				key = slices.Delete(key, at, at+1)
			default:
				key = slices.Insert(key, at, letters[r.IntN(len(letters))])
			}
		}
		text := string(key)
		best, least := asUnknown, 2
		if len(text) >= 8 && !strings.Contains(text, " ") {
			least = 3
		}
		if len(text) < 5 || len(text) > 30 {
			least = 0
		}
		for _, l := range longSynonyms {
			if d := config.EditDistance(text, l.text); d < least {
				best, least = synonyms[l.text], d
			} else if d == least && best != synonyms[l.text] {
				best = asUnknown
			}
		}
		if got := near(text); got != best {
			t.Fatalf("%q is near %v, not %v", text, got, best)
		}
		if best != asUnknown {
			found++
		}
	}
	if found < 1_000 {
		t.Errorf("%d of them are near", found)
	}
}
