package proof

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"tuckmark/config/longtests"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// spacesAndWishes are answers as they were read, each with what it gives.
func spacesAndWishes(list []Answer) string {
	var got []string
	for _, a := range list {
		switch s := strings.TrimSpace(a.Code + " " + a.Print); {
		case a.Space != "":
			got = append(got, s+" = "+a.Space)
		case a.OK:
			got = append(got, s+" ok")
		case !a.Aside:
			got = append(got, s+": "+a.Change)
		default:
			got = append(got, s+" beside: "+a.Change)
		}
	}
	return strings.Join(got, "|")
}

// TestSpaceGoesOn: a space that is given goes on with the rest of a measure, as mail breaks it, and with nothing else.
func TestSpaceGoesOn(t *testing.T) {
	const given, is = "AM-2 f7aaf282 space: ", "AM-2 f7aaf282 = "
	for _, c := range []struct{ text, want string }{
		{given + "4 1/2 inches wide and\n2 1/4 inches high\nAM-1 ok", is + "4 1/2 inches wide and 2 1/4 inches high|AM-1 ok"},
		{given + "4 1/2 in wide by\n> 2 1/4 in high", is + "4 1/2 in wide by 2 1/4 in high"},
		{given + "4\n x 2", is + "4 x 2"},
		{given + "\n4 x 2 in\nThanks, Ann", is + "4 x 2 in"},
		{given + "about\n4 x 2", is + "about 4 x 2"},
		{given + "4 x 2 in\nAM-2 please do not print this one yet", is + "4 x 2 in|AM-2: please do not print this one yet"},
		{given + "4 1/2 inches wide and 2 1/4 inches high\nAM-2 please do not print this one yet", is + "4 1/2 inches wide and 2 1/4 inches high|AM-2: please do not print this one yet"},
		{given + "4 1/2 inches wide and\nAM-2 please do not print this one yet", is + "4 1/2 inches wide and|AM-2: please do not print this one yet"},
		{given + "4 x 2 in\nplease do not print this one yet\nuntil May", is + "4 x 2 in|AM-2 f7aaf282: please do not print this one yet until May"},
		{given + "4 x 2 in\nand 3 more of it", is + "4 x 2 in|AM-2 f7aaf282: and 3 more of it"},
		{given + "5 x 2 in or 6\nthe year", is + "5 x 2 in or 6|AM-2 f7aaf282: the year"},
		{given + "4\nthe year", is + "4|AM-2 f7aaf282: the year"},
		{given + "4 x 2 in\n\nbut the year is 1987", is + "4 x 2 in|AM-2 f7aaf282: but the year is 1987"},
		{given + "soon\n\nthe year is 1987", is + "soon"},
		{given + "4 x 2 in\nsee AM-1 for the year / AM-1 ok", is + "4 x 2 in|AM-1: see AM-1 for the year /|AM-1: ok"},
		{given + "\nthe year is 1987", "AM-2 f7aaf282: the year is 1987"},
		{given + "\nAM-1 larger", "AM-2 f7aaf282: (it does not say what)|AM-1: larger"},
		{"[01.05.25, 10:01:00] Ann: " + given + "about 4\n[01.05.25, 10:02:00] Ann: the year is 1987", is + "about 4|AM-2 f7aaf282: the year is 1987"},
	} {
		list, problems := ReadAnswers("a.txt", []byte(c.text), map[string]bool{"AM-1": true, "AM-2": true}, Of{Owners: []string{"Ann Moss"}})
		if got := spacesAndWishes(list); got != c.want {
			t.Errorf("%q: %q, not %q; %v", c.text, got, c.want, problems)
		}
	}
	_, problems := ReadAnswers("a.txt", []byte(given+"4 x 2\nThanks, Ann"), map[string]bool{"AM-2": true})
	if len(problems) != 1 || problems[0].What != "line 2, below what is given for AM-2, is not read as an answer: “Thanks, Ann”" {
		t.Error(problems)
	}
}

