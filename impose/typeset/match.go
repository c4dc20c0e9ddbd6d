package typeset

import (
	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/intake"
)

// group is the blocks that are to be set in one size: that of the smallest among them.
type group struct {
	size   measure.Length
	larger []int // the blocks that came out larger
	all    bool  // they all take the size, or none does
}

// matchCost is the share of its size that matching by itself may cost a block: one in so many.
const matchCost = 10

// matches are the groups in which some block is larger than another that it is to match.
func matches(blocks []intake.Block, results []result) []group {
	type key struct {
		match       config.Match
		owner, page string
	}
	at := map[key]int{}
	var groups []group
	var members [][]int
	for i := range blocks {
		b := &blocks[i]
		k := key{match: b.Type.Match}
		switch b.Type.Match {
		case config.MatchAuto:
			if b.Page == "" || b.Type.Wished > 0 { // who asks for a size gets it
				continue
			}
			k.owner, k.page = b.Owner, b.Page
		case config.MatchPage:
			k.owner, k.page = b.Owner, b.Page
		case config.MatchOwner:
			k.owner = b.Owner
		case config.MatchNo:
			continue
		}
		if results[i].held() {
			continue
		}
		n, known := at[k]
		if !known {
			n = len(groups)
			at[k] = n
			groups, members = append(groups, group{size: results[i].setting.Size, all: k.match == config.MatchAuto}), append(members, nil)
		}
		groups[n].size = min(groups[n].size, results[i].setting.Size)
		members[n] = append(members[n], i)
	}
	var out []group
	for n, g := range groups {
		dear := false
		for _, i := range members[n] {
			if size := results[i].setting.Size; size > g.size {
				g.larger = append(g.larger, i)
				dear = dear || (size-g.size)*matchCost > size
			}
		}
		if len(g.larger) > 0 && !(g.all && dear) {
			out = append(out, g)
		}
	}
	return out
}

// adopt puts the group's blocks as they were set in its size in the place of the larger ones.
func (g *group) adopt(results, matched []result) {
	if g.all {
		for _, i := range g.larger {
			if matched[i].held() || matched[i].setting.Size != g.size {
				return
			}
		}
	}
	for _, i := range g.larger {
		if !matched[i].held() {
			results[i] = matched[i]
		}
	}
}
