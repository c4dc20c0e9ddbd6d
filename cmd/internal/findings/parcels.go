package findings

import (
	"fmt"
	"strings"

	"tuckmark/config/problem"
	"tuckmark/impose"
	"tuckmark/impose/account"
)

// Parcels writes to everybody whose blocks were printed, or who has some still to be mended: what is in the envelope, what it comes to, and what
// is missing. The account is the job's.
func Parcels(j *impose.Job, a *account.Account) []Letter {
	missing := map[string]string{}
	for _, l := range Letters(j) {
		missing[l.To] = strings.TrimPrefix(l.Text, greeting(l.To))
	}
	bill := a.Bill()
	pay := bill.Pay()
	var out []Letter
	for i := range a.Owners {
		o := &a.Owners[i]
		if o.Name == "" {
			continue
		}
		var b strings.Builder
		b.WriteString(greeting(o.Name))
		if n := len(o.Blocks); n > 0 {
			fmt.Fprintf(&b, "%s of yours %s printed and cut:\n", problem.Count(n, "block"), problem.Noun(n, "is|are"))
			for _, copies := range o.Copied() {
				line := called(copies[0].Block.Block)
				if len(copies) > 1 {
					line += fmt.Sprintf(", %d times", len(copies))
				}
				b.WriteString("    " + line + "\n")
			}
			if pay[o.Name] > 0 {
				fmt.Fprintf(&b, "\nYour share of %s is %s.\n", what(&bill), a.Settings.Amount(pay[o.Name]))
			}
		}
		if m := missing[o.Name]; m != "" {
			if len(o.Blocks) > 0 {
				b.WriteString("\n")
			}
			b.WriteString(m)
		} else if len(o.Blocks) == 0 {
			continue
		}
		out = append(out, Letter{To: o.Name, Blocks: len(o.Blocks), Text: b.String()})
	}
	return out
}

// what names what a bill is for.
func what(b *account.Bill) string {
	var names []string
	paper := false
	for _, item := range b.Items {
		switch {
		case item.Cents == 0:
		case !item.Paper:
			names = append(names, item.Name)
		case !paper:
			paper, names = true, append(names, "the paper")
		}
	}
	return problem.And(names)
}
