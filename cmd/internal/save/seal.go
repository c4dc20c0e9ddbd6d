package save

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"

	"tuckmark/impose/press"
)

// Whether somebody has changed a file since it was written shows in the file itself: it ends with a seal, the digest of all that stands before it,
// where its format lets something stand that no reader minds. A program that saves the file leaves the seal out, or its bytes are others; what is
// put behind it is not sealed. A PDF has its own, which package press writes. A file of before there were seals counts as changed.

// seal is how a format carries it.
type seal struct {
	begins        string // a file of the format
	ends          string // what stands at the end without a seal
	before, after string // the digits, in place of that
}

// sealDigits is how many hexadecimal digits of the SHA-256 a seal has: no two files that people come by are alike in 64 bits.
const sealDigits = 16

var seals = []seal{
	{"PK", "\x00\x00", "\x17\x00digest ", ""},       // the comment of a zip archive, 23 bytes, after its length (PKWARE's APPNOTE, 4.3.16)
	{"{", "\n}\n", ",\n \"digest\": \"", "\"\n}\n"}, // the last member of a JSON object
	{"<", "\n", "\n<!-- digest ", " -->\n"},         // HTML lets comments stand behind the document (HTML standard, 13.1)
	{"", "\n", "\n\nReference: ", "\n"},             // a letter, where a person sees it
}

// sealOf is the seal of a file's format; nil: it has none, or one of its own.
func sealOf(data []byte) *seal {
	if len(data) == 0 || bytes.HasPrefix(data, []byte("%PDF")) {
		return nil
	}
	for i := range seals {
		if bytes.HasPrefix(data, []byte(seals[i].begins)) {
			return &seals[i]
		}
	}
	return nil
}

// digits are those of the seal of what stands before it.
func digits(before []byte) string {
	sum := sha256.Sum256(before)
	return hex.EncodeToString(sum[:])[:sealDigits]
}

// Sealed is a file as Create writes it: with a seal.
func Sealed(data []byte) []byte {
	s := sealOf(data)
	if s == nil || !bytes.HasSuffix(data, []byte(s.ends)) {
		return data
	}
	body := data[:len(data)-len(s.ends)]
	return append(bytes.Clone(body), s.before+digits(body)+s.after...)
}

// IsUntouched reports whether a file of ours is as it was written.
func IsUntouched(data []byte) bool {
	s := sealOf(data)
	if s == nil {
		return press.IsUnchanged(data)
	}
	at := len(data) - len(s.before) - sealDigits - len(s.after)
	return at >= 0 && string(data[at:]) == s.before+digits(data[:at])+s.after
}
