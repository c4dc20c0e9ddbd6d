package config

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"tuckmark/config/problem"
)

// Amendment is one value to write into a tuckmark.yaml: Keys lead to it from the top, in any letter case, as they are read, and an entry of a list is
// known by its name, as in printers, home, widest. Value is YAML as it is to stand there. With Key the last of Keys is called that from then on. With Add
// it becomes one more entry of the list that Keys lead to; with Remove what Keys lead to is taken out, with its key and the remark on its line.
type Amendment struct {
	Keys   []string
	Value  string
	Key    string
	Add    bool
	Remove bool
}

// Amend writes values into a tuckmark.yaml and leaves every other character as it is: remarks, order, empty lines. It changes the text itself, and
// does not write anew what it has read, since YAML that is written anew loses half of how somebody has arranged it. What cannot be changed so is an error,
// a *problem.Problem.
func Amend(data []byte, list []Amendment) ([]byte, error) {
	for _, a := range list {
		out, err := amend(data, a)
		if err != nil {
			return nil, err
		}
		data = out
	}
	return data, nil
}

var errAmend = errors.New("no place")

func amend(data []byte, a Amendment) ([]byte, error) {
	var found problem.List
	d := document{problems: &found}
	root, ok := d.parse(data)
	if !ok {
		return nil, &found[0]
	}
	out, err := amended(data, root, a)
	if bytes.ContainsAny(bytes.ReplaceAll(data, []byte("\r\n"), nil), "\r\u0085\u2028\u2029") { // lines that the library counts and an editor does not
		err = errAmend
	}
	if err == nil {
		keys := slices.Clone(a.Keys)
		if a.Key != "" {
			keys[len(keys)-1] = a.Key
		}
		if root, ok = d.parse(out); !ok || leads(root, keys) == a.Remove {
			err = errAmend
		}
	}
	if err != nil {
		return nil, &problem.Problem{What: strings.Join(a.Keys, ": ") + " cannot be changed here", Cause: "it is written in the configuration in a way that only its writer can change",
			Hint: "change it in the file, with a text editor"}
	}
	return out, nil
}

// leads reports whether keys lead to something.
func leads(node *yaml.Node, keys []string) bool {
	for _, k := range keys {
		if node == nil {
			return false
		}
		node = entryOf(node, k)
	}
	return node != nil
}

// amended finds the place of one value, or the first key on the way to it that is not there.
func amended(data []byte, node *yaml.Node, a Amendment) ([]byte, error) {
	if node == nil || node.Kind == yaml.ScalarNode && node.Tag == "!!null" {
		return atEnd(data, a)
	}
	keys, value := a.Keys, a.Value
	var in *yaml.Node
	for len(keys) > 0 {
		next := entryOf(node, keys[0])
		switch brief := node.Kind == yaml.ScalarNode && len(a.Keys) == 2 && fullKey(a.Keys[0], node.Value) == strings.Join(a.Keys, "."); {
		case next != nil:
			node, keys, in = next, keys[1:], node
			continue
		case !brief:
			return insert(data, node, keys, a)
		}
		keys, value = nil, "{"+keys[0]+": "+value+"}"
	}
	if a.Remove {
		return remove(data, in, a.Keys[len(a.Keys)-1])
	}
	if a.Add {
		return addTo(data, node, a.Value)
	}
	from, to, ok := extent(data, node)
	if !ok {
		return nil, errAmend
	}
	data = splice(data, from, to, value)
	if a.Key == "" {
		return data, nil
	}
	k := keyAt(in, a.Keys[len(a.Keys)-1]) // which stands before its value
	if k < 0 {
		return nil, errAmend
	}
	if from, to, ok = extent(data, in.Content[k]); !ok {
		return nil, errAmend
	}
	return splice(data, from, to, TypedKey(a.Key)), nil
}

