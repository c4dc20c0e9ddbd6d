package config

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// value is one setting as it was typed: always text, so that one reader serves files, variables and flags, and 0.50
// stays 0.50. It carries its origin through viper, so that whoever finds it wrong can say where it stands.
type value struct {
	kind  kind
	label string        // what a message calls it: tuck, --gap, TUCKMARK_GAP
	key   string        // of a part of a mapping, as it was typed
	at    problem.Place // file and line; empty for variables and flags
	text  string        // of a scalar
	list  []value
	parts []value // of a mapping, each labelled with its key, in the order typed
}

type kind uint8

const (
	scalar kind = iota
	list
	mapping
)

// document turns YAML into values. It knows nothing of what may be in them.
type document struct {
	file     string
	problems *problem.List
	lines    [][]byte
}

func (d *document) bad(line int, what, cause, hint string) {
	d.problems.Add(problem.Place{File: d.file, Line: line}, what, cause, hint)
}

// read gives the top-level mapping. Nothing was read where it reports false; it has said why.
func (d *document) read(data []byte) (top value, ok bool) {
	root, ok := d.parse(data)
	if !ok {
		return value{}, false
	}
	if root == nil {
		return value{kind: mapping}, true // empty, or nothing but comments
	}
	before := d.problems.Errors()
	top, ok = d.value(root, "")
	if ok && top.kind != mapping {
		d.bad(max(root.Line, 1), "this is not a list of settings", "",
			"write one setting a line, a colon and a space after its name, as in “units: mm”")
		return value{}, false
	}
	return top, ok || d.problems.Errors() > before
}

// parse is the YAML library behind a door: its errors become sentences, its panics too.
func (d *document) parse(data []byte) (root *yaml.Node, ok bool) {
	defer func() {
		if recover() != nil {
			d.bad(0, "this file cannot be understood", "it upsets the YAML reader", howToWrite)
			root, ok = nil, false
		}
	}()
	d.lines = bytes.Split(data, []byte("\n"))
	if !d.legible(data) {
		return nil, false
	}
	decoder := yaml.NewDecoder(bytes.NewReader(paired(data)))
	var node yaml.Node
	err := decoder.Decode(&node)
	if errors.Is(err, io.EOF) {
		return nil, true
	}
	if err != nil {
		d.syntax(err)
		return nil, false
	}
	var second yaml.Node
	if err := decoder.Decode(&second); err == nil {
		d.bad(second.Line, "a second document starts here", "a line of three dashes parts documents, and only one is read",
			"take the line of dashes out")
		return nil, false
	} else if !errors.Is(err, io.EOF) {
		d.syntax(err)
		return nil, false
	}
	if node.Kind != yaml.DocumentNode || len(node.Content) == 0 {
		return nil, true
	}
	return node.Content[0], true
}

// legible looks for what YAML does not allow and editors leave behind, so as to name every line of it.
func (d *document) legible(data []byte) bool {
	good := true
	if bytes.HasPrefix(data, []byte{0xff, 0xfe}) || bytes.HasPrefix(data, []byte{0xfe, 0xff}) || bytes.IndexByte(data, 0) >= 0 {
		d.bad(0, "this file is not UTF-8 text", "it looks like UTF-16, or like no text at all", "save it as plain text in UTF-8")
		return false
	}
	for i, line := range d.lines {
		indent := line[:len(line)-len(bytes.TrimLeft(line, " \t"))]
		switch {
		case bytes.IndexByte(indent, '\t') >= 0 && len(bytes.TrimSpace(line)) > 0:
			d.bad(i+1, "this line starts with a tab", "YAML allows only spaces before a setting", "put spaces in place of the tab")
			good = false
		case !utf8.Valid(line):
			d.bad(i+1, "a character of this line cannot be read", "the file is not UTF-8 text", "save it as plain text in UTF-8")
			good = false
		}
	}
	return good
}

var byteOrderMark = []byte("\ufeff")

var pairOfJSON = regexp.MustCompile(`(^|[^\\])((?:\\\\)*)\\u([dD][89abAB][0-9a-fA-F]{2})\\u([dD][c-fC-F][0-9a-fA-F]{2})`)

// paired is a document without the pairs of escapes that JSON has for one character beyond the first 65,536 (RFC 8259, section 7), which YAML
// does not know; the character stands in their place. Only what is JSON may have them.
func paired(data []byte) []byte {
	data = bytes.TrimPrefix(data, byteOrderMark)
	if !pairOfJSON.Match(data) || !json.Valid(data) {
		return data
	}
	for pairOfJSON.Match(data) { // two pairs side by side share a character
		data = pairOfJSON.ReplaceAllFunc(data, func(found []byte) []byte {
			m := pairOfJSON.FindSubmatch(found)
			high, _ := strconv.ParseUint(string(m[3]), 16, 16)
			low, _ := strconv.ParseUint(string(m[4]), 16, 16)
			return utf8.AppendRune(slices.Concat(m[1], m[2]), utf16.DecodeRune(rune(high), rune(low)))
		})
	}
	return data
}

const howToWrite = "write one setting a line, a colon and a space after its name, what belongs to it two spaces further in; " +
	"put quotes round a text that holds a colon or starts with a sign"

var yamlLine = regexp.MustCompile(`line (\d+):`)

