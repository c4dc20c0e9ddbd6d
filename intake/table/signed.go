package table

import (
	"crypto/sha256"
	"fmt"
	"regexp"
	"strings"
)

// What this program writes into a workbook for people, a note or a line of a list, is signed: behind it stands a mark of its words. What somebody types into
// it, before it comes back, is known by that.

// Ours is the author of remarks that this program attaches to cells itself.
const Ours = "tuckmark"

// Sign is the mark of a text, whatever becomes of the blanks in it: six hexadecimal digits of SHA-256.
func Sign(text string) string {
	words := strings.Fields(strings.TrimPrefix(strings.TrimSpace(text), Ours+":")) // which some programs put before a note, as its author
	sum := sha256.Sum256([]byte(strings.Join(words, " ")))
	return fmt.Sprintf("%x", sum[:3])
}

// Signed is a note with its mark.
func Signed(note string) string { return note + "\n" + Ours + " " + Sign(note) }

var signature = regexp.MustCompile(`\s*\b` + Ours + ` ([0-9a-f]{6})`)

// beyond is what a note says besides what this program wrote; of one that was changed within, all that it says.
func beyond(note string) string {
	for _, at := range signature.FindAllStringSubmatchIndex(note, 20) {
		if Sign(note[:at[0]]) == note[at[2]:at[3]] {
			return strings.TrimSpace(note[at[1]:])
		}
	}
	return note
}
