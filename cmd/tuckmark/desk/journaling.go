package desk

import (
	"cmp"
	"encoding/json"
	"errors"
	"hash/fnv"
	"net/http"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"tuckmark/cmd/internal/jobbook"
	"tuckmark/config/problem"
	"tuckmark/impose/proof"
	"tuckmark/intake"
)

// journalView is what the journaling shows: the people, one person's blocks, and an editor.
type journalView struct {
	frame
	People  peopleView
	Blocks  blocksView
	Fields  []fieldView // beside those that have a place of their own
	Choices choices
}

// choices are what the editor offers.
type choices struct {
	Stocks, Fonts, Aligns []string
	Usual                 map[string]string // what holds where a field is empty, by heading
	Unit                  string
}

type fieldView struct{ Name, ID, Says string }

type peopleView struct {
	Who  string
	List []personView
	All  int
	Mend int
}

type personView struct {
	Key, Name string
	Blocks    int
	Mend      int
}

type blocksView struct {
	Who, Name string
	List      []blockView
	General   []finding // about the whole job
}

type blockView struct {
	ID, Code, Page string
	Cells          string // as JSON, for the editor
	Picture        string // its path; "": there is none yet
	Width, Height  int64  // in CSS pixels, true size
	Facts          string
	Text           []string
	Found          []finding
	Mend           bool
	Blank          bool // nothing is typed yet
	Elsewhere      bool // it is of another person than the others
}

// everybody is the key of all people together, and nobody that of rows without a name.
const everybody = "all"

// personKey is the key of a person in addresses: names stay out of them.
func personKey(name string) string {
	return shortKey(strings.ToLower(strings.Join(strings.Fields(name), " ")))
}

// shortKey is a few letters and digits that stand for a text in addresses and pages.
func shortKey(text string) string {
	h := fnv.New64a()
	h.Write([]byte(text))
	return strconv.FormatUint(h.Sum64(), 36)
}

// ownerOf is whose row it is: as it was read, so that two spellings of a name are one person, else as it was typed.
func ownerOf(r jobbook.Row, n *laid) string {
	if n != nil && n.rows[r.ID] != nil && n.rows[r.ID].block != nil && n.rows[r.ID].block.Owner != "" && r.Cells["Name"] != "" {
		return n.rows[r.ID].block.Owner
	}
	return strings.Join(strings.Fields(r.Cells["Name"]), " ")
}

// people are the owners of rows, by name; those without one come last.
func people(rows []jobbook.Row, n *laid) peopleView {
	var v peopleView
	at := map[string]int{}
	for _, r := range rows {
		name := ownerOf(r, n)
		key := personKey(name)
		i, known := at[key]
		if !known {
			i = len(v.List)
			at[key] = i
			v.List = append(v.List, personView{Key: key, Name: name})
		}
		v.List[i].Blocks++
		v.All++
		if n != nil && n.rows[r.ID] != nil && n.rows[r.ID].toMend() {
			v.List[i].Mend++
			v.Mend++
		}
	}
	slices.SortStableFunc(v.List, func(a, b personView) int {
		if (a.Name == "") != (b.Name == "") {
			return cmp.Compare(b.Name, a.Name)
		}
		return cmp.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name))
	})
	return v
}

// choose is whose blocks are shown: as asked for, else of the first person.
func (v *peopleView) choose(asked, inHand string) {
	v.Who = asked
	if asked == everybody || slices.ContainsFunc(v.List, func(p personView) bool { return p.Key == asked }) {
		return
	}
	switch v.Who = everybody; {
	case inHand != "":
		v.Who = inHand
	case len(v.List) > 0:
		v.Who = v.List[0].Key
	}
}

func (v *peopleView) name() string {
	for _, p := range v.List {
		if p.Key == v.Who {
			return cmp.Or(p.Name, unnamed)
		}
	}
	return "Everybody"
}

