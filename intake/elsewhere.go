package intake

import (
	"regexp"
	"strings"

	"tuckmark/config/measure"
)

var (
	fileName   = regexp.MustCompile(`(?i)^[^\n]{1,80}\.(jpe?g|png|gif|heic|heif|webp|tiff?|bmp|pdf|docx?|odt|pages|rtf|txt|xlsx?|mp[34]|mov)$`)
	link       = regexp.MustCompile(`(?i)^(https?://|www\.)\S+$`)
	toSeeCells = regexp.MustCompile(`(?i)^\(?(please )?(see|as in|look at|use|same as|refer to)( my| the| this)?( attached| enclosed)? ?(photos?|pictures?|images?|attachments?|attached|enclosed|e-?mails?|mails?|files?|messages?|scan|drawing)( attached| below| above| enclosed)?[.!)]*$`)
)

// elsewhere says where a text is that is not in the cell: a file's name, a link, "see photo"; "" where it is there.
func elsewhere(text string) string {
	text = strings.TrimSpace(text)
	switch {
	case len(text) > 200:
		return ""
	case link.MatchString(text):
		return "a link"
	case fileName.MatchString(text) && len(strings.Fields(text)) < 6:
		return "the name of a file, " + measure.Quote(text)
	case toSeeCells.MatchString(text):
		return measure.Quote(text)
	}
	return ""
}
