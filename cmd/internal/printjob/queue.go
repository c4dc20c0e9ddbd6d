package printjob

import (
	"context"
	"net/url"
	"slices"
	"strings"

	"tuckmark/cmd/internal/ipp"
	"tuckmark/config/measure"
)

// Queue is what a queue of CUPS can do. Lengths are hundredths of a millimetre, as in PWG 5100.7.
type Queue struct {
	Name, Info string
	Default    bool
	Accepting  bool
	State      int // RFC 8011, 5.4.11: 3 idle, 4 processing, 5 stopped
	Reasons    []string
	Sizes      []SizeRange
	Margins    [4]int // left, top, right, bottom: the least that it offers
	Sources    []string
	Types      []string
	Qualities  []int
	Sides      []string
	Scalings   []string
	Colours    []string
}

// SizeRange is a size that a queue pulls, or a range of sizes.
type SizeRange struct{ Widths, Heights [2]int }

// hundredths of a millimetre, rounded.
func hundredths(l measure.Length) int {
	const each = measure.Millimetre / 100
	return int((l + each/2) / each)
}

// length of hundredths of a millimetre.
func length(n int) measure.Length { return measure.Length(n) * measure.Millimetre / 100 }

// tolerance is how far a size may be from one that a queue names: 0.5 mm covers letter and A4 as rounded by drivers, which print
// no nearer than that (the tolerance of PWG 5101.1, 5.3).
const tolerance = 50

// Pulls reports whether the queue pulls a piece of that size.
func (q *Queue) Pulls(s measure.Size) bool {
	w, h := hundredths(s.W), hundredths(s.H)
	within := func(n int, r [2]int) bool { return n >= r[0]-tolerance && n <= r[1]+tolerance }
	return len(q.Sizes) == 0 || slices.ContainsFunc(q.Sizes, func(p SizeRange) bool { return within(w, p.Widths) && within(h, p.Heights) })
}

// needsCustomSize reports whether a piece is of no size that the queue has a name for, but in a range of those that it pulls.
func (q *Queue) needsCustomSize(s measure.Size) bool {
	const same = 5
	w, h := hundredths(s.W), hundredths(s.H)
	within := func(p SizeRange, more int) bool {
		return w >= p.Widths[0]-more && w <= p.Widths[1]+more && h >= p.Heights[0]-more && h <= p.Heights[1]+more
	}
	ranged := func(p SizeRange) bool { return p.Widths[0] < p.Widths[1] || p.Heights[0] < p.Heights[1] }
	return slices.ContainsFunc(q.Sizes, func(p SizeRange) bool { return ranged(p) && within(p, tolerance) }) &&
		!slices.ContainsFunc(q.Sizes, func(p SizeRange) bool { return !ranged(p) && within(p, same) })
}

// asked are the attributes that make a Queue.
var asked = ipp.Attr("requested-attributes", ipp.Keyword, "printer-name", "printer-info", "printer-is-accepting-jobs", "printer-state", "printer-state-reasons",
	"media-size-supported", "media-left-margin-supported", "media-top-margin-supported", "media-right-margin-supported", "media-bottom-margin-supported",
	"media-source-supported", "media-type-supported", "print-quality-supported", "sides-supported", "print-scaling-supported", "print-color-mode-supported")

// Queues are those of CUPS, in its order.
func Queues(ctx context.Context, c *ipp.Client) ([]Queue, error) {
	list, err := c.Do(ctx, "/", ipp.GetPrinters, ipp.Attributes{ipp.Attr("requested-attributes", ipp.Keyword, "printer-name")}, nil, nil)
	if ipp.Is(err, ipp.NotFound) {
		return nil, nil // none was ever set up
	}
	if err != nil {
		return nil, err
	}
	standard := ""
	if d, err := c.Do(ctx, "/", ipp.GetDefault, nil, nil, nil); err == nil {
		standard = d.Group(ipp.PrinterGroup).Text("printer-name")
	} else if !ipp.Is(err, ipp.NotFound) {
		return nil, err
	}
	var out []Queue
	for _, g := range list.Groups {
		name := g.Attributes.Text("printer-name")
		if g.Tag != ipp.PrinterGroup || name == "" {
			continue
		}
		m, err := c.Do(ctx, resource(name), ipp.GetPrinterAttributes, ipp.Attributes{ipp.Attr("printer-uri", ipp.URI, uri(name)), asked}, nil, nil)
		if ipp.Is(err, ipp.NotFound) {
			continue // it went in between
		}
		if err != nil {
			return nil, err
		}
		q := queueOf(m.Group(ipp.PrinterGroup))
		q.Name, q.Default = name, name == standard
		out = append(out, q)
	}
	return out, nil
}

func resource(queue string) string { return "/printers/" + url.PathEscape(queue) }
func uri(queue string) string      { return "ipp://localhost" + resource(queue) }

func queueOf(a ipp.Attributes) Queue {
	q := Queue{Info: printable(a.Text("printer-info")), Accepting: a.Int("printer-is-accepting-jobs") != 0, State: a.Int("printer-state"), Reasons: reasons(a, "printer-state-reasons"),
		Sources: a.Texts("media-source-supported"), Types: a.Texts("media-type-supported"), Sides: a.Texts("sides-supported"),
		Scalings: a.Texts("print-scaling-supported"), Colours: a.Texts("print-color-mode-supported")}
	for i, side := range []string{"left", "top", "right", "bottom"} {
		for n, v := range a.Values("media-" + side + "-margin-supported") {
			if n == 0 || v.Int < q.Margins[i] {
				q.Margins[i] = v.Int
			}
		}
	}
	for _, v := range a.Values("print-quality-supported") {
		q.Qualities = append(q.Qualities, v.Int)
	}
	for _, v := range a.Values("media-size-supported") {
		var p SizeRange
		for i, name := range []string{"x-dimension", "y-dimension"} {
			bounds := [2]int{}
			for _, v := range ipp.Attributes(v.Members).Values(name) {
				bounds = [2]int{v.Int, v.Int}
				if v.Tag == ipp.Range {
					bounds[1] = v.Upper
				}
			}
			if i == 0 {
				p.Widths = bounds
			} else {
				p.Heights = bounds
			}
		}
		q.Sizes = append(q.Sizes, p)
	}
	return q
}

// reasons are those of an attribute that are any; "none" is none.
func reasons(a ipp.Attributes, name string) []string {
	return slices.DeleteFunc(slices.Clone(a.Texts(name)), func(s string) bool { return s == "none" })
}

// printable keeps what came from elsewhere from steering the terminal.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r >= 0x7f && r < 0xa0 {
			return '\uFFFD'
		}
		return r
	}, s)
}
