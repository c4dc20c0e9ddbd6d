package intake

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// What people type to the one who prints, in a cell that is printed: it is printed as it stands, and told. A note too many costs a look, one too
// few costs stock, so that these rules are wide.

const later = `(?:later|soon|tomorrow|tonight|another time|afterwards|(?:on|at|after|before|by|next|this) .{1,25})?`

var (
	// toPrinter matches a whole text that reads like a remark: will send later, same text as page 3, do not print.
	toPrinter = regexp.MustCompile(`(?i)^[\s\[(*]*(?:` +
		`(?:(?:i|we|she|he)(?:(?:'|’)?ll|(?:'|’)?m going to| will| would like to)? |will |to )?(?:(?:hand[- ]?)?write|hand[- ]?letter|send|text|e-?mail|bring|add|type|give|do|fill)(?: it| this| in| you| the text| text| mine| them| later| by hand)*(?: to you)? ?` + later + `|` +
		`(?:the |my |more )?(?:text |journaling |story |words )?(?:to (?:come|follow)|coming(?: soon)?|follows|later|pending|missing|handwritten|hand-?written|by hand|not (?:needed|yet|ready|sure|known|decided|done)|skip(?: this)?|still writing|unsure|undecided|unknown)|` +
		`cancell?ed(?:\W.*)?|(?:no|nothing|none|blank|empty)(?: (?:text|journaling|words|yet|here|please|needed|so far|for now|for this|for that|for me|page|one|thanks?|thank you|space|card|block|this))*|leave (?:it |this )?(?:blank|empty)(?: please)?|(?:please )?(?:do not|don(?:'|’)?t) (?:print|need|want|use).{0,20}|already (?:printed|done|sent|have).{0,20}|` +
		`(?:just |only )(?:the |a |my )?(?:photo|picture|title|date|sticker|embellishment|drawing|heading)s?|(?:the |a |my )?(?:photo|picture|title|date|sticker|embellishment|drawing|heading)s?(?: only| (?:goes |go )?here)|` +
		`(?:your |type |insert |add )?(?:text|story|journaling|words)? ?here|type here|ask \S+(?: for (?:it|the text|that))?|` +
		`\S+(?: \S+)?(?:(?:'|’)s got| has| have| knows| is (?:writing|bringing|sending|doing)| will (?:write|bring|send|do|type)| sends| writes)(?: (?:my|the|his|her|our|it|this|text|story|journaling|words))+|` +
		`(?:the )?(?:same|copy|as|see|like|copied)(?: text)?(?: as| of| on| from| in)?(?: the| my| for)? ?(?:\S+ )?(?:page|p\.?|row|line|tab|sheet|notes?|back|block|no\.?|number)(?:\W.{0,20})?|(?:same|copy)(?: text| one| story| words)?(?: as| of| like)\b.{1,30}|[.…·_\s-]+|` +
		`(?:done|x|xx|void|wip|placeholder|dummy|test|delete(?: (?:this|the|me))?(?: (?:row|one|line|block))?|(?:see|continued|cont\.?) (?:above|below|over|next)(?: \S+)?|moved to (?:the )?(?:row|line|page|tab|sheet|next|other)\b.{0,20}|(?:in )?bold|optional|if it fits|already on (?:the )?page|you choose|reprint|not this one|lines only|text folgt|kein(?:e|en)? (?:text|titel)|(?:bitte )?nicht drucken|leer|ohne(?: text| titel)?|sans (?:texte|titre)|(?:texte )?[àa] venir|ne pas imprimer|(?:sin|geen|senza) (?:texto|t[ií]tulo|tekst|titel|testo|titolo)|no imprimir|niet (?:af)?drukken|non stampare|about \d+ words|\d+ words|(?:my |her |his |our )?(?:own )?hand-?writing|(?:it(?:'|’)?s )?on my (?:phone|computer|laptop)|\d+ ?(?:copies|copy|pt|points?|x)|x ?\d+|(?:print|make it) (?:small|large|big|it|this|twice|bold|in|on|as|\d)\b.{0,20}|leave (?:off|out|it out))` +
		`)[\s\])*.!]*$`)
	// aFormula matches the beginning of a formula that came here as a text: =A2; ="In June", as programs export it.
	aFormula = regexp.MustCompile(`(?i)^\{?=\s*[-+({]*(?:"|'[^']+'!|\[|\$?[a-z]{1,3}\$?\d{1,7}(?:\W|$)|R\[?-?\d|[\pL\d_.]+[!(])`)
	// saysHow matches how a text is wanted, before it or alone: bold: Lake; in red.
	saysHow = regexp.MustCompile(`(?i)^(?:bold|italics?|underlined?|cent(?:re|er)(?:ed)?|correction|corrected|update|text 1)\s*[:：]`)
	inInk   = regexp.MustCompile(`(?i)^in (\pL+(?: \pL+)?)$`)
	// remarkWords are words of a remark about a text, and besideRemarks stand beside them.
	remarkWords   = wordsOf("send sending sent write writing written handwrite handwritten type typing typed print printed printing email emailed mail text texts journaling copy copied skip blank yet decided unsure undecided omit ignore cancel cancelled needed draft unfinished incomplete")
	besideRemarks = wordsOf("i ill im you he she we they it this that mine my me his her our their the a an is are be been being am was will would shall should can cant cannot may might must do dont does not no none nothing to for from of on at in by with as if or and but so only just still already sure please pls here there when after before until later soon now again other one ones same first last next all some more monday tuesday wednesday thursday friday saturday sunday tomorrow tonight today week weekend retreat crop party page row line sheet tab back photo photos picture title date names have has had got know knows need needs want wants let ask see use put add bring wait done hand")
	// begs matches words of asking, ofPrint words about the print, and not of a story, and putIn what stands in brackets within a text.
	begs    = regexp.MustCompile(`(?i)(?:^|\W)(?:please|pls|plz|bitte|s'il vous pla[iî]t|svp|por favor|per favore)(?:\W|$)`)
	ofPrint = regexp.MustCompile(`(?i)(?:^|\W)(?:print(?:ed|ing)?|cop(?:y|ies)|font|typeface|bold|italics?|bigger|larger|smaller|as (?:big|small|large) as|in colou?r|capitals|use the|blank|cent(?:red|ered)|align(?:ed)?|see e-?mail|(?:text|rest) (?:later|follows|to (?:follow|come)))(?:\W|$)`)
	putIn   = regexp.MustCompile(`\([^()]{3,80}\)|\[[^\[\]]{3,80}\]`)
	// whenDue matches by when somebody wants a block, which is no line of a text; dueWords are words of that, and besideDue stand beside them.
	whenDue   = regexp.MustCompile(`(?i)^(?:last|first|(?:by|before|due|until|needed)\b.{1,30})$`)
	dueWords  = wordsOf("asap urgent soon later done ready printed rush hurry whenever priority please possible can need needed for deadline yet anytime to print immediately now")
	besideDue = wordsOf("no not a as when you i it is be high low very any time in the next this week weekend tonight tomorrow today end of day monday tuesday wednesday thursday friday saturday sunday mon tue wed thu fri sat sun at retreat crop party if")
	// whereOnPage matches where a block goes; placeWords are words of that, and besidePlaces stand beside them.
	whereOnPage  = regexp.MustCompile(`(?i)^(?:p(?:age|g)?\.? ?\d+.{0,3}|table \d+|[a-z]?\d{1,3})$`)
	placeWords   = wordsOf("left right top bottom upper lower middle centre center corner edge side lh rh lhs rhs page pg pages pocket photo photos picture pictures pic pics title text mat layout spread back front cover tag oben unten links rechts mitte seite")
	besidePlaces = wordsOf("half hand under underneath below above beside next to over by of the my on in at near behind inside card tag strip first second last big small large across along and from facing row column with between two three no number l r p")
	// allPeople matches what stands for everybody in place of a name, and oneself what stands for whoever typed it.
	allPeople = regexp.MustCompile(`(?i)^(?:everyone|everybody|all|each|all of us|we all|the group|group|each (?:person|of us)|whole group)$`)
	oneself   = regexp.MustCompile(`(?i)^(?:(?:me|myself|i|us|ourselves|mine|moi|ich|yo|io|ik|self)(?: again)?\W*|(?:me|same(?: as above)?)\s?\(.*)$`)
	// countOfName matches a number behind a name that may be that of copies: Ana Pell x2.
	countOfName = regexp.MustCompile(`(?i)(?:^|\s)(?:[x×]\s?\d{1,3}|\d{1,3}\s?[x×]|\(\s?[x×]?\s?\d{1,3}\s?[x×]?\s?\)|\(?\d{1,3} (?:copies|copy|times|pcs|pieces)\)?|twice|\(twice\))$`)
)

