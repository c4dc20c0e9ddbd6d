package table

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// Moment is a date or a time of day as a cell holds it.
type Moment struct {
	time time.Time
	look section
}

// serial is the moment of a spreadsheet's day number: 1 is 1 January 1900, and 60 the 29 February 1900 that never was
// (kept for the sake of older programs), or 0 is 1 January 1904.
func serial(v float64, date04 bool) (Moment, bool) {
	if v < 0 || v >= 2958466 { // 10000-01-01
		return Moment{}, false
	}
	seconds := int64(math.Round(v * 86400))
	days := seconds / 86400
	start := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)
	switch {
	case date04:
		start = time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC)
	case days < 60:
		start = start.AddDate(0, 0, 1)
	}
	return Moment{time: start.AddDate(0, 0, int(days)).Add(time.Duration(seconds%86400) * time.Second)}, true
}

// isoMoment reads the ISO 8601 date that some programs write into a cell.
func isoMoment(s string) (Moment, bool) {
	for _, layout := range []string{"2006-01-02T15:04:05", "2006-01-02T15:04", "2006-01-02"} {
		if t, err := time.Parse(layout, strings.TrimSuffix(s, "Z")); err == nil {
			return Moment{t, section{date: true, year: true, month: true, day: true, clock: t.Hour()+t.Minute() > 0}}, true
		}
	}
	return Moment{}, false
}

// String writes out what the cell shows: 4 July 2026, July 2026, 4 July, 14:30, 2:30 PM.
func (m Moment) String() string {
	var parts []string
	if m.look.weekday {
		parts = append(parts, m.time.Weekday().String())
	}
	if m.look.day {
		parts = append(parts, strconv.Itoa(m.time.Day()))
	}
	if m.look.month {
		parts = append(parts, m.time.Month().String())
	}
	if m.look.year {
		parts = append(parts, strconv.Itoa(m.time.Year()))
	}
	if m.look.clock && (len(parts) == 0 || m.time.Hour()+m.time.Minute()+m.time.Second() > 0) {
		clock := "15:04"
		if m.look.halves {
			clock = "3:04"
		}
		if m.look.seconds && m.time.Second() > 0 {
			clock += ":05"
		}
		if m.look.halves {
			clock += " PM"
		}
		parts = append(parts, m.time.Format(clock))
	}
	return strings.Join(parts, " ")
}

// Sizes are the measures that, typed into a spreadsheet, may have become this date, the likeliest first; none for a
// time of day.
func (m Moment) Sizes() []string {
	day, month, year := m.time.Day(), int(m.time.Month()), m.time.Year()%100
	switch {
	case !m.look.day && !m.look.month:
		return nil
	case m.look.month && m.look.year && !m.look.day:
		return []string{fmt.Sprintf("%d/%d", month, year)} // 1/16
	case m.look.year && m.look.day && (year == 2 || year == 4 || year == 8 || year == 16 || year == 32):
		return []string{fmt.Sprintf("%d-%d/%d", month, day, year), fmt.Sprintf("%d-%d/%d", day, month, year)} // 3-1/8
	case day == month:
		return []string{fmt.Sprintf("%d/%d", day, month)}
	}
	out := []string{fmt.Sprintf("%d/%d", month, day), fmt.Sprintf("%d/%d", day, month)}
	if ruler(day, month) && !ruler(month, day) {
		out[0], out[1] = out[1], out[0]
	}
	return out
}

// ruler reports a fraction in its lowest terms as a ruler in inches has them.
func ruler(n, d int) bool {
	return n < d && n%2 == 1 && (d == 2 || d == 4 || d == 8 || d == 16 || d == 32)
}

var (
	dateLike = regexp.MustCompile(`(?i)^(?:[0-9]{1,2}[-./ ](?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*\.?(?:[-./ ][0-9]{2,4})?|(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*\.?[-./ ][0-9]{1,4}|` +
		`[0-9]{1,2}/[0-9]{1,2}/[0-9]{2,4}|[0-9]{1,2}\.[0-9]{1,2}\.[0-9]{2,4}|[0-9]{1,2}-[0-9]{1,2}-[0-9]{2,4}|[0-9]{4}-[0-9]{2}-[0-9]{2})$`)
	monthName   = regexp.MustCompile(`([A-Za-z]{3})[A-Za-z]*`)
	dateLayouts = []string{"2-Jan-06", "2-Jan-2006", "2-Jan", "Jan-2", "Jan-06", "Jan-2006", "1-2-2006", "2-1-2006", "1-2-06",
		"2-1-06", "2006-1-2"}
)

// ParseDate recognises a date that was saved as text, as in a CSV file from a spreadsheet: 2-Apr, 04/02/2026.
func ParseDate(s string) (Moment, bool) {
	s = strings.TrimSpace(s)
	if !dateLike.MatchString(s) {
		return Moment{}, false
	}
	s = monthName.ReplaceAllString(s, "$1")
	s = strings.ReplaceAll(strings.NewReplacer("/", "-", ".", "-", " ", "-").Replace(s), "--", "-")
	for _, layout := range dateLayouts {
		if t, err := time.Parse(layout, s); err == nil {
			l := section{date: true, month: true, day: strings.Contains(layout, "2-") || strings.HasSuffix(layout, "-2"),
				year: strings.Contains(layout, "06")}
			if layout == "2006-1-2" {
				l.day = true
			}
			return Moment{t, l}, true
		}
	}
	return Moment{}, false
}
