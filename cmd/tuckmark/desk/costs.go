package desk

import (
	"cmp"
	"context"
	"encoding/json"
	"net/http"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"tuckmark/cmd/internal/save"
	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose"
	"tuckmark/impose/account"
)

// costsView is what the job costs besides its paper, to be typed.
type costsView struct {
	List []costView
	More costView // the line for one more
	File string   // that they stand in
}

// costView is one cost.
type costView struct {
	ID, Name, Amount, By string
	Ways                 [][2]string
}

// waysToShare are the words of config.SharedBy, and what they mean.
var waysToShare = [][2]string{{config.ByArea.String(), "by area of blocks"}, {config.ByBlock.String(), "by number of blocks"}, {config.ByPerson.String(), "in equal parts"}}

func (j *openJob) costsView() (v costsView) {
	c := j.layer.settings.Load()
	v.More, v.File = costView{ID: "more", Ways: waysToShare}, filepath.Base(j.configFile())
	for i, cost := range c.Costs {
		v.List = append(v.List, costView{"c" + strconv.Itoa(i), cost.Name, c.Amount(cost.Cents), cost.By.String(), waysToShare})
	}
	return v
}

// costsPart is the fields for what the job costs besides its paper.
func (s *server) costsPart(j *openJob, w http.ResponseWriter, _ *http.Request) {
	page(w, "costs", j.costsView())
}

// cost adds, changes or takes out what the job costs besides its paper, in the tuckmark.yaml, and has the account and the report go by it.
func (s *server) cost(j *openJob, w http.ResponseWriter, r *http.Request) {
	var to struct {
		Was              string  // its name until now; "": it is a new one
		Name, Amount, By *string // nil: as it is, which another page may have changed since this one was shown it
		Remove           bool
		// Of amount and by, what the page had when they were typed over, and of all three, what it has sent without an answer; nil: nobody saw anything.
		Seen map[string][]string
	}
	if !read(w, r, &to) {
		return
	}
	j.costing.Lock()
	defer j.costing.Unlock()
	c := j.layer.settings.Load()
	at := costOf(c, to.Was)
	for _, name := range to.Seen["name"] { // the page may not have heard that it has renamed the cost
		if at < 0 && to.Was != "" {
			at = costOf(c, tidyName(name))
		}
	}
	var in costView
	if at >= 0 {
		in.Name, in.Amount, in.By = c.Costs[at].Name, c.Amount(c.Costs[at].Cents), c.Costs[at].By.String()
	}
	in.Name, in.Amount, in.By = *cmp.Or(to.Name, &in.Name), *cmp.Or(to.Amount, &in.Amount), *cmp.Or(to.By, &in.By)
	in.Name = tidyName(in.Name)
	if others := otherThanSeen(c, at, in, to.Seen); len(others) > 0 {
		wroteMeanwhile(w, others)
		return
	}
	same := costOf(c, in.Name)
	known := slices.ContainsFunc(waysToShare, func(way [2]string) bool { return way[0] == in.By })
	var bad *problem.Problem
	switch {
	case at < 0 && (to.Was != "" || to.Remove), !to.Remove && !known:
		fail(w, http.StatusNotFound, &problem.Problem{What: "there is no such cost", Hint: "load this page again"}, nil)
		return
	case to.Remove:
	case in.Name == "":
		bad = &problem.Problem{What: "the cost has no name", Hint: "write what was paid for, such as postage"}
	case same >= 0 && same != at:
		bad = &problem.Problem{What: "the cost " + measure.Quote(in.Name) + " is given twice", Hint: "add the two up, or give one of them another name"}
	default:
		usual := strings.TrimSpace(c.Currency)
		if sign, _ := config.SignOf(in.Amount, usual); isAmount(in.Amount) && sign != "" && usual != "" && !config.SameSign(sign, usual) {
			other := config.OtherSign(problem.Place{}, sign, usual)
			bad = &other
		}
	}
	if bad != nil {
		fail(w, http.StatusUnprocessableEntity, bad, nil)
		return
	}
	in.Amount = strings.TrimSpace(in.Amount)
	if sign, _ := config.SignOf(in.Amount, c.Currency); c.Currency != "" && sign == "" && isAmount(in.Amount) { // the sign may stand nowhere else
		in.Amount = c.Currency + in.Amount
	}
	amendments := costAmendments(c, at, in.Name, in.Amount+" "+in.By, to.Remove)
	job, a := j.accountedNow(r.Context())
	was := *j.config.Load()
	if err := j.amend(c, amendments...); err != nil {
		fail(w, http.StatusConflict, err, nil)
		return
	}
	said := map[string]string{"said": j.carry(r.Context(), job, a, was)}
	c = j.layer.settings.Load()
	if at := costOf(c, in.Name); at >= 0 && !to.Remove {
		said["name"], said["amount"], said["by"] = c.Costs[at].Name, c.Amount(c.Costs[at].Cents), c.Costs[at].By.String()
	}
	answer(w, said)
}

func isAmount(text string) bool {
	_, ok := config.Cents(text)
	return ok
}

// costOf is the index of a cost by its name, in any letter case, or -1.
func costOf(c *config.Settings, name string) int {
	return slices.IndexFunc(c.Costs, func(o config.Cost) bool { return strings.EqualFold(o.Name, name) })
}

func tidyName(name string) string { return strings.Join(strings.Fields(name), " ") }