// mostAsides is how many of these are told one by one: who has more of them means something else with a column, and reads none.
const mostAsides = 5_000

// noteAside is note for these. Of blocks that were printed once they were told then.
func (e *entry) noteAside(col *Column, what, cause, hint string) {
	if e.again {
		return
	}
	switch e.asides++; {
	case e.asides <= mostAsides:
		e.note(col, what, cause, hint)
	case e.asides == mostAsides+1:
		e.note(col, "here and below, cells that read like remarks or doubts, or say nothing, are not told any more", fmt.Sprintf("there are more than %d of them", mostAsides), "look at the headings: a column may be for something else")
	}
}

// remark reports a whole text that reads like a remark.
func remark(text string) bool {
	if aFormula.MatchString(text) {
		return true
	}
	if len(text) > 82 {
		return false
	}
	if text != "" && putIn.FindString(text) == text && strings.ContainsFunc(text, unicode.IsLetter) || begs.MatchString(text) && ofPrint.MatchString(text) || toPrinter.MatchString(text) || onlyOf(text, remarkWords, besideRemarks) {
		return true
	}
	if m := inInk.FindStringSubmatch(text); m != nil {
		if _, colour := config.KnownColour(m[1]); colour {
			return true
		}
	}
	if saysHow.MatchString(text) {
		return true
	}
	who, what, _ := strings.Cut(text, " ") // Bea is writing mine
	return len(strings.Fields(what)) > 1 && who != "" && onlyOf(what, remarkWords, besideRemarks)
}

