package typeset

import (
	"slices"
	"strings"
	"unicode"

	"github.com/go-text/typesetting/language"
)

// lang is a language whose marks are known.
type lang uint8

const (
	rootLang lang = iota // none that is known: CLDR's marks for the root of all languages
	langEn
	langDe
	langFr
	langEs
	langIt
	langPt
	langNl
	langSv
	langDa
	langNo
	langFi
	langPl
	langRu
	langEl
	langs
)

// codes are the languages as the settings name them (BCP 47).
var codes = [langs]string{langEn: "en", langDe: "de", langFr: "fr", langEs: "es", langIt: "it", langPt: "pt", langNl: "nl", langSv: "sv", langDa: "da",
	langNo: "nb", langFi: "fi", langPl: "pl", langRu: "ru", langEl: "el"}

// langOf is the language of a code, or rootLang.
func langOf(code string) lang { return lang(max(0, slices.Index(codes[:], code))) }

// commonShare is how many words in a hundred must be among the common words of a language for a text to count as one in it (found by
// trial; see the tests).
const commonShare = 8

// commonIn are words that are frequent in a language, those that it shares with its neighbours among them (by trial; see the tests).
var commonIn = [langs]string{
	langEn: `the and of to we my our your with for that this it you she her they their them from were had have has been at by but not who
		when what all are is was a in on he his said`,
	langDe: `der die das und ist nicht ein eine mit wir ich du er sie es den dem des im zu auf von für war waren hat haben am als auch sich
		sagte rief unser mein bis noch wie aber nach`,
	langFr: `le la les et est un une des du de nous je tu il elle vous ne pas que qui dans pour avec sur au aux en était c’est dit voilà mon
		notre l d j qu n s c on par mais ce cette`,
	langEs: `el la los las y es un una de del que no en con por para se su al lo mi fue dijo está muy pero como más nos ella todo`,
	langIt: `il la le lo gli e è un una di del della che non in con per si al ha mi era disse sono ma come più nel anche siamo`,
	langPt: `o a os as e é um uma de do da dos das que não em no na com por para se ao foi disse está mas como mais nos ele ela sem`,
	langNl: `de het een en is niet van wij we ik je hij zij ze met op te in dat die voor was waren ook aan er naar zei mijn onze maar bij`,
	langSv: `och det är inte jag en ett på till av med den var vi som hon han hade sa för att om men så blev i de`,
	langDa: `og det er ikke jeg en et på til af med den var vi som hun han havde sagde for at om men så blev i de der`,
	langNo: `og det er ikke jeg en et på til av med den var vi som hun han hadde sa for å om men så ble i de også`,
	langFi: `ja on ei se oli että hän me minä sinä mutta niin kun kuin myös ovat olivat sanoi meidän vain sitten`,
	langPl: `i w na z do nie się to jest że był była my ja on ona ale jak po za od o już tylko nam powiedział powiedziała`,
}

// languagesOf tells in which languages a word is common: a bit for each.
var languagesOf = func() map[string]uint32 {
	m := map[string]uint32{}
	for l, list := range commonIn {
		for _, w := range strings.Fields(list) {
			m[w] |= 1 << l
		}
	}
	return m
}()

// reads is the language that a block's text reads like: the one most of whose common words are in it, if they are as many as in
// any text of the language; by its script where that is enough. (Common words alone, so that a French name makes no text French.)
func (t *textSetter) reads(paragraphs []typed) lang {
	words, hits := 0, [langs]int{}
	var word []rune
	for i := range paragraphs {
		text := paragraphs[i].text
		for j := 0; j < len(text); {
			if !unicode.IsLetter(text[j]) {
				j++
				continue
			}
			word = word[:0]
			for ; j < len(text) && unicode.IsLetter(text[j]); j++ {
				word = append(word, unicode.ToLower(text[j]))
			}
			words++
			if len(word) > 12 {
				continue
			}
			for bits, l := languagesOf[string(word)], 0; bits != 0; bits, l = bits>>1, l+1 {
				hits[l] += int(bits & 1)
			}
		}
	}
	best := rootLang
	for l := langEn; l < langs; l++ {
		if hits[l] > hits[best] {
			best = l
		}
	}
	if hits[best]*100 < commonShare*words || hits[best] == 0 {
		best = rootLang
	}
	if best == rootLang {
		for i := range paragraphs {
			switch leadingScript(paragraphs[i].text) {
			case language.Cyrillic:
				return langRu
			case language.Greek:
				return langEl
			}
		}
	}
	return best
}
