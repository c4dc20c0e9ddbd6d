package printjob

import (
	"fmt"
	"slices"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
)

// pulls are the sizes that a queue pulls, in words, ranges first.
func (q *Queue) pulls(u measure.Unit) string {
	if len(q.Sizes) == 0 {
		return "it does not say"
	}
	var ranges, sizes []string
	for _, p := range q.Sizes {
		size := func(i int) string {
			return measure.Size{W: length(p.Widths[i]), H: length(p.Heights[i])}.About(u)
		}
		if p.Widths[0] == p.Widths[1] && p.Heights[0] == p.Heights[1] {
			sizes = append(sizes, size(0))
		} else {
			ranges = append(ranges, size(0)+" to "+size(1))
		}
	}
	const most = 8
	if n := len(sizes) - most; n > 0 {
		sizes = append(sizes[:most], fmt.Sprintf("%d more", n))
	}
	return strings.Join(append(ranges, sizes...), "; ")
}

// Table tells people what the queue can do.
func (q *Queue) Table(u measure.Unit) string {
	var b strings.Builder
	title := printable(q.Name)
	if q.Info != "" && q.Info != q.Name {
		title += " (" + q.Info + ")"
	}
	if q.Default {
		title += ", the usual one"
	}
	fmt.Fprintln(&b, title)
	line := func(name, text string) {
		if text == "" {
			text = "it does not say"
		}
		fmt.Fprintf(&b, "  %-10s %s\n", name, printable(text))
	}
	state := map[int]string{3: "ready", 4: "printing", 5: "stopped"}[q.State]
	if !q.Accepting {
		state += ", takes no jobs"
	}
	for _, r := range q.Reasons {
		state += "; " + Reason(r)
	}
	line("is", state)
	line("pulls", q.pulls(u))
	var margins []string
	for i, side := range []string{"left", "top", "right", "bottom"} {
		margins = append(margins, side+" "+length(q.Margins[i]).About(u))
	}
	line("margins", strings.Join(margins, ", "))
	line("trays", strings.Join(q.Sources, ", "))
	line("types", strings.Join(q.Types, ", "))
	var qualities []string
	for _, n := range q.Qualities {
		qualities = append(qualities, config.Quality(n).String())
	}
	line("qualities", strings.Join(qualities, ", "))
	return b.String()
}

// YAML is the queue as a printer in tuckmark.yaml, in millimetres. What the queue does not say is left out, and a load to begin
// with stands as a comment.
func (q *Queue) YAML() string {
	var b strings.Builder
	fmt.Fprintf(&b, "  - name: %s\n    queue: %s\n", quote(q.Name), quote(q.Name))
	mm := func(n int) string { return strings.TrimSuffix(fmt.Sprintf("%d.%02d", n/100, n%100), ".00") + " mm" }
	if len(q.Sizes) > 0 {
		// The widest range is what the printer pulls by the piece; without one, all its sizes together.
		of := q.Sizes
		if i := slices.IndexFunc(of, func(p SizeRange) bool { return p.Widths[0] < p.Widths[1] }); i >= 0 {
			of = of[i : i+1]
		}
		p := of[0]
		for _, o := range of {
			p.Widths = [2]int{min(p.Widths[0], o.Widths[0]), max(p.Widths[1], o.Widths[1])}
			p.Heights = [2]int{min(p.Heights[0], o.Heights[0]), max(p.Heights[1], o.Heights[1])}
		}
		fmt.Fprintf(&b, "    narrowest: %s\n    widest: %s\n    shortest: %s\n    longest: %s\n", mm(p.Widths[0]), mm(p.Widths[1]), mm(p.Heights[0]), mm(p.Heights[1]))
	}
	fmt.Fprintf(&b, "    margins: {left: %s, top: %s, right: %s, bottom: %s}\n", mm(q.Margins[0]), mm(q.Margins[1]), mm(q.Margins[2]), mm(q.Margins[3]))
	if len(q.Sources) > 0 || len(q.Types) > 0 {
		fmt.Fprintf(&b, "    # trays: %s\n    # types: %s\n    # loads:\n    #   - {stock: vellum, source: %s, type: %s, quality: normal}\n",
			printable(strings.Join(q.Sources, ", ")), printable(strings.Join(q.Types, ", ")), example(q.Sources), example(q.Types))
	}
	return b.String()
}

func example(words []string) string {
	if len(words) == 0 {
		return "auto"
	}
	return printable(words[len(words)-1])
}

// quote is a text as YAML takes it.
func quote(s string) string { return "'" + strings.ReplaceAll(printable(s), "'", "''") + "'" }
