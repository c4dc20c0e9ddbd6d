package main

import (
	"fmt"

	"tuckmark/impose/pack"
)

// work is what there is to cut: items freed by cuts, in patterns of which an instance has so many different ones.
type work struct{ items, cuts, patterns int }

func (w *work) add(items int, a pack.Answer) {
	w.items += items
	patterns := map[string]bool{}
	for _, laid := range a.Sheets {
		for _, t := range laid.Trees {
			if t != nil {
				patterns[w.cut(t)] = true
			}
		}
	}
	w.patterns += len(patterns)
}

// cut counts the cuts of a tree and returns a text that is equal for trees that are cut alike.
func (w *work) cut(n *pack.Node) string {
	if n.Near == nil {
		return fmt.Sprint(n.Item >= 0, n.Rect.Size())
	}
	w.cuts++
	return fmt.Sprint(n.Axis, n.At, "(", w.cut(n.Near), w.cut(n.Far), ")")
}

func (w work) String() string {
	return fmt.Sprintf("items %d cuts %d, %.4f an item; patterns %d, %.4f an item", w.items, w.cuts, float64(w.cuts)/float64(max(w.items, 1)), w.patterns, float64(w.patterns)/float64(max(w.items, 1)))
}