// blocks are the blocks of a person, as they are laid at present, and that which the page has in hand, whosever it has become: a name is typed letter by letter.
func (j *openJob) blocks(rows []jobbook.Row, v peopleView, n *laid, inHand string) blocksView {
	out := blocksView{Who: v.Who, Name: v.name()}
	for _, r := range rows {
		of := v.Who == everybody || personKey(ownerOf(r, n)) == v.Who
		if !of && r.ID != inHand {
			continue
		}
		b := blockOf(r, n)
		b.Elsewhere = !of
		out.List = append(out.List, b)
	}
	for _, p := range j.stillTold() { // also what is only to be known: of a sheet that was not read nothing else is to be seen
		f := findingOf(p)
		if p.Place.File != filepath.Base(j.book.Path()) {
			f.From = f.Place
		}
		out.General = append(out.General, f)
	}
	if n != nil {
		for _, p := range n.general {
			if p.Kind != problem.Advice {
				out.General = append(out.General, findingOf(p))
			}
		}
	}
	return out
}

func blockOf(r jobbook.Row, n *laid) blockView {
	cells, _ := json.Marshal(r.Cells) // texts can always be written
	b := blockView{ID: r.ID, Code: r.Code, Page: r.Cells["Page"], Cells: string(cells), Blank: strings.TrimSpace(r.Cells["Journaling"]+r.Cells["Title"]) == ""}
	b.Text = strings.FieldsFunc(r.Cells["Journaling"], func(c rune) bool { return c == '\n' })
	var row *laidRow
	if n != nil {
		row = n.rows[r.ID]
	}
	if row == nil {
		return b
	}
	b.Code = cmp.Or(row.code, b.Code)
	b.Mend = row.toMend()
	b.Found = findingsOf(row.problems)
	if row.set != nil {
		b.Text = proof.Paragraphs(row.set.Block)
		b.Facts = proof.Facts(row.set, nil, row.block.Unit)
	}
	if row.block != nil && row.block.Hold {
		b.Facts = strings.TrimSuffix("held back for now · "+b.Facts, " · ")
	}
	if row.block != nil && !row.block.Trim().At(0, 0).Empty() {
		size := row.block.Trim()
		b.Width, b.Height = pixels(size.W), pixels(size.H)
		b.Picture = "/block/" + r.ID + "." + row.version + ".svg"
		if space := row.block.Space; row.set == nil && space.W > 0 && space.H > 0 {
			b.Facts = row.block.Space.About(row.block.Unit) + " space · " + row.block.Stock
		}
	}
	return b
}

// shown is the journaling of a request: whose, and how far it is laid.
func (j *openJob) shown(r *http.Request) (peopleView, blocksView) {
	rows, n := j.book.Rows(jobbook.Journaling), j.layer.latest.Load()
	v := people(rows, n)
	q := r.URL.Query()
	owner := ""
	if row, there := rowsByID(rows)[q.Get("hand")]; there {
		owner = personKey(ownerOf(row, n))
	}
	v.choose(q.Get("who"), owner)
	return v, j.blocks(rows, v, n, q.Get("hand"))
}

func (s *server) journalingPage(j *openJob, w http.ResponseWriter, r *http.Request) {
	v := journalView{frame: s.frame(j, "/journaling", "/take.js", "/journaling.js")}
	v.People, v.Blocks = j.shown(r)
	c := j.layer.settings.Load()
	v.Choices = choices{Fonts: plainFonts, Unit: j.book.Unit().Name(), Usual: map[string]string{}}
	for _, t := range c.Stocks {
		v.Choices.Stocks = append(v.Choices.Stocks, t.Name)
	}
	own := []string{"Name", "Page", "Journaling", "Width", "Height", "Stock", "Font", "Size", "Align"} // which the page has a place for
	for _, h := range intake.Headings() {
		if h.Form == nil || h.Name == "Fits" {
			continue
		}
		if h.Form.Usual != nil {
			v.Choices.Usual[h.Name] = h.Form.Usual(c)
		}
		if h.Name == "Align" {
			v.Choices.Aligns = h.Form.Choices
		}
		if !slices.Contains(own, h.Name) {
			v.Fields = append(v.Fields, fieldView{h.Name, "f-" + h.Name, h.Form.Note(c)})
		}
	}
	page(w, "journaling", &v)
}

// plainFonts are the names of type that everybody has.
var plainFonts = []string{"Serif", "Sans", "Typewriter", "Roman", "Book"}

func (s *server) blocksPart(j *openJob, w http.ResponseWriter, r *http.Request) {
	_, v := j.shown(r)
	page(w, "blocks", v)
}

