package pack

import "tuckmark/config/measure"

// Rejoined is a tree that was put together of parts that were laid by themselves: no two of its cuts undo each other, and no strip is a sliver that
// need not be one. Items of which it is said that they stay do not move.
func (j Job) Rejoined(tree *Node, on Piece, stays func(item int) bool) *Node {
	p := packer{Job: &j, stays: stays}
	return p.thickened(joined(tree, j.Limits), on)
}

// staying is where a tree has the items that stay.
func (p *packer) staying(n *Node, at map[int]measure.Rect) map[int]measure.Rect {
	if n.Near != nil {
		return p.staying(n.Far, p.staying(n.Near, at))
	}
	if n.Item >= 0 && p.stays(n.Item) {
		at[n.Item] = n.Rect
	}
	return at
}