// otherThanSeen is what a cost has now of what a page saw otherwise and that is not what the page makes of it either, by the names of the fields: a page that
// goes sends once more what it has had no answer to. None where there is no such cost, or nobody saw any.
func otherThanSeen(c *config.Settings, at int, in costView, seen map[string][]string) map[string]string {
	others := map[string]string{}
	if at < 0 {
		return others
	}
	is := c.Costs[at]
	cents, _ := config.Cents(in.Amount)
	saw := func(amount string) bool { // as it was typed, or as the page was told
		seen, ok := config.Cents(amount)
		return ok && seen == is.Cents
	}
	if amounts, ok := seen["amount"]; ok && cents != is.Cents && !slices.ContainsFunc(amounts, saw) {
		others["amount"] = c.Amount(is.Cents)
	}
	if ways, ok := seen["by"]; ok && in.By != is.By.String() && !slices.Contains(ways, is.By.String()) {
		others["by"] = is.By.String()
	}
	return others
}

// accountedNow is what accounted gives of the PDF that is there; nil where nothing is known of one.
func (j *openJob) accountedNow(ctx context.Context) (*impose.Job, *account.Account) {
	d, fresh, bad := j.made()
	if bad != nil || d == nil {
		return nil, nil
	}
	job, a, err := j.accounted(ctx, d, fresh)
	if err != nil {
		return nil, nil
	}
	return job, a
}

// plainCost is a cost that needs no quotation marks in YAML.
var plainCost = regexp.MustCompile(`^\d+(\.\d+)? by [a-z]+$`)

// costAmendments are the ways to write the costs with another text for the one at a place, or with one more where the place is below nought: all of
// them anew, on the line on which they stand; that one alone, where each has a line; and, where its new name cannot stand where the old one does, a line of its own.
func costAmendments(c *config.Settings, at int, name, text string, remove bool) [][]config.Amendment {
	typed := func(text string) string {
		if plainCost.MatchString(text) {
			return text
		}
		return config.Typed(text)
	}
	var all []string
	entry := func(name, text string) { all = append(all, config.TypedKey(name)+": "+typed(text)) }
	for i, o := range c.Costs {
		switch {
		case i != at:
			entry(o.Name, c.Amount(o.Cents)+" "+o.By.String())
		case !remove:
			entry(name, text)
		}
	}
	if at < 0 {
		entry(name, text)
	}
	ways := [][]config.Amendment{{{Keys: []string{"costs"}, Value: "{" + strings.Join(all, ", ") + "}"}}}
	if at < 0 {
		return append(ways, []config.Amendment{{Keys: []string{"costs", name}, Value: typed(text)}})
	}
	was := []string{"costs", c.Costs[at].Name}
	out := config.Amendment{Keys: was, Remove: true}
	switch {
	case remove:
		return append(ways, []config.Amendment{out})
	case was[1] == name:
		return append(ways, []config.Amendment{{Keys: was, Value: typed(text)}})
	}
	return append(ways, []config.Amendment{{Keys: was, Value: typed(text), Key: name}}, []config.Amendment{out, {Keys: []string{"costs", name}, Value: typed(text)}})
}

// byCosts is an account by what the job costs besides its paper as settings have it now.
func byCosts(a *account.Account, now *config.Settings) *account.Account {
	s := *a.Settings
	s.Costs, s.Currency, s.File = now.Costs, cmp.Or(now.Currency, s.Currency), now.File
	with := *a
	with.Settings = &s
	return &with
}

// costsInWords tells costs from others.
func costsInWords(c *config.Settings) string {
	said := []string{}
	for _, o := range c.Costs {
		said = append(said, o.Name+" "+c.Amount(o.Cents)+" "+o.By.String())
	}
	return cmp.Or(strings.Join(said, "; "), "none")
}

// carry has what was made hold on when nothing but the costs was changed, by which no block lies elsewhere: the report is written anew by them, and
// the PDF, its printing and its cuts stay. A report that blocks were printed once more from stays, too, since their own report goes on from it. It is
// given the job and the account of the PDF, nil where they are not known, and the configuration until now, and gives what is to be told.
func (j *openJob) carry(ctx context.Context, job *impose.Job, a *account.Account, was save.Digest) (words string) {
	o := &j.outputs
	o.mutex.Lock()
	defer o.mutex.Unlock()
	if a == nil || o.last != job { // it is not known, or was made anew this moment by the new costs
		return ""
	}
	now, n := j.layer.settings.Load(), j.readNote()
	if beside := j.besideConfig(); n.Of == heldBy(beside, was) {
		n.Of = heldBy(beside, *j.config.Load())
	}
	if n.Again == "" {
		data, err := job.ReportOf(ctx, byCosts(a, now))
		if err != nil {
			return ""
		}
		var g save.Guard
		g.Protect(j.book.Path(), j.pdf(), now.File)
		done, p := save.Create([]save.File{{Path: j.report(), Data: data}}, g)
		if p != nil {
			words = sentence(*p)
		} else {
			o.tellYours(done)
			words, n.Reported = strings.Join(o.yoursWords(), " "), costsInWords(now)
		}
	}
	if note, err := json.Marshal(n); err == nil {
		err = save.Replace(save.System, j.note(), note)
		if err != nil && words == "" {
			words = "It is not noted that the PDF is still good: " + plainReason(err) + "."
		}
	}
	j.renewed()
	return words
}

// otherCosts says what of the PDF that was made goes by other costs than those of now; "": nothing does.
func (j *openJob) otherCosts() string {
	n, now := j.readNote(), costsInWords(j.layer.settings.Load())
	other := func(made string) bool { return made != "" && made != now } // earlier versions have not noted it
	switch guides, report := other(n.Costs), other(n.Reported); {
	case guides && report:
		return "The guides and the report still have the costs of when the PDF was made; what holds is the account here."
	case guides:
		return "The report has these costs. The guides still have those of when the PDF was made; what holds is the account here."
	}
	return ""
}
