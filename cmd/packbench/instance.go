package main

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"tuckmark/config/measure"
)

// instance is one problem: items to pack into as few bins as possible.
type instance struct {
	name  string
	bin   measure.Size
	items []measure.Size
}

// read reads instances, one a line: class n index binW binH | w h, w h, ... Lines that start with # are remarks.
func read(r io.Reader) ([]instance, error) {
	var all []instance
	lines := bufio.NewScanner(r)
	lines.Buffer(nil, 1<<24)
	for n := 1; lines.Scan(); n++ {
		text := strings.TrimSpace(lines.Text())
		if text == "" || text[0] == '#' {
			continue
		}
		head, items, ok := strings.Cut(text, "|")
		var in instance
		var class, count, index int
		if _, err := fmt.Sscan(head, &class, &count, &index, &in.bin.W, &in.bin.H); !ok || err != nil {
			return nil, fmt.Errorf("line %d is not of the form: class n index width height | w h, w h and so on", n)
		}
		in.name = fmt.Sprintf("%d %d %d", class, count, index)
		for _, item := range strings.Split(items, ",") {
			var s measure.Size
			if _, err := fmt.Sscan(item, &s.W, &s.H); err != nil || s.W <= 0 || s.H <= 0 {
				return nil, fmt.Errorf("line %d has an item %q that is not a width and a height", n, strings.TrimSpace(item))
			}
			in.items = append(in.items, s)
		}
		all = append(all, in)
	}
	return all, lines.Err()
}

// span is what sides may be drawn from.
type span struct{ low, high int64 }

// published makes the 500 instances of Berkey and Wang (Journal of the Operational Research Society 38, 1987; classes 1
// to 6) and of Martello and Vigo (Management Science 44, 1998; classes 7 to 10), by the authors' generator.
func published() []instance {
	var all []instance
	for class := 1; class <= 10; class++ {
		for n := 20; n <= 100; n += 20 {
			for index := 1; index <= 10; index++ {
				all = append(all, generate(class, n, index))
			}
		}
	}
	return all
}

func generate(class, n, index int) instance {
	const modulus = 259200
	v := int64(0)
	draw := func() int64 {
		v = (7141*v + 54773) % modulus
		return v
	}
	for k := int(31.47*float64(n)*float64(index)+2000) + 1; k > 0; k-- {
		draw()
	}
	within := func(s span) measure.Length {
		return measure.Length((s.high-s.low+1)*draw()/modulus + s.low)
	}
	in := instance{name: fmt.Sprintf("%d %d %d", class, n, index), bin: measure.Size{W: 100, H: 100}}
	if class <= 6 {
		side := [...]measure.Length{10, 30, 40, 100, 100, 300}[class-1]
		most := [...]int64{10, 10, 35, 35, 100, 100}[class-1]
		in.bin = measure.Size{W: side, H: side}
		for range n {
			h := within(span{1, most})
			w := within(span{1, most})
			in.items = append(in.items, measure.Size{W: w, H: h})
		}
		return in
	}
	// Types 1 to 4: wide, high, large, small; each class favours its own.
	tenths := [...][3]int64{{7, 8, 9}, {1, 8, 9}, {1, 2, 9}, {1, 2, 3}}[class-7]
	small, large, half := span{1, 50}, span{66, 100}, span{50, 100}
	for range n {
		x := 10 * draw()
		w, h := small, small
		switch {
		case x <= tenths[0]*modulus:
			w = large
		case x <= tenths[1]*modulus:
			h = large
		case x <= tenths[2]*modulus:
			w, h = half, half
		}
		hh := within(h)
		in.items = append(in.items, measure.Size{W: within(w), H: hh})
	}
	return in
}
