package intake

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
)

// What people type to the one who prints, in a cell that is printed: it is printed as it stands, and told.

var (
	// toPrinter matches a whole text that reads like a remark: will send later, same text as page 3, do not print.
	toPrinter = regexp.MustCompile(`(?i)^[\s\[(*]*(?:` +
		`(?:i(?:'|’)?ll |i will |will )?(?:send|e-?mail|bring|write|add|type|give)(?: it| this| you| the text| text)*(?: to you)? ?(?:later|soon|tomorrow|tonight)?|` +
		`(?:the |my |more )?(?:text |journaling |story |words )?(?:to (?:come|follow)|coming(?: soon)?|follows|later|pending|missing|handwritten|hand-?written|not needed|skip(?: this)?|still writing)|` +
		`cancell?ed(?:\W.*)?|no (?:text|journaling|words)|leave (?:it |this )?(?:blank|empty)|(?:please )?(?:do not|don(?:'|’)?t) print.{0,20}|already (?:printed|done)|` +
		`(?:your |type |insert |add )?(?:text|story|journaling|words)? ?here|type here|ask \S+(?: for (?:it|the text|that))?|` +
		`(?:the )?(?:same|copy|as|see|like|copied)(?: text)?(?: as| of| on| from| in)?(?: the| my| for)? ?(?:\S+ )?(?:page|p\.?|row|line|tab|sheet|notes?|back|block|no\.?|number)(?:\W.{0,20})?|[.…·_\s-]+` +
		`)[\s\])*.!]*$`)
	// whereOnPage matches where a block goes, and whenDue by when somebody wants it: neither is a line of a text.
	whereOnPage = regexp.MustCompile(`(?i)^(?:(?:top|bottom|upper|lower|left|right|middle|cent(?:re|er))(?:[ ,-]+(?:top|bottom|left|right|corner|edge|side|half|page|middle|cent(?:re|er)|of (?:the )?page))*|` +
		`(?:under|below|above|beside|next to|over|by) (?:the |my )?(?:photos?|pictures?|title|text|mat|page)|p(?:age|g)?\.? ?\d+|table \d+|[a-z]?\d{1,3})$`)
	whenDue = regexp.MustCompile(`(?i)^(?:asap|urgent|soon|later|first|last|done|ready|printed|(?:by|before|due|until|needed)\b.{1,30})$`)
	// allPeople matches what stands for everybody in place of a name.
	allPeople = regexp.MustCompile(`(?i)^(?:everyone|everybody|all|each|all of us|we all|the group|group|each (?:person|of us)|whole group)$`)
)

// toOrganiser tells of a text that reads like a remark.
func (e *entry) toOrganiser(col *Column, text string) {
	if text = strings.TrimSpace(text); len(text) <= 60 && toPrinter.MatchString(text) {
		e.note(col, fmt.Sprintf("%s is printed as it stands, and reads like a remark", measure.Quote(line(text))), "", "type the text, or leave the block out, if it is one")
	}
}

// noLine tells of what is printed in the line below a text, and says where a block goes, or by when.
func (e *entry) noLine(m meaning, col *Column, text string) {
	if len(text) > 60 || !(m == asWhere && whereOnPage.MatchString(text) || m == asWhen && whenDue.MatchString(text)) {
		return
	}
	e.note(col, fmt.Sprintf("%s is printed in the line below the text", measure.Quote(text)), fmt.Sprintf("the column %s is taken for %s", measure.Quote(col.Heading), m), "if it is for the page or for you, give the column another heading, as Note")
}

// pageOrStock tells of a page that is called like a stock, where the row names none.
func (e *entry) pageOrStock(b *Block) {
	c, _ := e.cell(asStock)
	_, col := e.cell(asPage)
	plain := plainLetters(b.Page)
	if plain == "" || c != nil || !slices.ContainsFunc(e.settings.Stocks, func(s config.Stock) bool { return plainLetters(s.Name) == plain }) {
		return
	}
	e.note(col, fmt.Sprintf("the page is called %s, like a stock, and the block is printed on %s", measure.Quote(b.Page), b.Stock), fmt.Sprintf("the column %s is taken for Page", measure.Quote(col.Heading)), "if it is the stock, head the column Stock")
}