// TestNoWordIsSwallowedBySpaces draws answers that give spaces, with other lines below them: each word is said again to somebody, in full.
func TestNoWordIsSwallowedBySpaces(t *testing.T) {
	in, inch := small(t, "One"), measure.Length(measure.Inch)
	whole := measure.Size{W: 4 * inch, H: 2 * inch}
	base := []*intake.Block{{Owner: "Ann Moss", Text: textOf("We ate."), Space: whole}, {Owner: "Ann Moss", Text: textOf("We sang.")},
		{Owner: "Ann Moss", Space: whole}, {Owner: "Al Moor", Text: textOf("We rowed."), Space: measure.Size{W: 3 * inch}}, {Owner: "Bo Orr", Text: textOf("We ate."), Space: whole}}
	for _, b := range base {
		b.Stock, b.Copies = "cardstock", 1
	}
	coded(base)
	known := map[string]bool{}
	for _, b := range base {
		known[b.Code] = true
	}
	for seed := range longtests.Cases(3_000, 60_000) {
		d := &correspondent{Rand: rand.New(rand.NewPCG(65, uint64(seed)))}
		code := func() (string, string) {
			b := base[d.IntN(len(base))]
			return b.Code, d.one(Fingerprint(b, in.Settings), Fingerprint(b, in.Settings), "00000000")
		}
		var text []string
		for range 2 + d.IntN(5) {
			c, print := code()
			other, _ := code()
			switch d.IntN(9) {
			case 0, 1, 2:
				text = append(text, d.one("", "", "[01.05.25, 10:01:00] Ann: ")+c+" "+print+" space: "+d.one("4 x 2 in", "4 1/2 inches wide and 2 1/4 inches high", "4 1/2 inches wide and", "3", "", "5 x 2 in or "+d.word(), "about "+d.word()+" and the letters larger than those of the others "+d.word()))
			case 3:
				text = append(text, d.one("2 1/4 inches high", "x 2", "> by 3 in", "1/2", "letter"))
			case 4:
				text = append(text, c+d.one(" please not yet ", " the date is ", ": ", " change: ", " not ok ", " "+print+" change: ")+d.word())
			case 5:
				text = append(text, d.one("", "> ", "[01.05.25, 10:02:00] Al Moor: ", "[01.05.25, 10:02:00] Ann: ", "and ", "Thanks, ", "2 x ")+d.word())
			case 6:
				text = append(text, d.one("", "end of answers", "tuckmark answers: x", "--"))
			case 7:
				text = append(text, "see "+c+" "+d.word()+d.one(" / ", " ", ", ", "; ")+other+d.one(" ok", " "+d.word()))
			case 8:
				text = append(text, c+d.one(" ok", " "+print+" ok"))
			}
		}
		list, problems := ReadAnswers("a.txt", []byte(strings.Join(text, "\n")), known, Of{Owners: []string{"Ann Moss", "Al Moor", "Bo Orr"}})
		if len(list) == 0 {
			continue
		}
		blocks, held := sorted(copyOf(base))
		asked := asked(blocks, held)
		problems = append(problems, Give(list, blocks, held, in.Settings, func(i int, _, space string) (*intake.Block, *problem.Problem) {
			b := *asked[i]
			if size, err := measure.ParseSize(space, measure.In); err == nil {
				b.Space = size
			} else if side, err := measure.Parse(space, measure.In); err == nil && b.Space.W > 0 && b.Space.H == 0 {
				b.Space.H = side
			} else {
				return nil, &problem.Problem{What: measure.Quote(space) + " is not a width and a height"}
			}
			return &b, nil
		})...)
		problems = append(problems, Tally(list, blocks, held, in.Settings).Problems...)
		said := ""
		for _, p := range problems {
			said += p.What + " " + p.Whole + "\n"
		}
		for _, w := range aWord.FindAllString(strings.Join(text, "\n"), -1) {
			settled := false // an ok to the very row settles a wish, where a later answer to its code counts
			for i := range list {
				for k := range list[i+1:] {
					ok := &list[i+1+k]
					settled = settled || strings.Contains(list[i].Change, w) && ok.OK && ok.key() == list[i].key() && slices.ContainsFunc(list[i+1+k:], func(a Answer) bool { return a.Code == ok.Code && a.Print != ok.Print })
				}
			}
			if !strings.Contains(said, w) && !settled {
				t.Fatalf("seed %d: nobody is told of %s\n%s\n--\n%s\n%s", seed, w, strings.Join(text, "\n"), spacesAndWishes(list), said)
			}
		}
	}
}
