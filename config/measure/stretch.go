package measure

// Stretch is what lies between two places along a line.
type Stretch struct{ From, To Length }

// Length is how long the stretch is.
func (s Stretch) Length() Length { return s.To - s.From }

// Without is what remains of stretches, in their order, when one is taken out.
func Without(stretches []Stretch, taken Stretch) []Stretch {
	var out []Stretch
	for _, s := range stretches {
		if taken.To <= s.From || taken.From >= s.To {
			out = append(out, s)
			continue
		}
		if taken.From > s.From {
			out = append(out, Stretch{s.From, taken.From})
		}
		if taken.To < s.To {
			out = append(out, Stretch{taken.To, s.To})
		}
	}
	return out
}
