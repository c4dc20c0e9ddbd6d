package problem

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Count is a number with its noun: "1 sheet", "3 sheets". A noun that makes its plural in another way gives it after a bar:
// "person|people".
func Count(n int, noun string) string { return strconv.Itoa(n) + " " + Noun(n, noun) }

// Noun is a noun as it stands beside a number, like Count's.
func Noun(n int, noun string) string {
	one, many, irregular := strings.Cut(noun, "|")
	switch {
	case n == 1:
		return one
	case irregular:
		return many
	}
	return one + "s"
}

// And joins with commas and a last "and".
func And(words []string) string {
	switch n := len(words); n {
	case 0:
		return ""
	case 1:
		return words[0]
	default:
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
}

// Ranges writes ascending numbers, those that follow one another as one: "3-7", "9", where "-" is given to stand between the ends.
func Ranges(numbers []int, between string) (out []string) {
	for i := 0; i < len(numbers); {
		j := i + 1
		for j < len(numbers) && numbers[j] <= numbers[j-1]+1 {
			j++
		}
		text := strconv.Itoa(numbers[i])
		if numbers[j-1] > numbers[i] {
			text += between + strconv.Itoa(numbers[j-1])
		}
		out, i = append(out, text), j
	}
	return out
}

// Few is the words where they are no more than most, else the first of them and how many more there are: most in all.
func Few(words []string, most int) []string {
	if len(words) <= most {
		return words
	}
	return append(words[:most-1:most-1], strconv.Itoa(len(words)-most+1)+" more")
}

// Capital is a text with its first letter as a capital.
func Capital(text string) string {
	r, n := utf8.DecodeRuneInString(text)
	if n == 0 {
		return text
	}
	return string(unicode.ToUpper(r)) + text[n:]
}
