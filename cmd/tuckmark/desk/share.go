package desk

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"tuckmark/cmd/internal/findings"
	"tuckmark/config/problem"
	"tuckmark/impose/account"
)

// shareView is what goes to whom.
type shareView struct {
	frame
	Made      bool
	Known     bool // who has what is known: the PDF was made of the job as it stands, or in this run of the desk
	Wrong     string
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

// spotView is a block, or copies that lie side by side.
type spotView struct {
	Code, Page, Begins, Stock, Place string
	PDF                              int // page
}

type heldView struct{ Code, Why string }

// billView is who pays what, stock by stock.
type billView struct {
	Stocks []string
	Rows   []billRow
	Total  billRow
}

type billRow struct {
	Name   string
	Blocks int
	Each   []string // by stock; "": nothing
	Sum    string
}

// unnamed is who has rows without a name.
const unnamed = "Without a name"

func (s *server) sharePage(j *openJob, w http.ResponseWriter, r *http.Request) {
	v := &shareView{frame: s.frame(j, "/share", "/share.js")}
	d, fresh, bad := j.made()
	v.Made = d != nil
	switch {
	case bad != nil:
		v.Wrong = sentence(*bad)
	case d != nil:
		job, a, err := j.accounted(r.Context(), d, fresh)
		switch {
		case err != nil:
			v.Wrong = problem.Capital(err.Error())
		case a != nil:
			v.Known = true
			messages := map[string]string{}
			for _, l := range findings.Parcels(job, a) {
				messages[l.To] = l.Text
			}
			v.Envelopes, v.Bill = envelopes(a, messages), billOf(a)
			for i := range v.Envelopes {
				v.Envelopes[i].Mail = mailOf(v.Title+": your blocks", v.Envelopes[i].Message)
			}
		}
	}
	page(w, "share", v)
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

func envelopes(a *account.Account, messages map[string]string) (out []envelopeView) {
	pay := map[string]int64{}
	b := a.Bill()
	for i, name := range b.Owners {
		pay[name] = account.Sum(b.Cents[i])
	}
	for i := range a.Owners {
		o := &a.Owners[i]
		v := envelopeView{ID: "e" + strconv.Itoa(i), Name: o.Name, Blocks: len(o.Blocks), Message: messages[o.Name]}
		if v.Name == "" {
			v.Name = unnamed
		}
		if pay[o.Name] > 0 {
			v.Pay = a.Settings.Amount(pay[o.Name])
		}
		for _, run := range account.Runs(o.Blocks, true) {
			first, last := &run[0], &run[len(run)-1]
			row := spotView{Code: first.Block.Code, Page: first.Block.Page, Begins: account.Begins(first.Block.Block), Stock: first.Piece.Stock, PDF: first.Piece.Page, Place: first.Place()}
			switch {
			case len(run) > 1:
				row.Code += ", copies " + strconv.Itoa(first.Block.Copy) + "–" + strconv.Itoa(last.Block.Copy)
				row.Place += "–" + last.Place()
			case first.Copies > 1:
				row.Code += ", copy " + strconv.Itoa(first.Block.Copy)
			}
			v.Rows = append(v.Rows, row)
		}
		for _, h := range o.Held {
			v.Held = append(v.Held, heldView{h.Code, h.Why})
		}
		out = append(out, v)
	}
	return out
}

// billOf is the account of the paper; nil where none of it has a price.
func billOf(a *account.Account) *billView {
	b := a.Bill()
	total := make([]int64, len(b.Stocks))
	row := func(name string, blocks int, cents []int64) billRow {
		r := billRow{Name: name, Blocks: blocks, Sum: a.Settings.Amount(account.Sum(cents))}
		for _, c := range cents {
			text := ""
			if c > 0 {
				text = a.Settings.Amount(c)
			}
			r.Each = append(r.Each, text)
		}
		return r
	}
	v := &billView{Stocks: b.Stocks}
	blocks := 0
	for i, name := range b.Owners {
		if name == "" {
			name = unnamed
		}
		v.Rows = append(v.Rows, row(name, b.Blocks[i], b.Cents[i]))
		blocks += b.Blocks[i]
		for k, c := range b.Cents[i] {
			total[k] += c
		}
	}
	if account.Sum(total) == 0 {
		return nil
	}
	v.Total = row("All", blocks, total)
	return v
}
