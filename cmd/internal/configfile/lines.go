package configfile

import (
	"bytes"
	"strings"

	"go.yaml.in/yaml/v3"
)

// editLines puts another value into the lines of a file, where that is done by one line: a value that stands in a line of its key, a key
// more behind those beside it, a key taken out. It need not be right: who calls it reads what it made, and compares.
func editLines(data []byte, root *yaml.Node, c Change) (out []byte, ok bool) {
	lines := bytes.SplitAfter(data, []byte("\n"))
	if n := len(lines); n > 0 && len(lines[n-1]) == 0 {
		lines = lines[:n-1]
	}
	if root == nil {
		if len(c.Path) != 1 {
			return nil, false
		}
		return join(lines, len(lines), c.Path[0]+": "+typed(c.Text)), c.Text != ""
	}
	n := lookUp(root, c.Path)
	switch {
	case n != nil && c.Text != "" && n.Kind == yaml.ScalarNode:
		return replace(lines, n, typed(c.Text))
	case n != nil && c.Text == "":
		parent := lookUp(root, c.Path[:len(c.Path)-1])
		if parent == nil || parent.Kind != yaml.MappingNode || len(parent.Content) < 4 || parent.Style == yaml.FlowStyle || n.Kind != yaml.ScalarNode {
			return nil, false
		}
		i := keyOf(parent, c.Path[len(c.Path)-1])
		if i < 0 || parent.Content[i].Line != n.Line || i == 0 && parent != root { // the first of an item stands behind its hyphen
			return nil, false
		}
		at := n.Line - 1
		return bytes.Join(append(lines[:at:at], lines[at+1:]...), nil), true
	case n == nil && c.Text != "":
		parent := lookUp(root, c.Path[:len(c.Path)-1])
		if parent == nil || parent.Kind != yaml.MappingNode || len(parent.Content) == 0 || parent.Style == yaml.FlowStyle {
			return nil, false
		}
		key := parent.Content[0]
		return join(lines, last(parent), strings.Repeat(" ", key.Column-1)+c.Path[len(c.Path)-1]+": "+typed(c.Text)), true
	}
	return nil, false
}

// typed is a value as it is typed in the file.
func typed(text string) string {
	if plain(text) {
		return text
	}
	return "'" + strings.ReplaceAll(text, "'", "''") + "'"
}

// join puts a line behind the first n lines.
func join(lines [][]byte, n int, line string) []byte {
	n = min(n, len(lines))
	var out bytes.Buffer
	for _, l := range lines[:n] {
		out.Write(l)
	}
	if out.Len() > 0 && !bytes.HasSuffix(out.Bytes(), []byte("\n")) {
		out.WriteByte('\n')
	}
	out.WriteString(line + "\n")
	for _, l := range lines[n:] {
		out.Write(l)
	}
	return out.Bytes()
}

// last is the last line in which something of a node begins.
func last(n *yaml.Node) int {
	line := n.Line
	for _, c := range n.Content {
		line = max(line, last(c))
	}
	return line
}

// replace puts a text in the place of a value that stands in one line.
func replace(lines [][]byte, n *yaml.Node, text string) ([]byte, bool) {
	if n.Line < 1 || n.Line > len(lines) || n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0 {
		return nil, false
	}
	line := lines[n.Line-1]
	runes := []rune(string(line))
	if n.Column < 1 || n.Column > len(runes) {
		return nil, false
	}
	before, rest := string(runes[:n.Column-1]), string(runes[n.Column-1:])
	length := len(n.Value)
	switch {
	case n.Style&yaml.SingleQuotedStyle != 0:
		length = 2 + len(strings.ReplaceAll(n.Value, "'", "''"))
	case n.Style&yaml.DoubleQuotedStyle != 0:
		end := strings.LastIndexByte(rest, '"')
		if i := strings.Index(rest, " #"); i > 0 && end > i {
			return nil, false
		}
		length = end + 1
	}
	if length > len(rest) {
		return nil, false
	}
	lines[n.Line-1] = []byte(before + text + rest[length:])
	return bytes.Join(lines, nil), true
}