// syntax says in our words what the library found.
func (d *document) syntax(err error) {
	line := d.faultLine(err)
	cause := ""
	for _, known := range [][2]string{
		{"mapping values are not allowed", "there is a colon too many, or this line stands further in than the one above it"},
		{"did not find expected ',' or", "a bracket or brace that was opened is not closed"},
		{"did not find expected '-' indicator", "the items of a list do not start in the same column"},
		{"did not find expected key", "this line does not start in the same column as the ones it belongs with"},
		{"could not find expected ':'", "there is a name without a colon and a space after it"},
		{"unexpected end of stream", "a quote that was opened is not closed"},
		{"that cannot start any token", "a text starts with a sign that has a meaning of its own in YAML"},
		{"control characters", "there is a character in it that cannot be seen"},
	} {
		if strings.Contains(err.Error(), known[0]) {
			cause = known[1]
			break
		}
	}
	hint := howToWrite
	if hex := d.remark(line); hex != "" {
		cause, hint = hashCause, fmt.Sprintf(hashHint, hex)
	}
	d.bad(line, "the file cannot be understood from this line on", cause, hint)
}

// faultLine is the line where what is wrong begins. The library often names one well above or below, or none; so the file is
// read again without its last line, the last two, and so on, until what is left is right. Of what stands in braces, as in JSON, no part is.
func (d *document) faultLine(err error) int {
	const most = 8 << 20 // bytes that are read again in all, which is the square of what the file has; 400 lines of usual length
	whole := bytes.Join(d.lines, []byte("\n"))
	braces := bytes.HasPrefix(bytes.TrimSpace(bytes.TrimPrefix(whole, byteOrderMark)), []byte("{"))
	if len(d.lines)*len(whole) <= most && !braces {
		for n := len(d.lines) - 1; n > 0; n-- {
			var node yaml.Node
			if yaml.Unmarshal(bytes.Join(d.lines[:n], []byte("\n")), &node) == nil {
				return n + 1
			}
		}
		return 1
	}
	if m := yamlLine.FindStringSubmatch(err.Error()); m != nil {
		line, _ := strconv.Atoi(m[1])
		return line
	}
	return 1
}

// value converts a node. It reports false where nothing of the node can be used.
func (d *document) value(n *yaml.Node, label string) (value, bool) {
	v := value{label: label, at: problem.Place{File: d.file, Line: n.Line}}
	if n.Anchor != "" || n.Kind == yaml.AliasNode {
		d.bad(n.Line, "the short-hands & and * are not understood here", "", "write the setting out, or put quotes round the text")
		return v, false
	}
	switch n.Kind {
	case yaml.ScalarNode:
		if n.ShortTag() == "!!null" && n.Style == 0 && (n.Value == "" || n.Value == "~" || strings.EqualFold(n.Value, "null")) {
			d.empty(n, label)
			return v, false
		}
		v.text = strings.TrimSpace(n.Value)
		return v, true
	case yaml.SequenceNode:
		v.kind = list
		for _, item := range n.Content {
			if got, ok := d.value(item, label); ok {
				v.list = append(v.list, got)
			}
		}
		return v, true
	case yaml.MappingNode:
		v.kind = mapping
		d.mapping(n, &v)
		return v, true
	}
	d.bad(n.Line, "this cannot be understood", "", howToWrite)
	return v, false
}

func (d *document) mapping(n *yaml.Node, v *value) {
	first := map[string]int{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		name, node := n.Content[i], n.Content[i+1]
		if name.Kind != yaml.ScalarNode || name.Value == "" || name.Anchor != "" {
			d.bad(name.Line, "there is no name before this colon", "", howToWrite)
			continue
		}
		key := fold(name.Value)
		if line, twice := first[key]; twice {
			d.bad(name.Line, fmt.Sprintf("%s is given twice", measure.Quote(name.Value)),
				fmt.Sprintf("it stands in line %d already", line), "take one of the two out")
			continue
		}
		first[key] = name.Line
		if got, ok := d.value(node, key); ok {
			got.key = name.Value
			got.at.Line = name.Line // where a person looks for it; a list starts a line lower
			v.parts = append(v.parts, got)
		}
	}
}

var hexColour = regexp.MustCompile(`:\s+(#([0-9a-fA-F]{3}){1,2})\b`)

const (
	hashCause = "what follows a # is a remark and is not read"
	hashHint  = "put the colour in quotes: '%s'"
)

// remark is the colour in a line that YAML takes for a remark, or "".
func (d *document) remark(line int) string {
	if line < 1 || line > len(d.lines) {
		return ""
	}
	if m := hexColour.FindSubmatch(d.lines[line-1]); m != nil {
		return string(m[1])
	}
	return ""
}

// afterComma reports whether a name stands behind a comma between braces, where it may have been meant for a part of the value before it.
func (d *document) afterComma(line int, name string) bool {
	if line < 1 || line > len(d.lines) {
		return false
	}
	_, within, _ := strings.Cut(string(d.lines[line-1]), "{")
	parts := strings.FieldsFunc(within, func(r rune) bool { return r == ',' || r == '}' })
	return len(parts) > 1 && slices.ContainsFunc(parts[1:], func(part string) bool { return strings.TrimSpace(part) == name })
}

// empty explains a name with nothing after it.
func (d *document) empty(n *yaml.Node, label string) {
	if label == "" {
		label = "this setting"
	}
	cause, hint := "", "write a value after the colon, or take the line out"
	if hex := d.remark(n.Line); hex != "" {
		cause, hint = hashCause, fmt.Sprintf(hashHint, hex)
	} else if d.afterComma(n.Line, label) {
		cause, hint = "between { and } a comma ends a value", "if it belongs to the value before it, put that in quotation marks, like \"one, two\""
	}
	d.bad(n.Line, label+" has no value", cause, hint)
}