// toOrganiser tells of a title or a text that reads like a remark, or has one in it.
func (e *entry) toOrganiser(col *Column, text string) {
	if text = strings.TrimSpace(text); remark(text) || e.onlyStock(text) || onlyNumber.MatchString(text) {
		e.noteAside(col, fmt.Sprintf("%s is printed as it stands, and reads like a remark", measure.Quote(line(text))), "", "type the text, or leave the block out, if it is one")
		return
	}
	for _, part := range putIn.FindAllString(text, 9) {
		if begs.MatchString(part) || ofPrint.MatchString(part) {
			e.noteAside(col, fmt.Sprintf("%s is printed as it stands, and reads like a remark", measure.Quote(line(part))), "", "take it out of the text, if it is one")
		}
	}
}

// onlyNumber matches a text that is a number, and no year.
var onlyNumber = regexp.MustCompile(`^\d{1,3}$`)

// onlyStock reports a text that names a stock and nothing else: on vellum.
func (e *entry) onlyStock(text string) bool {
	if len(text) > 60 {
		return false
	}
	words := slices.DeleteFunc(strings.Fields(plainLetters(text)), func(w string) bool { return w == "on" || w == "the" || w == "please" })
	return slices.ContainsFunc(e.knownStocks(), func(s stockName) bool { return slices.Equal(words, s.words) })
}

