package intake

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// What a heading says beside which field it is of: Text (vellum), Tuck (left), Width + 1/8. Nobody reads it, so it is told.

var (
	// reckoned matches what somebody adds to a measure in its heading, or takes off.
	reckoned = regexp.MustCompile(`[+−÷=]|\s[-–]\s?\d|\d+\s?/\s?\d+|½|¼|¾|⅛|/\s?\d|\b\d+\s?[x×]\s`)
	// saysNoMore are words of headings that say nothing of what is printed, those of other languages last.
	saysNoMore = wordsOf("big large how should as read reads appear appears exactly write written below above here into put tell us fill filled down each every all any many there per row cell free choose pick select list listed see sample samples example examples " +
		"ex ie maximum characters letters about if needed known applicable possible necessary wanted will can may have has with for to in on at by from or that this these those which who whom whose block blocks people person everyone please thanks thank so we i me us " +
		"give given get gets go goes use used just only also same different other another new usual standard normal preferred preference favourite favorite choice option options details info information number no nr num total measured measure measurement actual exact real " +
		"dein deine deinen deinem ihr ihre euer eure ton votre vos tu su sus il tuo je jouw uw final typed written paste no more than available journal window shows show its twice english german french spanish italian dutch polish language " +
		"leer wie oben wenn falls sonst gleich andere anders und oder fur der die das vide sinon comme si et ou pour le la les vacio igual y o para el los vuoto come e per il leeg zelfde als en of voor de het")
	// ofTexts stand in the headings of texts and lines as well.
	ofTexts = wordsOf("page pages photo photos picture pictures album book layout scrapbook event day trip story stories label labels note line lines short long caption bottom top beginning end question answer main full")
	// ofNames stand in the headings of names as well.
	ofNames = wordsOf("album owner cropper initials last first middle family given name names badge back sort sorted envelope table member attendee attendees participants scrappers crafter")
	// edgeWords are the sides of a block. A tuck is on top by itself, so that a heading may say so.
	edgeWords = wordsOf("left right bottom side sides top")
)

// further are the words of a column's heading that say more than which field it is.
func further(c *Column) (words []string) {
	switch c.as {
	case asUnknown, asNote, asFits, asID, asCode, asHold, asKept, asUnit:
		return nil
	}
	if _, plain := synonyms[plainLetters(c.Heading)]; plain || len(c.Heading) > longestSaying || Made(c.Heading) || c.told || c.Guess == "near" || c.Guess == "holds" {
		return nil
	}
	heading := withoutAside(c.Heading)
	all := strings.Fields(plainLetters(heading))
	for i, w := range all {
		w = strings.TrimRight(w, "0123456789")
		figures := w == ""
		numbered := i+1 < len(all) && strings.Trim(all[i+1], "0123456789") == ""
		switch {
		case (c.as == asTuck || c.as == asInset) && edgeWords[w] && !(w == "top" && c.as == asTuck):
		case w == "page" && c.as != asPage && numbered:
			w += " " + all[i+1]
		case figures, fieldWords[c.as][w], saysNoMore[w], fillers[w], len([]rune(w)) == 1, beforeOne[w], behindOne[w], isUnit(w) && c.Unit != "",
			c.as != asTuck && c.as != asInset && (plainlySaid[w] && c.ofSpace() || saidOfLines[w] && !c.as.measured() && c.as != asInk && c.as != asFont && c.as != asSize),
			ofTexts[w] && (c.as == asJournaling || c.as == asTitle || c.as == asWho || c.as == asWhere || c.as == asWhen || c.as == asPage),
			ofNames[w] && (c.as == asName || c.as == asSurname || c.as == asPage),
			c.set > 0 && (countedIn(w) || betweenCounts[w]):
			continue
		}
		words = append(words, measure.Quote(w))
	}
	if c.as.measured() && c.set == 0 {
		if sign := strings.TrimSpace(reckoned.FindString(heading)); sign != "" {
			words = append(words, measure.Quote(sign))
		}
	}
	return slices.Compact(words)
}

// countedIn reports a word that counts blocks: second, 2nd.
func countedIn(word string) bool {
	n, _ := anyCount(strings.ToUpper(word))
	return n > 0 || slices.Contains(ordinals, word) || len(word) > 2 && strings.Trim(word[:len(word)-2], "0123456789") == ""
}

// noteFurther tells of such words.
func (s *Sheet) noteFurther(c *Column, words []string) {
	s.problems.Note(s.place(&s.Rows[s.Head], c), fmt.Sprintf("the heading %s says more than %s, and that is not read: %s", measure.Quote(c.Heading), c.as, problem.And(words)), "",
		"if it matters for the print, say it in each row, in a column of its own as the form has them")
	s.problems.OnPage("if it matters for the print, say it in each row")
}

// asksToPrint reports a heading that asks whether, or how often, a block is printed.
func asksToPrint(heading string) bool {
	words := strings.Fields(plainLetters(heading))
	return len(words) > 0 && len(words) < 6 && !asksOther[words[0]] && slices.ContainsFunc(words, func(w string) bool { return ofPrinting[w] })
}

// asksOther begins questions of something else: What should we print?
var asksOther = wordsOf("what which where who whom")

// ofPrinting are words of headings that ask so.
var ofPrinting = wordsOf("print printing printed skip cancel cancelled canceled withdrawn omit include twice delete drop leave reprint hold wanted use drucken imprimer imprimir")

// nameSaid matches what the name of a worksheet may say of its blocks.
var nameSaid = regexp.MustCompile(`(?i)\b(?:\d+|two|three|four|five) ?(?:copies|x|each|of each)\b|\bx ?\d+\b|\bcopies ?\d+\b|\b(?:twice|double)\b|\bmirror(?:ed)?\b`)

// noteNameSaid tells of a worksheet whose name says a page, a number of copies or an ink that no column does.
func (s *Sheet) noteNameSaid() {
	if s.Desk {
		return
	}
	var as meaning
	name := strings.TrimSpace(s.Name)
	_, ink := config.KnownColour(strings.TrimPrefix(strings.TrimSpace(strings.TrimSuffix(strings.ToLower(name), " ink")), "in "))
	switch {
	case nameSaid.MatchString(name):
		as = asCopies
	case onPage.MatchString(name):
		as = asPage
	case strings.EqualFold(name, "no tuck"):
		as = asTuck
	case ink, strings.HasSuffix(strings.ToLower(name), " ink"):
		as = asInk
	default:
		return
	}
	if s.column(as) == nil {
		s.problems.Note(problem.Place{File: s.File, Sheet: s.Name}, fmt.Sprintf("what the sheet's name says is not read: %s", measure.Quote(name)), "there is no column "+as.String(), "if it matters for the print, say it in a column "+as.String())
	}
}

// onPage matches the name of a worksheet that is a page's.
var onPage = regexp.MustCompile(`(?i)^(?:pages?|pg?\.?|layout|spread) ?\d+(?: ?[-–] ?\d+)?$`)
