package intake

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/intake/intaketest"
	"tuckmark/intake/table"
)

// Two tables beside each other, each with some of what a block must have: nobody's text gets into somebody else's space. Where the people stand in the same order, they
// are one table; else none of it is read, and it is told.
func TestTablesThatCompleteEachOther(t *testing.T) {
	people := []string{"Ann", "Bob", "Cyd", "Dot"}
	said := 0
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 3))
		fields := []string{"Width", "Height", "Journaling"}
		r.Shuffle(len(fields), func(i, j int) { fields[i], fields[j] = fields[j], fields[i] })
		cut := 1 + r.IntN(2)
		sides := [2][]string{append([]string{"Name"}, fields[:cut]...), append([]string{"Name"}, fields[cut:]...)}
		gap := r.IntN(2)
		if gap > 0 {
			for n := range sides {
				r.Shuffle(len(sides[n]), func(i, j int) { sides[n][i], sides[n][j] = sides[n][j], sides[n][i] })
			}
		}
		order := [2][]int{{0, 1, 2, 3}, {0, 1, 2, 3}}
		if r.IntN(3) > 0 {
			r.Shuffle(4, func(i, j int) { order[1][i], order[1][j] = order[1][j], order[1][i] })
		}
		cell := func(heading string, who int) string {
			switch heading {
			case "Name":
				return people[who]
			case "Journaling":
				return fmt.Sprintf("the words of %s in 1987", people[who])
			}
			return fmt.Sprint(who + 2)
		}
		rows := make([]string, 5)
		for side, headings := range sides {
			for i := range rows {
				for k, h := range headings {
					if side+k > 0 {
						rows[i] += ","
					}
					if k == 0 && side == 1 {
						rows[i] += strings.Repeat(",", gap)
					}
					if i == 0 {
						rows[i] += h
					} else {
						rows[i] += cell(h, order[side][i-1])
					}
				}
			}
		}
		data := strings.Join(rows, "\n") + "\n"
		same := order[0][0] == order[1][0] && order[0][1] == order[1][1] && order[0][2] == order[1][2]
		job, problems := read(t, "a.csv", data)
		for _, b := range job.Blocks {
			if side := measure.Length(strings.Index("__AnnBobCydDot", b.Owner)/3+2) * measure.Inch; flat(b.Text) != "the words of "+b.Owner+" in 1987" || b.Space != (measure.Size{W: side, H: side}) {
				t.Errorf("seed %d: %s has %q on %s:\n%s", seed, b.Owner, flat(b.Text), b.Space.Format(measure.In), data)
			}
		}
		if has(problems, "side by side") == same || (len(job.Blocks) == 4) != same || len(job.Blocks) > 0 != same {
			t.Errorf("seed %d: %d blocks:\n%s%s", seed, len(job.Blocks), data, intaketest.Say(problems))
		}
		if typed := Typed([]*table.File{table.Parse("a.csv", []byte(data), KnownHeading)}, intaketest.Home(), measure.In); len(typed) == 1 != same {
			t.Errorf("seed %d: typed are %+v", seed, typed)
		}
		if !same {
			said++
		}
	}
	if said < 10 {
		t.Errorf("%d were drawn", said)
	}
}

// TestTablesHalfKnown: of two tables beside each other of which one goes by a column that is not read, nothing shows that they are two; the empty column between them is told. It
// is not where the side without the names is all read.
func TestTablesHalfKnown(t *testing.T) {
	for data, told := range map[string]string{
		"Child,Text,Space,,Name,Quote,Gap\nAnn,tea,4 x 2,,Bea,plums,5 x 3\nCid,rain,4 x 2,,Dot,sun,5 x 3\n":                          "“Text” in column B and “Name” in column E are read as one row",
		"From,Text,Format,,Name of scrapbooker,Write here,Width,Height\nAnn,tea,small,,Bea,plums,5,3\nCid,rain,small,,Dot,sun,5,3\n": "“From” in column A and “Width” in column G are read as one row",
		"First name,Last name,Width,Height,,Texts by,Journaling\nAnn,Berg,4,2,,Cyd Olsen,tea\nCyd,Olsen,6,3,,Ann Berg,rain\n":        "“First name” in column A and “Journaling” in column G are read as one row",
		"Page,Text,,Pic,Width,Height\nBeach,tea,,The tent,5,3\nTent,rain,,The beach,5,3\n":                                           "“Text” in column B and “Width” in column E are read as one row",
		"Name,Text,Paid by,,Width,Height\nAnn,tea,card,,5,3\nCid,rain,card,,5,3\n":                                                   "",
		"Name,Text,Width,Height,,Paid by,Drives with\nAnn,tea,5,3,,card,Bo\nCid,rain,5,3,,card,Bo\n":                                 "",
		"Name,Text,Paid by,Width,Height,Drives with\nAnn,tea,card,5,3,Bo\nCid,rain,card,5,3,Bo\n":                                    "",
		"Name,Text,Paid,,Width,Height,Chair\nAnn,tea,7,,5,3,12\nCid,rain,7,,5,3,13\n":                                                "",
	} {
		_, problems := read(t, "a.csv", data)
		if said := has(problems, "with an empty column between them"); said != (told != "") || told != "" && !has(problems, told) {
			t.Errorf("%s%s", data, intaketest.Say(problems))
		}
	}
}

