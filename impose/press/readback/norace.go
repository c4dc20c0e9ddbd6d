//go:build !race

package readback

// Available tells whether the reader can be used in this build. Under the race detector it cannot: the engine would take
// half a minute to start, and there is nothing of ours in it to watch.
const Available = true
