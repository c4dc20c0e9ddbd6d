package configfile

import (
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"tuckmark/config"
)

// fold is a key or a name as the settings compare them.
var fold = config.Fold

// lookUp is the node of a setting, or nil.
func lookUp(n *yaml.Node, path Path) *yaml.Node {
	if n == nil || len(path) == 0 {
		return n
	}
	switch n.Kind {
	case yaml.MappingNode:
		if i := keyOf(n, path[0]); i >= 0 {
			if found := lookUp(n.Content[i+1], path[1:]); found != nil {
				return found
			}
		}
		if len(path) > 1 { // type.font: at the top
			if i := keyOf(n, path[0]+"."+path[1]); i >= 0 {
				return lookUp(n.Content[i+1], path[2:])
			}
		}
	case yaml.SequenceNode:
		if i := itemOf(n, path[0]); i >= 0 {
			return lookUp(n.Content[i], path[1:])
		}
	}
	return nil
}

// keyOf is the index of a key in a mapping, or -1.
func keyOf(n *yaml.Node, key string) int {
	for i := 0; i+1 < len(n.Content); i += 2 {
		if fold(n.Content[i].Value) == fold(key) {
			return i
		}
	}
	return -1
}

// namesOf are the keys by which items of lists are told apart, in this order.
var namesOf = []string{"name", "stock", "size"}

// itemOf is the index of an item in a list, or -1.
func itemOf(n *yaml.Node, name string) int {
	return slices.IndexFunc(n.Content, func(item *yaml.Node) bool {
		if item.Kind == yaml.ScalarNode {
			return fold(item.Value) == fold(name)
		}
		for _, key := range namesOf {
			if item.Kind == yaml.MappingNode {
				if i := keyOf(item, key); i >= 0 {
					return fold(item.Content[i+1].Value) == fold(name)
				}
			}
		}
		return false
	})
}

// lists are the settings whose values are lists, and what tells their items apart.
var lists = map[string]string{"printers": "name", "stocks": "name", "sheets": "size", "leftovers": "size", "loads": "stock"}

// change puts another value into a tree. It reports whether that changes anything.
func change(n *yaml.Node, path Path, text string) bool {
	if len(path) > 1 && n.Kind == yaml.MappingNode && keyOf(n, path[0]) < 0 && keyOf(n, path[0]+"."+path[1]) >= 0 {
		path = append(Path{path[0] + "." + path[1]}, path[2:]...)
	}
	if text == "" {
		return takeOut(n, path)
	}
	for i, step := range path {
		last := i == len(path)-1
		switch n.Kind {
		case yaml.MappingNode:
			k := keyOf(n, step)
			if k < 0 {
				n.Content = append(n.Content, scalar(step), fresh(step, last, text))
				k = len(n.Content) - 2
				if last {
					return true
				}
			}
			if next := n.Content[k+1]; last {
				return setScalar(n.Content, k+1, text)
			} else if next.Kind == yaml.ScalarNode { // margins: 1/8 in, of which one side becomes another
				n.Content[k+1] = fresh(step, false, "")
			}
			n = n.Content[k+1]
		case yaml.SequenceNode:
			k := itemOf(n, step)
			if k < 0 {
				item := &yaml.Node{Kind: yaml.MappingNode, Tag: "!!map"}
				key := "name"
				if i > 0 {
					key = lists[fold(path[i-1])]
				}
				item.Content = []*yaml.Node{scalar(key), scalar(step)}
				n.Content = append(n.Content, item)
				k = len(n.Content) - 1
				if last {
					return true
				}
			}
			if last {
				return false
			}
			n = n.Content[k]
		default:
			return false
		}
	}
	return false
}

// fresh is the node of a key that was not there.
func fresh(key string, last bool, text string) *yaml.Node {
	switch {
	case last:
		return scalar(text)
	case lists[fold(key)] != "":
		return &yaml.Node{Kind: yaml.SequenceNode, Tag: "!!seq"}
	}
	return &yaml.Node{Kind: yaml.MappingNode, Tag: "!!map"}
}

func setScalar(in []*yaml.Node, i int, text string) bool {
	if in[i].Kind == yaml.ScalarNode && in[i].Value == text {
		return false
	}
	n := scalar(text)
	n.LineComment, n.HeadComment, n.FootComment = in[i].LineComment, in[i].HeadComment, in[i].FootComment
	in[i] = n
	return true
}

// scalar is the node of a text, in quotes where it would be read as something else.
func scalar(text string) *yaml.Node {
	n := &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: text}
	if !plain(text) {
		n.Style = yaml.SingleQuotedStyle
	}
	return n
}

// plain reports a text that YAML reads as it stands: so that a size in inches, a sign or a colour is not taken for something else.
func plain(text string) bool {
	if text == "" || strings.TrimSpace(text) != text || strings.ContainsAny(text, `:#'"{}[],&*!|>%@`+"`\\\t") || strings.ContainsAny(text[:1], "-?=~<") {
		return false
	}
	var n yaml.Node
	return yaml.Unmarshal([]byte("a: "+text), &n) == nil && len(n.Content) == 1 && len(n.Content[0].Content) == 2 && n.Content[0].Content[1].Value == text
}

// takeOut takes a setting out of a tree, and with it what holds nothing else then.
func takeOut(n *yaml.Node, path Path) bool {
	switch n.Kind {
	case yaml.MappingNode:
		i := keyOf(n, path[0])
		if i < 0 {
			return false
		}
		if len(path) > 1 {
			next := n.Content[i+1]
			if !takeOut(next, path[1:]) {
				return false
			}
			if len(next.Content) > 0 {
				return true
			}
		}
		n.Content = slices.Delete(n.Content, i, i+2)
		return true
	case yaml.SequenceNode:
		i := itemOf(n, path[0])
		if i < 0 {
			return false
		}
		if len(path) > 1 {
			return takeOut(n.Content[i], path[1:])
		}
		n.Content = slices.Delete(n.Content, i, i+1)
		return true
	}
	return false
}

// same reports trees that say the same.
func same(a, b *yaml.Node) bool {
	if a == nil || b == nil {
		return (a == nil || len(a.Content) == 0) && (b == nil || len(b.Content) == 0)
	}
	if a.Kind != b.Kind || a.Value != b.Value || len(a.Content) != len(b.Content) {
		return false
	}
	for i := range a.Content {
		if !same(a.Content[i], b.Content[i]) {
			return false
		}
	}
	return true
}
