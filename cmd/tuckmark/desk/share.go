package desk

import (
	"context"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"tuckmark/cmd/internal/findings"
	"tuckmark/config/problem"
	"tuckmark/impose/account"
	"tuckmark/impose/report"
)

// shareView is what goes to whom.
type shareView struct {
	frame
	Costs  costsView
	Shared sharedView
}

// sharedView is all that hangs on what was made.
type sharedView struct {
	Made      bool
	Known     bool // who has what is known: the PDF was made of the job as it stands, or in this run of the desk
	Wrong     string
	Lacks     string // what the account is without, and why; "": nothing
	Other     string // what goes by other costs than the account; "": nothing
	Envelopes []envelopeView
	Bill      *billView // nil: nothing is to be paid
}

// envelopeView is a person's blocks and the message to them.
type envelopeView struct {
	ID, Name, Pay string
	Blocks        int
	Rows          []spotView
	Held          []heldView
	Message       string
	Mail          string // address that begins a mail with it; "": it is too long for one
}

// spotView is a block with its copies.
type spotView struct {
	Code, Page, Begins, Stock string
	PDF, Place                string // pages of the PDF and places there; those of copies are parted alike by semicolons
}

type heldView struct{ Code, Why string }

// billView is who pays what, item by item.
type billView struct {
	How    string
	Prices []string // whose price of paper was used
	Items  []string
	Rows   []billRow
	Total  billRow
}

type billRow struct {
	Name   string
	Blocks int
	Each   []string // by item; "": nothing
	Sum    string
}

// unnamed is who has rows without a name.
const unnamed = "Without a name"

func (s *server) sharePage(j *openJob, w http.ResponseWriter, r *http.Request) {
	page(w, "share", &shareView{s.frame(j, "/share", "/share.js"), j.costsView(), j.shared(r.Context())})
}

// sharedPart is the account and the envelopes.
func (s *server) sharedPart(j *openJob, w http.ResponseWriter, r *http.Request) {
	page(w, "shared", j.shared(r.Context()))
}

func (j *openJob) shared(ctx context.Context) (v sharedView) {
	d, fresh, bad := j.made()
	v.Made = d != nil
	switch {
	case bad != nil:
		v.Wrong = sentence(*bad)
	case d != nil:
		job, a, err := j.accounted(ctx, d, fresh)
		switch {
		case err != nil:
			v.Wrong = problem.Capital(err.Error())
		case a != nil:
			v.Known, v.Other = true, j.otherCosts()
			a = byCosts(a, j.layer.settings.Load())
			if a, v.Lacks = j.withAgain(a); v.Lacks != "" {
				v.Lacks += " What was printed once more is not in the account."
			}
			if j.readNote().Took {
				v.Lacks = strings.TrimSpace(v.Lacks + " What was printed once more before the PDF was made anew is not in this account.")
			}
			messages := map[string]string{}
			for _, l := range findings.Parcels(job, a) {
				messages[l.To] = l.Text
			}
			v.Envelopes, v.Bill = envelopes(a, messages), billOf(a)
			for i := range v.Envelopes {
				v.Envelopes[i].Mail = mailOf(jobTitle(j.book.Path())+": your blocks", v.Envelopes[i].Message)
			}
		}
	}
	return v
}

// mostMail is the longest address that every mail program takes (common practice: Windows hands on some 2,000 letters).
const mostMail = 1900

// mailOf is an address that begins a mail (RFC 6068), to whom the person at the desk knows; "" where the text is too long for one, or there is none.
func mailOf(subject, text string) string {
	escape := func(s string) string { return strings.ReplaceAll(url.QueryEscape(s), "+", "%20") }
	mail := "mailto:?subject=" + escape(subject) + "&body=" + escape(strings.ReplaceAll(text, "\n", "\r\n"))
	if text == "" || len(mail) > mostMail {
		return ""
	}
	return mail
}

// withAgain is the account with what was printed once more since; why says what is wrong with the reports that tell it, "" for nothing.
func (j *openJob) withAgain(a *account.Account) (out *account.Account, why string) {
	if j.readNote().Again == "" {
		return a, ""
	}
	last, found := report.Open(j.lastReport())
	if last != nil {
		var first *report.Earlier
		if first, found = report.Open(j.report()); first != nil {
			with := *a
			with.Other = last.Since(first)
			return &with, ""
		}
	}
	return a, sentence(found[0])
}

func envelopes(a *account.Account, messages map[string]string) (out []envelopeView) {
	b := a.Bill()
	pay := b.Pay()
	for i := range a.Owners {
		o := &a.Owners[i]
		v := envelopeView{ID: "e" + strconv.Itoa(i), Name: o.Name, Blocks: len(o.Blocks), Message: messages[o.Name]}
		if v.Name == "" {
			v.Name = unnamed
		}
		if pay[o.Name] > 0 {
			v.Pay = a.Settings.Amount(pay[o.Name])
		}
		for _, copies := range o.Copied() {
			b := copies[0].Block
			row := spotView{Code: b.Code, Page: b.Page, Begins: account.Begins(b.Block), Stock: copies[0].Piece.Stock}
			if n := len(copies); n > 1 {
				row.Code += ", " + problem.Count(n, "copy|copies")
			}
			var pages, places []string
			for _, w := range account.Places(copies) {
				pages, places = append(pages, account.Ranges(w.Pages)), append(places, w.Places)
			}
			row.PDF, row.Place = strings.Join(pages, "; "), strings.Join(places, "; ")
			v.Rows = append(v.Rows, row)
		}
		for _, h := range o.Held {
			v.Held = append(v.Held, heldView{h.Code, h.Why})
		}
		out = append(out, v)
	}
	return out
}

// billOf is who pays what; nil where there is nothing to pay.
func billOf(a *account.Account) *billView {
	b := a.Bill()
	if b.Total() == 0 {
		return nil
	}
	row := func(name string, blocks int, cents []int64) billRow {
		r := billRow{Name: name, Blocks: blocks, Sum: a.Settings.Amount(account.Sum(cents))}
		for _, c := range cents {
			text := ""
			if c != 0 {
				text = a.Settings.Amount(c)
			}
			r.Each = append(r.Each, text)
		}
		return r
	}
	v := &billView{How: a.How()}
	for _, item := range b.Items {
		v.Items = append(v.Items, item.Name)
	}
	for _, p := range a.Prices() {
		v.Prices = append(v.Prices, a.Said(p))
	}
	blocks := 0
	for i, name := range b.Owners {
		if name == "" {
			name = unnamed
		}
		v.Rows = append(v.Rows, row(name, b.Blocks[i], b.Cents[i]))
		blocks += b.Blocks[i]
	}
	v.Total = row("All", blocks, b.Totals())
	return v
}