// entryOf is what a mapping has under a key, or the entry of that name in a list; nil: nothing.
func entryOf(node *yaml.Node, key string) *yaml.Node {
	if k := keyAt(node, key); k >= 0 {
		return node.Content[k+1]
	}
	if node.Kind == yaml.SequenceNode {
		for _, e := range node.Content {
			if name := entryOf(e, "name"); name != nil && e.Kind == yaml.MappingNode && fold(name.Value) == fold(key) {
				return e
			}
		}
	}
	return nil
}

// keyAt is where a key stands in what a mapping holds, or -1.
func keyAt(node *yaml.Node, key string) int {
	for k := 0; node.Kind == yaml.MappingNode && k+1 < len(node.Content); k += 2 {
		if fold(node.Content[k].Value) == fold(key) {
			return k
		}
	}
	return -1
}

// insert writes what is not there yet into the mapping that it belongs to, behind the first of its keys; at the top, at the end of the file.
func insert(data []byte, node *yaml.Node, keys []string, a Amendment) ([]byte, error) {
	if node.Kind != yaml.MappingNode || a.Remove {
		return nil, errAmend
	}
	if len(keys) == len(a.Keys) && len(node.Content) > 0 {
		return atEnd(data, a)
	}
	if len(keys) > 1 || a.Add {
		return nil, errAmend
	}
	line := TypedKey(keys[0]) + ": " + a.Value
	if node.Style&yaml.FlowStyle != 0 {
		at, ok := offset(data, node.Line, node.Column)
		if !ok || data[at] != '{' {
			return nil, errAmend
		}
		if len(node.Content) > 0 {
			line += ", "
		}
		return splice(data, at+1, at+1, line), nil
	}
	if len(node.Content) == 0 {
		return nil, errAmend
	}
	first := node.Content[0]
	at, ok := offset(data, first.Line, first.Column)
	if !ok {
		return nil, errAmend
	}
	// Before the first key, on its line: what stands before it, a dash perhaps, stays before.
	return splice(data, at, at, line+"\n"+strings.Repeat(" ", first.Column-1)), nil
}

// remove takes an entry out of a mapping, on one line with others or on a line of its own; of the last one an empty mapping stays.
func remove(data []byte, in *yaml.Node, key string) ([]byte, error) {
	k := keyAt(in, key)
	if k < 0 {
		return nil, errAmend
	}
	from, ok := offset(data, in.Content[k].Line, in.Content[k].Column)
	_, to, known := extent(data, in.Content[k+1])
	if !ok || !known {
		return nil, errAmend
	}
	flow := in.Style&yaml.FlowStyle != 0
	last := k+2 == len(in.Content)
	switch line := data[to:]; {
	case len(in.Content) == 2 && flow:
		return splice(data, from, to, ""), nil
	case len(in.Content) == 2:
		return splice(data, from, to, "{}"), nil
	case flow && last:
		before := bytes.TrimRight(data[:from], " ")
		if !bytes.HasSuffix(before, []byte(",")) {
			return nil, errAmend
		}
		return splice(data, len(before)-1, to, ""), nil
	case flow:
		after := bytes.TrimLeft(line, " ")
		if !bytes.HasPrefix(after, []byte(",")) {
			return nil, errAmend
		}
		return splice(data, from, len(data)-len(bytes.TrimLeft(after[1:], " ")), ""), nil
	default:
		start := bytes.LastIndexByte(data[:from], '\n') + 1
		if len(bytes.Trim(data[start:from], " ")) > 0 {
			return nil, errAmend
		}
		end := len(data)
		if n := bytes.IndexByte(line, '\n'); n >= 0 {
			end = to + n + 1
		}
		return splice(data, start, end, ""), nil
	}
}