func (s *server) peoplePart(j *openJob, w http.ResponseWriter, r *http.Request) {
	v, _ := j.shown(r)
	page(w, "people", v)
}

func (s *server) questionsPart(j *openJob, w http.ResponseWriter, _ *http.Request) {
	page(w, "questions", j.questions())
}

// sheetOf is the sheet that a page names.
func sheetOf(name string) (jobbook.Sheet, bool) {
	switch name {
	case "", "journaling":
		return jobbook.Journaling, true
	case "paper":
		return jobbook.Paper, true
	}
	return 0, false
}

var errSheet = errors.New("there is no such sheet")

// mostCells is the most cells of a row that one change sets.
const mostCells = 200

// rowChange is what a page asks for of a row.
type rowChange struct {
	Sheet, ID, After string
	Cells            map[string]string
	Seen             map[string][]string // as in jobbook.Typed
	Left             bool                // the page is left, and hears no answer
	sheet            jobbook.Sheet
}

// readRow reads it. False: it was refused.
func readRow(w http.ResponseWriter, r *http.Request) (in rowChange, ok bool) {
	if !read(w, r, &in) {
		return in, false
	}
	if in.sheet, ok = sheetOf(in.Sheet); !ok || len(in.Cells) > mostCells {
		refuse(w, http.StatusBadRequest, errSheet)
		return in, false
	}
	return in, true
}

// change sets cells of a row, unless somebody else wrote in them since the page saw them: then the answer is what they hold. What a page sent that was left
// meanwhile, and cannot be taken, is asked about on those that come next.
func (s *server) change(j *openJob, w http.ResponseWriter, r *http.Request) {
	in, ok := readRow(w, r)
	if !ok {
		return
	}
	rev, others, err := j.book.Type(jobbook.Typed{Sheet: in.sheet, ID: in.ID, Cells: in.Cells, Seen: in.Seen})
	if in.Left && (others != nil || err != nil && !notOnDisk(err)) {
		j.book.AskLeft(in.sheet, in.ID, in.Cells)
	}
	didUnless(j, w, rev, others, err)
}

// didUnless answers what was done unless somebody else wrote there since, or the row is gone.
func didUnless(j *openJob, w http.ResponseWriter, rev jobbook.Revision, others map[string]string, err error) {
	switch {
	case others != nil:
		wroteMeanwhile(w, others)
	case errors.Is(err, jobbook.ErrGone):
		fail(w, http.StatusGone, err, nil)
	default:
		did(j, w, rev, err)
	}
}

// setAll are the changes that set cells, in the order of their headings.
func setAll(sheet jobbook.Sheet, id string, cells map[string]string) (changes []jobbook.Change) {
	for _, column := range sortedKeys(cells) {
		changes = append(changes, jobbook.Change{Kind: jobbook.Set, Sheet: sheet, ID: id, Column: column, Text: cells[column]})
	}
	return changes
}

// add adds a row behind another, with cells.
func (s *server) add(j *openJob, w http.ResponseWriter, r *http.Request) {
	in, ok := readRow(w, r)
	if !ok {
		return
	}
	id := jobbook.NewID()
	changes := append([]jobbook.Change{{Kind: jobbook.Insert, Sheet: in.sheet, ID: id, After: in.After}}, setAll(in.sheet, id, in.Cells)...)
	rev, err := j.book.Do(changes...)
	if err != nil && !notOnDisk(err) { // whoever pressed again would have the row twice
		did(j, w, rev, err)
		return
	}
	j.layer.change()
	answer(w, map[string]any{"revision": rev, "id": id})
}

// remove removes a row, unless somebody else wrote in it since the page saw it.
func (s *server) remove(j *openJob, w http.ResponseWriter, r *http.Request) {
	if in, ok := readRow(w, r); ok {
		rev, others, err := j.book.Remove(jobbook.Typed{Sheet: in.sheet, ID: in.ID, Seen: in.Seen})
		didUnless(j, w, rev, others, err)
	}
}

func (s *server) move(j *openJob, w http.ResponseWriter, r *http.Request) {
	if in, ok := readRow(w, r); ok {
		rev, err := j.book.Do(jobbook.Change{Kind: jobbook.Move, Sheet: in.sheet, ID: in.ID, After: in.After})
		did(j, w, rev, err)
	}
}
