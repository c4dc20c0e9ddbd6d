package plan

import "tuckmark/config/measure"

// A piece that no printer pulls may ride, where its stock has a carrier: an outline is printed on a plain sheet that does
// feed, the piece is fixed inside it, and the sheet goes through again with the piece's page. So a piece that rides has two
// pages in the PDF, the outline before its own, both as large as the carrier.

// Ride is the carrier of a piece, and where the piece lies on it.
type Ride struct {
	Width  measure.Length `json:"width"`
	Height measure.Length `json:"height"`
	X      measure.Length `json:"x"`
	Y      measure.Length `json:"y"`
}

// Size is the carrier's width and height.
func (r *Ride) Size() measure.Size { return measure.Size{W: r.Width, H: r.Height} }

// Pages is the number of pages that the plan's pieces take in the PDF.
func (p *Plan) Pages() int {
	n := len(p.Pieces)
	for i := range p.Pieces {
		if p.Pieces[i].Carrier != nil {
			n++
		}
	}
	return n
}