// TestTablesGoneBy: what two tables beside each other go by need not be read; what only stands in both under one heading is no such thing.
func TestTablesGoneBy(t *testing.T) {
	for _, c := range []struct {
		name, data string
		blocks     int // 0: they are two tables
	}{
		{"numbers in another order", "No,Name,Width,Height,,No,Journaling\n1,Ann,4,2,,2,Bo: plums\n2,Bo,3,1.5,,3,Cy: rain\n3,Cy,3.5,2,,1,Ann: tea\n", 0},
		{"in the same", "No,Name,Width,Height,,No,Journaling\n1,Ann,4,2,,1,Ann: tea\n2,Bo,3,1.5,,2,Bo: plums\n3,Cy,3.5,2,,3,Cy: rain\n", 3},
		{"addresses", "E-mail,Name,Width,Height,,E-mail,Journaling\nann@x.example,Ann,4,2,,bo@x.example,Bo: plums\nbo@x.example,Bo,3,1.5,,ann@x.example,Ann: tea\n", 0},
		{"numbers without a gap", "No,Name,Width,Height,No,Journaling\n1,Ann,4,2,2,Bo: plums\n2,Bo,3,1.5,3,Cy: rain\n3,Cy,3.5,2,1,Ann: tea\n", 0},
		{"numbers at the end", "No,Name,Width,Height,Journaling,No\n1,Ann,4,2,tea,2\n2,Bo,3,1.5,plums,3\n3,Cy,3.5,2,rain,1\n", 3},
		{"numbers of two things", "Chair,Name,Width,Height,,Bus,Journaling\n1,Ann,4,2,,2,tea\n2,Bo,3,1.5,,1,plums\n", 2},
		{"remarks", "Remarks,Name,Width,Height,,Remarks,Journaling\nlast,Ann,4,2,,blue,tea\nfirst,Bo,3,1.5,,red,plums\n", 2},
		{"paid and came", "Name,Paid,Journaling,,Width,Height,Came\nAnn,yes,tea,,4,2,no\nBo,no,plums,,3,1.5,yes\nCy,yes,rain,,3,2,yes\n", 3},
		{"meals", "Name,Meal,Journaling,,Width,Height,Meal\nAnn,fish,tea,,4,2,meat\nBo,meat,plums,,3,1.5,fish\nCy,fish,rain,,3,2,fish\nDi,fish,sun,,3,2,meat\n", 4},
		{"people beside each other", "Name,Buddy,Journaling,,Width,Height,Drives with\nAnn,Bo,tea,,4,2,Cy\nBo,Cy,plums,,3,1.5,Ann\nCy,Ann,rain,,3,2,Bo\n", 3},
		{"a name beyond all that a block needs", "Name,Journaling,Width,Height,Name,Title\nAnn,tea,4,2,Bo,The pier\nBo,plums,3,1.5,Ann,The quay\n", 0},
		{"names under other headings, without a gap", "Your name,Space,Name,Text\nAnn,2 x 1.5,Ann,plums\nBo,3 x 2,Cy,quays\nCy,4 x 2,Di,rain\nDi,5 x 2,Bo,bread\n", 0},
		{"in the same order", "Your name,Space,Name,Text\nAnn,2 x 1.5,Ann,plums\nBo,3 x 2,Bo,bread\nCy,4 x 2,Cy,quays\nDi,5 x 2,Di,rain\n", 4},
		{"texts before spaces", "Owner,Journaling,Name,Width,Height\nAnn,plums,Ann,2,1.5\nBo,bread,Cy,4,2\nCy,quays,Di,5,2\nDi,rain,Bo,3,2\n", 0},
		{"each for another", "Your name,Owner,Journaling,Width,Height\nAnn,Bo,plums,2,1.5\nBo,Cy,bread,4,2\nCy,Ann,rain,5,2\n", 3},
		{"a list of pages before the texts", "Name,Page,Owner,Journaling,Width,Height\nAnn,1,Bo,bread,3,2\nBo,2,Cy,quays,3,2\nCy,3,Ann,rain,4,2\n", 0},
		{"a list of titles behind them", "Name,Journaling,Width,Height,Owner,Title\nAnn,tea,4,2,Bo,The pier\nBo,plums,3,1.5,Ann,The quay\n", 0},
		{"who helped", "Owner,Journaling,Name,Width,Height\nAnn,plums,Bo,2,1.5\nBo,bread,Ann,4,2\nAnn,quays,Ann,5,2\nAnn,rain,Bo,3,2\n", 4},
		{"a list of who wrote what", "Who,Journaling,,Name,Width,Height\nAnn,plums,,Bo,2,1.5\nBo,bread,,Ann,4,2\nCy,rain,,Cy,4,2\n", 0},
		{"in the same order", "Who,Journaling,,Name,Width,Height\nAnn,plums,,Ann,2,1.5\nBo,bread,,Bo,4,2\nCy,rain,,Cy,4,2\n", 3},
		{"each writes of another", "Name,Who,Journaling,Width,Height\nAnn,Bo,plums,2,1.5\nBo,Cy,bread,4,2\nCy,Ann,rain,4,2\n", 3},
		{"who is on the photo", "Name,Journaling,Width,Height,,Who,Where\nAnn,plums,2,1.5,,Bo,Larvik\nBo,bread,4,2,,Ann,Larvik\n", 2},
		{"whose page it is", "Name,Journaling,Width,Height,Owner\nAnn,plums,2,1.5,Bo\nBo,bread,4,2,Ann\n", 2},
		{"headed alike, in words that are guessed", "Participant's name,Width,Height,,Participant's name,Journaling\nAnn,4,2,,Bo,plums\nBo,3,1.5,,Cy,rain\nCy,5,2,,Ann,tea\n", 0},
		{"headed alike so, without a gap", "Participant's name,Width,Height,Participant's name,Journaling\nAnn,4,2,Bo,plums\nBo,3,1.5,Cy,rain\nCy,5,2,Ann,tea\n", 0},
		{"a guessed heading and a plain one", "Name of participant,Width,Height,,Name,Journaling\nAnn,4,2,,Bo,plums\nBo,3,1.5,,Cy,rain\nCy,5,2,,Ann,tea\n", 0},
		{"pages of albums", "Page of album,Name,Width,Height,,Page of album,Journaling\np1,Ann,4,2,,p2,plums\np2,Bo,3,1.5,,p3,rain\np3,Cy,5,2,,p1,tea\n", 0},
		{"addresses, spelled in two ways", "E-mail,Name,Width,Height,,Email address,Journaling\nann@x.example,Ann,4,2,,bo@x.example,plums\nbo@x.example,Bo,3,1.5,,ann@x.example,tea\n", 0},
		{"a heading that is not known", "Name,Width,Height,,Writer,Journaling\nAnn,4,2,,Bo,plums\nBo,3,1.5,,Ann,rain\n", 0},
		{"in the same order", "Name,Width,Height,,Writer,Journaling\nAnn,4,2,,Ann,plums\nBo,3,1.5,,Bo,rain\n", 2},
		{"other people", "Name,Width,Height,,Writer,Journaling\nAnn,4,2,,Zoe,plums\nBo,3,1.5,,Yda,rain\n", 2},
		{"no heading", "Name,Width,Height,,,Journaling\nAnn,4,2,,Bo,plums\nBo,3,1.5,,Cy,rain\nCy,5,2,,Ann,tea\n", 0},
		{"no heading, on the left", ",Width,Height,,Name,Journaling\nAnn,4,2,,Bo,plums\nBo,3,1.5,,Cy,rain\nCy,5,2,,Ann,tea\n", 0},
		{"numbers whose headings say more or less", "Name,Photo no.,Width,Height,,No.,Journaling\nAnn,1,4,2,,2,plums\nBo,2,3,1.5,,3,rain\nCy,3,5,2,,1,tea\n", 0},
		{"pages, and the number of the row", "Name,Page,Width,Height,,Row,Journaling\nAnn,3,4,2,,1,plums\nBo,1,3,1.5,,2,rain\nCy,2,5,2,,3,tea\n", 3},
		{"the way out", "Name,Width,Height,Writer,Journaling\nAnn,4,2,Bo,plums\nBo,3,1.5,Ann,rain\n", 2},
		{"somebody else's name there", "Name,Journaling,Width,Height,Name,Title\nAnn,tea,4,2,Zoe,The pier\nBo,plums,3,1.5,Yda,The quay\n", 2},
	} {
		job, problems := read(t, "a.csv", c.data)
		if told := has(problems, "side by side"); len(job.Blocks) != c.blocks || told != (c.blocks == 0) {
			t.Errorf("%s: %d blocks, %s", c.name, len(job.Blocks), intaketest.Say(problems))
		}
		if told := has(problems, "in another order; each row is read as one"); told != (c.name == "the way out" || c.name == "people beside each other" || c.name == "each for another" || c.name == "whose page it is") && c.blocks > 0 {
			t.Errorf("%s: another order told: %t, %s", c.name, told, intaketest.Say(problems))
		}
	}
}

