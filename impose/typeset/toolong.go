package typeset

import (
	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/intake"
)

// tooLong says by how much a text is too long for its space at its smallest size, and the ways out.
func (t *textSetter) tooLong(body *body, b *intake.Block, s *config.Settings, low measure.Length) *fault {
	return &fault{what: "the text does not fit its space"}
}

// remarks are notes about a setting that is done.
func (t *textSetter) remarks(body *body, b *intake.Block, set *Setting) []fault { return nil }