// atEnd writes a value whose first key is not there at the end of the file. An entry of a list needs its list.
func atEnd(data []byte, a Amendment) ([]byte, error) {
	if len(a.Keys) > 2 || a.Remove {
		return nil, errAmend
	}
	var b strings.Builder
	b.Write(data)
	if len(data) > 0 && !bytes.HasSuffix(data, []byte("\n")) {
		b.WriteByte('\n')
	}
	for i, k := range a.Keys {
		b.WriteString(strings.Repeat("  ", i) + TypedKey(k) + ":")
		if i < len(a.Keys)-1 {
			b.WriteByte('\n')
		}
	}
	switch {
	case a.Add:
		b.WriteString("\n" + strings.Repeat("  ", len(a.Keys)) + "- " + a.Value + "\n")
	case strings.Contains(a.Value, "\n"):
		b.WriteString("\n" + a.Value)
	default:
		b.WriteString(" " + a.Value + "\n")
	}
	return []byte(b.String()), nil
}

// addTo adds an entry to a list, before the first that it has.
func addTo(data []byte, node *yaml.Node, value string) ([]byte, error) {
	if node.Kind != yaml.SequenceNode {
		return nil, errAmend
	}
	if node.Style&yaml.FlowStyle != 0 {
		at, ok := offset(data, node.Line, node.Column)
		if !ok || data[at] != '[' {
			return nil, errAmend
		}
		if len(node.Content) > 0 {
			value += ", "
		}
		return splice(data, at+1, at+1, value), nil
	}
	at, ok := offset(data, node.Line, node.Column)
	if !ok || data[at] != '-' {
		return nil, errAmend
	}
	return splice(data, at, at, "- "+value+"\n"+strings.Repeat(" ", node.Column-1)), nil
}

// offset is where a line and column, both from 1, lie in the text. The library counts characters.
func offset(data []byte, line, column int) (at int, ok bool) {
	for ; line > 1; line-- {
		n := bytes.IndexByte(data[at:], '\n')
		if n < 0 {
			return 0, false
		}
		at += n + 1
	}
	for i := range string(data[at:]) {
		if column--; column == 0 {
			return at + i, true
		}
	}
	return 0, false
}

// extent is where a value on one line begins and ends in the text.
func extent(data []byte, node *yaml.Node) (from, to int, ok bool) {
	from, ok = offset(data, node.Line, node.Column)
	if !ok || node.Anchor != "" || node.Kind == yaml.AliasNode {
		return 0, 0, false
	}
	line := data[from:]
	if n := bytes.IndexByte(line, '\n'); n >= 0 {
		line = line[:n]
	}
	line = bytes.TrimRight(line, "\r")
	for _, around := range [][2]string{{"{k: ", "}"}, {"k: ", ""}} { // within brackets, where a comma ends it, or on a line of its own
		for n := 1; n <= len(line); n++ { // the shortest beginning that reads as the value
			var doc yaml.Node
			if yaml.Unmarshal(slices.Concat([]byte(around[0]), line[:n], []byte(around[1])), &doc) != nil || len(doc.Content) != 1 || len(doc.Content[0].Content) != 2 {
				continue
			}
			if same(doc.Content[0].Content[1], node) {
				return from, from + n, true
			}
		}
	}
	return 0, 0, false
}

// same reports whether two nodes have the same values.
func same(a, b *yaml.Node) bool {
	if a.Kind != b.Kind || a.Kind == yaml.ScalarNode && a.Value != b.Value {
		return false
	}
	return slices.EqualFunc(a.Content, b.Content, same)
}

func splice(data []byte, from, to int, text string) []byte {
	return slices.Concat(data[:from], []byte(text), data[to:])
}

var plainKey = regexp.MustCompile(`^\pL[\pL\pN_-]*( [\pL\pN_-]+)*$`)

// TypedKey is a key as YAML, in quotation marks where it would be read as anything else without.
func TypedKey(key string) string {
	if plainKey.MatchString(key) {
		return key
	}
	return Typed(key)
}

// Typed is a text as YAML, in quotation marks.
func Typed(text string) string { return fmt.Sprintf("%q", text) }