// What is one table all the same is read, and a page that differs parts two.
func TestTablesBeside(t *testing.T) {
	for data, told := range map[string]bool{
		"Name,Page,Width,Height,,Page,Journaling\nAnn,1,4,2,,2,In June\nAnn,2,3,2,,1,In May\n":             true,
		"Name,Page,Width,Height,,Page,Journaling\nAnn,1,4,2,,1,In June\nAnn,2,3,2,,,In May\n":              false,
		"Name,Page,Width,Height,Page,Journaling\nAnn,1,4,2,Lake,In June\n":                                 false, // one table
		"Name,Width,Height,Owner,Journaling\nAnn,4,2,Bob,In June\n":                                        false,
		"Name,Width,Height,,Owner,Journaling\nAnn,4,2,,Bob,In June\n":                                      true,
		"Name,Width,Height,Journaling,Name\nAnn,4,2,In June,Bob\n":                                         false,
		"Name,Width,Height,,Name,Journaling\nAnn,4,2,,ANN,In June\nditto,4,3,,same,In May\nBo,4,3,,bo,x\n": false,
		"Name,Width,Height,,Name,Journaling\nAnn,4,2,,ann,In June\nBo,4,3,,same,In May\n":                  true,
		"Name,,Name,Journaling,Width,Height\nBo,,Ann,In June,4,2\nAnn,,Bo,In May,4,2\n":                    true, // a list of names, and the table
	} {
		job, problems := read(t, "a.csv", data)
		if has(problems, "side by side") != told || told && len(job.Blocks)+len(job.Sheets) > 0 || !told && len(job.Blocks) == 0 {
			t.Errorf("%s%+v\n%s", data, job.Blocks, intaketest.Say(problems))
		}
	}
	if job, said := readTables(t, []config.Column{{Heading: "Name", As: "Name"}}, "a.csv", "Name,Width,Height,,Name,Journaling\nAnn,4,2,,Bob,In June\n"); len(job.Blocks) > 0 {
		t.Errorf("told: %v\n%s", job.Blocks, said)
	}
}

// TestGoneByCostsLittle: what tables may go by is looked up by its heading: of thousands of columns that are not read each is gone through once.
func TestGoneByCostsLittle(t *testing.T) {
	s := &Sheet{Columns: make([]Column, 6000)}
	part, home := make([]int, len(s.Columns)), map[int]bool{}
	for k := range s.Columns {
		s.Columns[k].Heading, part[k] = fmt.Sprintf("zq %d", k%5999), k/mostGoneBy
		home[part[k]] = true
	}
	began := intaketest.Processor()
	pairs := s.goneBy(part, home)
	if took := intaketest.Processor() - began; took > intaketest.Raced*200*time.Millisecond {
		t.Errorf("it takes %v", took)
	}
	if len(pairs) != 1 || pairs[0] != [2]int{0, 5999} {
		t.Errorf("%v", pairs)
	}
}
