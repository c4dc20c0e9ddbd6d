package config

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/currency"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// currencies are ways to write one currency in an amount: its sign, its code in ISO 4217, its names (from memory). Of those that several
// countries call alike the codes differ among each other.
var currencies = [][]string{{"€", "eur", "euro", "euros"}, {"$", "usd", "us$", "us $", "us", "dollar", "dollars"}, {"£", "gbp", "pound", "pounds", "quid"}, {"¥", "jpy", "yen", "円"}, {"¥", "cny", "元", "rmb"},
	{"kr", "sek", "krona", "kronor"}, {"kr", "nok", "krone", "kroner"}, {"kr", "dkk", "krone", "kroner"}, {"fr", "chf", "sfr", "franc", "francs", "franken"}, {"zł", "zl", "pln", "zloty"},
	{"$", "cad", "ca$", "c$"}, {"$", "aud", "au$", "a$"}, {"$", "nzd", "nz$"}, {"rs", "₹", "inr", "rupees"},
	{"kč", "kc", "czk"}, {"ft", "huf", "forint"}, {"lei", "ron"}, {"лв", "лв.", "bgn"}, {"₽", "руб", "р", "rub"}, {"₺", "tl", "try"}, {"r", "zar", "rand"}, {"rm", "myr"}, {"din", "rsd"}, {"₴", "грн", "uah"}}

// hundredths are words for parts of a currency: an amount in them is a hundredth of what its number says.
var hundredths = []string{"cent", "cents", "ct", "cts", "c", "¢", "p", "pence", "penny", "øre", "öre", "rappen", "rp", "%"}

// InHundredths reports an amount in a currency's small coin, as "60 ct".
func InHundredths(amount string) bool {
	return slices.Contains(hundredths, plainSign(besideNumber(amount)))
}

// besideNumber is what stands beside the number of an amount.
func besideNumber(amount string) string {
	return strings.TrimFunc(amount, func(r rune) bool { return unicode.IsDigit(r) || unicode.IsSpace(r) || strings.ContainsRune(".,-+", r) })
}

// plainSign is a sign as signs are compared.
func plainSign(sign string) string { return strings.ToLower(strings.Trim(sign, " .")) }

// ofOne are words that say of an amount that it is for one.
var ofOne = []string{"ea", "each", "pc", "pcs", "piece", "per", "a", "an", "one", "sheet", "page", "card"}

// SignOf is the sign, the letters or the name of a currency in an amount as it was typed: "€" in "0,60 € each"; "" where it has none. Usual is how the job writes
// its own, or "". It is strange where something else stands there: "5.99 a pack".
func SignOf(amount, usual string) (sign string, strange bool) {
	known := func(s string) bool { return IsCurrency(s) || usual != "" && plainSign(s) == plainSign(usual) }
	if whole := besideNumber(amount); whole == "" || known(whole) {
		return whole, false
	}
	for _, w := range strings.FieldsFunc(amount, func(r rune) bool {
		return unicode.IsDigit(r) || unicode.IsSpace(r) || strings.ContainsRune(".,-+/'’:", r)
	}) {
		switch {
		case slices.Contains(ofOne, plainSign(w)):
		case known(w) && (sign == "" || SameSign(sign, w)): // $5 CAD: the code says more
			sign = w
		default:
			return "", true
		}
	}
	return sign, false
}

// IsCurrency reports a sign, a code or a name of a currency that is known: one of those above, any with a currency's sign, as R$, or a code of ISO 4217, which
// those that are words of English are in capitals only.
func IsCurrency(word string) bool {
	if slices.ContainsFunc(currencies, func(ways []string) bool { return slices.Contains(ways, plainSign(word)) }) {
		return true
	}
	if i := strings.IndexFunc(word, func(r rune) bool { return unicode.Is(unicode.Sc, r) }); i >= 0 {
		_, more := utf8.DecodeRuneInString(word[i:])
		letters := word[:i] + word[i+more:]
		return len(letters) <= 3 && !strings.ContainsFunc(letters, func(r rune) bool { return !unicode.IsUpper(r) })
	}
	_, err := currency.ParseISO(word)
	return err == nil && len(word) == 3 && (word == strings.ToUpper(word) || !slices.Contains([]string{"all", "top", "cup", "pen", "try", "mad", "bam", "mop", "gel", "sos"}, strings.ToLower(word)))
}

// SameSign reports two ways to write one currency.
func SameSign(a, b string) bool {
	a, b = plainSign(a), plainSign(b)
	return a == b || slices.ContainsFunc(currencies, func(ways []string) bool { return slices.Contains(ways, a) && slices.Contains(ways, b) })
}

// Signs are the ways in which a job writes its currency, from the one that is printed on. A sign that several countries use says less than a code.
type Signs []string

// Take takes one more way, and is the one among the others that is of another currency: then it is not taken. "": there is none.
func (s *Signs) Take(sign string) (other string) {
	sign = strings.TrimSpace(sign)
	for _, o := range *s {
		if !SameSign(sign, o) {
			return o
		}
	}
	if !slices.Contains(*s, sign) {
		*s = append(*s, sign)
	}
	return ""
}

// OtherSign is what there is to say of an amount in another currency than the others of a job.
func OtherSign(at problem.Place, sign, usual string) problem.Problem {
	return problem.Problem{Severity: problem.Note, Kind: problem.ForOrganiser, Place: at, What: fmt.Sprintf("an amount is in %s, and others are in %s", measure.Quote(sign), measure.Quote(usual)),
		Cause: "the account has one currency: all are added up as they stand, as " + usual, Hint: "write what it comes to in " + usual}
}