// misread tells of letters that a program has read in another code than they were written in.
func (e *entry) misread(col *Column, text string) {
	if m := otherCode.FindString(text); m != "" && !e.again {
		e.once(col, fmt.Sprintf("letters like %s are printed so", measure.Quote(m)), "a program has taken letters with accents, or quotation marks, for others", "save the table again as Unicode (UTF-8) where they are right, or correct them")
	}
}

// otherCode matches UTF-8 that was read as Windows-1252.
var otherCode = regexp.MustCompile(`Ã[\x{80}-\x{BF}€‚ƒ„†‡ˆ‰Š‹ŒŽ˜™š›œžŸ]|â(?:€[\x{80}-\x{BF}œ™“”˜¦¢]|‚¬|†[’‘“”]|œ[“”…¨]|[\x{9D}]¤)|â¤|Â[\x{A0}-\x{BF}]|ðŸ|Å[“‚›¡„]|(?:[ÐÑ][\x{80}-\x{BF}€‚ƒ„…†‡ˆ‰Š‹Œ]){2}|(?:[ÎÏ][\x{80}-\x{BF}€‚ƒ„…†‡ˆ‰Š‹Œ]){2}` + // and as Mac OS Roman, and as code page 850
	`|√[©®ßºº†¥§¶±°¢£¨ªºµ∂∫]|‚Ä[ôòúù¶ìîî]|├[®©¼ñÂÑí│á¡ó]`)

// onlyOf reports a text of words that are all in one of two lists, or are numbers, and at least one of which is in the first.
func onlyOf(text string, list, beside map[string]bool) (certain bool) {
	for _, w := range strings.Fields(plainLetters(text)) {
		if !list[w] && !beside[w] && strings.Trim(w, "0123456789") != "" {
			return false
		}
		certain = certain || list[w]
	}
	return certain
}

// noLine tells of what is printed in the line below a text, and says where a block goes, or by when, or is a remark.
func (e *entry) noLine(m meaning, col *Column, text string) {
	if len(text) > 60 {
		return
	}
	switch {
	case m == asWhere && (whereOnPage.MatchString(text) || onlyOf(text, placeWords, besidePlaces)), m == asWhen && (whenDue.MatchString(text) || onlyOf(text, dueWords, besideDue)), strings.HasSuffix(text, "?"), remark(text), toSeeCells.MatchString(text), strings.EqualFold(text, "same place"):
		e.noteAside(col, fmt.Sprintf("%s is printed in the line below the text", measure.Quote(text)), fmt.Sprintf("the column %s is taken for %s", measure.Quote(col.Heading), m), "if it is for the page or for you, give the column another heading, as Note")
	}
}

// pageOrStock tells of a page that is called like a stock, or by words of one, where the row names none.
func (e *entry) pageOrStock(b *Block) {
	c, _ := e.cell(asStock)
	_, col := e.cell(asPage)
	words := slices.DeleteFunc(strings.Fields(plainLetters(b.Page)), func(w string) bool { return w == "page" || w == "sheet" || w == "paper" || w == "the" || w == "on" })
	if len(words) == 0 || c != nil || !slices.ContainsFunc(e.knownStocks(), func(s stockName) bool { return allIn(words, s.words) }) {
		return
	}
	e.noteAside(col, fmt.Sprintf("the page is called %s, like a stock, and the block is printed on %s", measure.Quote(b.Page), b.Stock), fmt.Sprintf("the column %s is taken for Page", measure.Quote(col.Heading)), "if it is the stock, head the column Stock")
}

// doubted tells of a question mark behind what a cell says, which is taken for sure.
func (e *entry) doubted(col *Column, text string) {
	if strings.Contains(text, "?") {
		e.noteAside(col, fmt.Sprintf("%s is taken as if it had no question mark", measure.Quote(line(text))), "", "ask, and take the question mark away")
	}
}

