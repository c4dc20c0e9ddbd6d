package ipp

import (
	"bytes"
	"errors"
	"reflect"
	"strings"
	"testing"
)

// TestPrintJobRequest is the example of RFC 8010, appendix A.1, byte by byte.
func TestPrintJobRequest(t *testing.T) {
	m := Message{Version: 0x0101, Code: 0x0002, ID: 1, Groups: []Group{
		{OperationGroup, Attributes{Attr("attributes-charset", Charset, "utf-8"), Attr("attributes-natural-language", Language, "en-us"),
			Attr("printer-uri", URI, "ipp://printer.example.com/ipp/print/pinetree"), Attr("job-name", Name, "foobar"), Number("ipp-attribute-fidelity", Boolean, 1)}},
		{JobGroup, Attributes{Number("copies", Integer, 20), Attr("sides", Keyword, "two-sided-long-edge")}},
	}}
	want := "\x01\x01\x00\x02\x00\x00\x00\x01" + "\x01" +
		"\x47\x00\x12attributes-charset\x00\x05utf-8" +
		"\x48\x00\x1battributes-natural-language\x00\x05en-us" +
		"\x45\x00\x0bprinter-uri\x00\x2cipp://printer.example.com/ipp/print/pinetree" +
		"\x42\x00\x08job-name\x00\x06foobar" +
		"\x22\x00\x16ipp-attribute-fidelity\x00\x01\x01" +
		"\x02" + "\x21\x00\x06copies\x00\x04\x00\x00\x00\x14" +
		"\x44\x00\x05sides\x00\x13two-sided-long-edge" + "\x03"
	if got := string(m.Encode()); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	got, rest, err := Decode([]byte(want + "%!PDF..."))
	if err != nil || string(rest) != "%!PDF..." || !reflect.DeepEqual(*got, m) {
		t.Errorf("%v %q\n%+v, want\n%+v", err, rest, got, m)
	}
}

// TestCollection is the media-col of RFC 8010, appendix A.4 (nesting as in 3.1.6), with the length of the names as they are there.
func TestCollection(t *testing.T) {
	a := Collect("media-col", Collect("media-size", Number("x-dimension", Integer, 21000), Number("y-dimension", Integer, 29700)), Attr("media-type", Keyword, "stationery"))
	want := "\x34\x00\x09media-col\x00\x00" +
		"\x4a\x00\x00\x00\x0amedia-size" + "\x34\x00\x00\x00\x00" +
		"\x4a\x00\x00\x00\x0bx-dimension" + "\x21\x00\x00\x00\x04\x00\x00\x52\x08" +
		"\x4a\x00\x00\x00\x0by-dimension" + "\x21\x00\x00\x00\x04\x00\x00\x74\x04" + "\x37\x00\x00\x00\x00" +
		"\x4a\x00\x00\x00\x0amedia-type" + "\x44\x00\x00\x00\x0astationery" + "\x37\x00\x00\x00\x00"
	got := string(appendAttribute(nil, a.Name, a.Values))
	if got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// TestValues: what is written comes back, of every kind, several values and none among them.
func TestValues(t *testing.T) {
	m := Message{Version: 0x0200, Code: 0x000B, ID: 7, Groups: []Group{{OperationGroup, nil}, {PrinterGroup, Attributes{
		{Name: "n", Values: []Value{{Tag: Integer, Int: -1}, {Tag: Integer, Int: 1<<31 - 1}, {Tag: Enum, Int: 5}}},
		{Name: "r", Values: []Value{{Tag: Range, Int: -3, Upper: 35560}, {Tag: Range, Int: 0, Upper: 1}}},
		{Name: "x", Values: []Value{{Tag: NoValue}}},
		{Name: "t", Values: []Value{{Tag: TextLang, Text: "rear", raw: "\x00\x02en\x00\x04rear"}}},
		{Name: "d", Values: []Value{{Tag: Resolution, Text: "\x00\x00\x01\x68\x00\x00\x01\x68\x03"}}},
		Collect("empty"),
		Attr("keywords", Keyword, "a", "", "c"),
	}}}}
	got, rest, err := Decode(m.Encode())
	if err != nil || len(rest) > 0 {
		t.Fatal(err, rest)
	}
	m.Groups[0].Attributes, got.Groups[0].Attributes = nil, nil
	if !reflect.DeepEqual(got, &m) {
		t.Errorf("%+v, want\n%+v", got, m)
	}
	a := got.Group(PrinterGroup)
	if a.Int("n") != -1 || a.Text("t") != "rear" || len(a.Texts("keywords")) != 3 || a.Text("nowhere") != "" || a.Int("x") != 0 || got.Group(JobGroup) != nil {
		t.Errorf("%+v", a)
	}
}

// TestBadMessages: what is no message is told, wherever it is cut off.
func TestBadMessages(t *testing.T) {
	m := Message{Version: 0x0200, Groups: []Group{{JobGroup, Attributes{Collect("media-col", Number("x", Integer, 1)), {Name: "r", Values: []Value{{Tag: Range}}}}}}}
	good := m.Encode()
	for n := range good {
		if _, _, err := Decode(good[:n]); !errors.Is(err, ErrMessage) {
			t.Errorf("%d of %d bytes: %v", n, len(good), err)
		}
	}
	head := "\x02\x00\x00\x00\x00\x00\x00\x01"
	for name, text := range map[string]string{
		"attribute before any group": head + "\x21\x00\x01a\x00\x04\x00\x00\x00\x01\x03",
		"value of no attribute":      head + "\x01\x21\x00\x00\x00\x04\x00\x00\x00\x01\x03",
		"short integer":              head + "\x01\x21\x00\x01a\x00\x03\x00\x00\x00\x03",
		"long boolean":               head + "\x01\x22\x00\x01a\x00\x02\x00\x00\x03",
		"member outside":             head + "\x01\x4a\x00\x01a\x00\x01b\x03",
		"end outside":                head + "\x01\x37\x00\x00\x00\x00\x03",
		"group inside":               head + "\x01\x34\x00\x01a\x00\x00\x02\x03",
		"too deep":                   head + "\x01\x34\x00\x01a\x00\x00" + strings.Repeat("\x4a\x00\x00\x00\x01b\x34\x00\x00\x00\x00", 20) + strings.Repeat("\x37\x00\x00\x00\x00", 21) + "\x03",
	} {
		if _, _, err := Decode([]byte(text)); !errors.Is(err, ErrMessage) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// FuzzDecode: nothing that comes in fails other than by an error, and what is read is written as it was.
func FuzzDecode(f *testing.F) {
	m := Message{Version: 0x0200, Code: 2, ID: 3, Groups: []Group{{OperationGroup, Attributes{Attr("a", Keyword, "b", "c"), Collect("c", Number("x", Integer, 1)), {Name: "r", Values: []Value{{Tag: Range, Int: 1, Upper: 2}}}}}}}
	f.Add(m.Encode())
	f.Add([]byte("\x01\x01\x00\x0b\x00\x00\x00\x01\x01\x36\x00\x01n\x00\x08\x00\x02en\x00\x02ab\x03rest"))
	f.Fuzz(func(t *testing.T, data []byte) {
		m, rest, err := Decode(data)
		if err != nil {
			return
		}
		again, more, err := Decode(append(m.Encode(), rest...))
		if err != nil || !bytes.Equal(more, rest) || !reflect.DeepEqual(again, m) {
			t.Errorf("%v\n%+v\n%+v", err, m, again)
		}
	})
}
