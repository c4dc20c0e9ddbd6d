//go:build race

package readback

// Available tells whether the reader can be used in this build.
const Available = false