// oddSigns reports signs around a stock's name that may say something of it, and that the stock itself has not: vellum?; (vellum); -vellum.
func oddSigns(text, name string) bool {
	text = strings.Trim(strings.TrimSpace(text), `.,;:!"'“”„«»‘’`)
	ends := strings.IndexFunc(text, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }) > 0
	return ends || strings.ContainsFunc(text, func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.IsMark(r) && !unicode.IsSpace(r) && !strings.ContainsRune("-_/&+.,'’", r) && !strings.ContainsRune(name, r)
	}) || strings.HasSuffix(text, "-") || strings.HasSuffix(text, "/") || strings.HasSuffix(text, "+") && !strings.HasSuffix(name, "+")
}

// denials are words that say no of what stands behind them, in the languages that headings are known in, and besideDenials stand behind those that stand behind a stock.
var (
	denials       = wordsOf("not no without except never non nothing avoid skip kein keine keinen keinem nicht nichts nix ohne pas sans aucun sin senza niet geen zonder isnt dont doesnt instead but than other wont")
	besideDenials = wordsOf("wanted needed thanks thank you more please do allowed liked good")
	// noDenial matches denials of something else: No. 2 vellum, non-glossy, not too thick, no preference.
	noDenial    = regexp.MustCompile(`(?i)\b(?:no\.?\s?\d+|(?:no|non|not|never|nicht)-[^\s,;]+|(?:not|nicht|pas|no)\s(?:too|very|zu|trop)\s[^\s,;]+|no\s(?:preference|matter|idea))`)
	withoutSign = regexp.MustCompile(`(?i)\bw/o\b`)
)

// denied reports a denial before a word of a stock, or at the end behind one: please no vellum; vellum: no.
func denied(text string, all []stockName) bool {
	names := func(w string) bool {
		return slices.ContainsFunc(all, func(t stockName) bool { return allIn([]string{w}, t.words) })
	}
	of := func(denial string) string { // which is one all the same where it is of a stock: no-vellum
		if slices.ContainsFunc(strings.Fields(plainLetters(denial)), names) {
			return strings.ReplaceAll(denial, "-", " ")
		}
		return " "
	}
	words := strings.Fields(plainLetters(noDenial.ReplaceAllStringFunc(withoutSign.ReplaceAllString(text, "without"), of)))
	no, behind := -1, false
	for i, w := range words {
		switch {
		case names(w):
			if no >= 0 {
				return true
			}
			behind = true
		case denials[w] && no < 0:
			no = i
		}
	}
	return behind && no >= 0 && !slices.ContainsFunc(words[no+1:], func(w string) bool { return !besideDenials[w] })
}

// muchShorter tells of the few texts of a table that have a word or some, and no end of a sentence, where the others are long and have one: a remark may be
// among them, in whatever language.
func (s *Sheet) muchShorter(blocks []Block) {
	const few, long, least = 5, 9, 6 // words of a short text, of the usual one at least, and texts to know what is usual
	if s.Desk || len(blocks) < least {
		return
	}
	var counts []int
	var short []string
	ended := 0
	for i := range blocks {
		text := strings.TrimSpace(flat(blocks[i].Text))
		n, last := len(strings.Fields(text)), []rune(text)
		counts = append(counts, n)
		switch {
		case len(last) > 0 && unicode.IsPunct(last[len(last)-1]), strings.ContainsAny(text, "·•|/*"): // or a list of words, which is no remark
			ended++
		case n <= few && len(text) <= 60:
			short = append(short, fmt.Sprintf("%s in row %d", measure.Quote(line(text)), blocks[i].Place.Row))
		}
	}
	slices.Sort(counts)
	if len(short) == 0 || counts[len(counts)/2] < long || ended < len(blocks)*3/4 || len(short) > max(2, len(blocks)/10) {
		return
	}
	if n := len(short) - 30; n > 0 {
		short = append(short[:30], fmt.Sprintf("%d more", n))
	}
	s.problems.Note(problem.Place{File: s.File, Sheet: s.Name}, "much shorter than the other texts, and printed as they stand: "+problem.And(short), "", "if one is a remark and no text, type the text, or leave the block out")
}
