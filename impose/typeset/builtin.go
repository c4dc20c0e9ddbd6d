package typeset

import (
	"codeberg.org/go-fonts/dejavu/dejavusans"
	"codeberg.org/go-fonts/dejavu/dejavusansbold"
	"codeberg.org/go-fonts/dejavu/dejavusansboldoblique"
	"codeberg.org/go-fonts/dejavu/dejavusansoblique"
	"codeberg.org/go-fonts/dejavu/dejavuserif"
	"codeberg.org/go-fonts/dejavu/dejavuserifbold"
	"codeberg.org/go-fonts/dejavu/dejavuserifbolditalic"
	"codeberg.org/go-fonts/dejavu/dejavuserifitalic"
	"codeberg.org/go-fonts/latin-modern/lmroman10bold"
	"codeberg.org/go-fonts/latin-modern/lmroman10bolditalic"
	"codeberg.org/go-fonts/latin-modern/lmroman10italic"
	"codeberg.org/go-fonts/latin-modern/lmroman10regular"
	"codeberg.org/go-fonts/liberation/liberationmonobold"
	"codeberg.org/go-fonts/liberation/liberationmonobolditalic"
	"codeberg.org/go-fonts/liberation/liberationmonoitalic"
	"codeberg.org/go-fonts/liberation/liberationmonoregular"
	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansbolditalic"
	"codeberg.org/go-fonts/liberation/liberationsansitalic"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"codeberg.org/go-fonts/liberation/liberationserifbold"
	"codeberg.org/go-fonts/liberation/liberationserifbolditalic"
	"codeberg.org/go-fonts/liberation/liberationserifitalic"
	"codeberg.org/go-fonts/liberation/liberationserifregular"
	"codeberg.org/go-fonts/stix/stix2textbold"
	"codeberg.org/go-fonts/stix/stix2textbolditalic"
	"codeberg.org/go-fonts/stix/stix2textitalic"
	"codeberg.org/go-fonts/stix/stix2textregular"
)

// builtIn are the families that come with the program, so that a job looks the same on every machine: the plain names,
// the other names that people may know them by, and regular, bold, italic and bold italic.
var builtIn = []struct {
	name  string
	known []string
	faces [4][]byte
}{
	{"Sans", []string{"Liberation Sans"}, [4][]byte{liberationsansregular.TTF, liberationsansbold.TTF, liberationsansitalic.TTF, liberationsansbolditalic.TTF}},
	{"Serif", []string{"Liberation Serif"}, [4][]byte{liberationserifregular.TTF, liberationserifbold.TTF, liberationserifitalic.TTF, liberationserifbolditalic.TTF}},
	{"Typewriter", []string{"Liberation Mono", "Mono"}, [4][]byte{liberationmonoregular.TTF, liberationmonobold.TTF, liberationmonoitalic.TTF, liberationmonobolditalic.TTF}},
	{"Roman", []string{"Latin Modern Roman", "LM Roman 10"}, [4][]byte{lmroman10regular.TTF, lmroman10bold.TTF, lmroman10italic.TTF, lmroman10bolditalic.TTF}},
	{"Book", []string{"STIX Two Text", "STIX Two"}, [4][]byte{stix2textregular.TTF, stix2textbold.TTF, stix2textitalic.TTF, stix2textbolditalic.TTF}},
	{"DejaVu Sans", nil, [4][]byte{dejavusans.TTF, dejavusansbold.TTF, dejavusansoblique.TTF, dejavusansboldoblique.TTF}},
	{"DejaVu Serif", nil, [4][]byte{dejavuserif.TTF, dejavuserifbold.TTF, dejavuserifitalic.TTF, dejavuserifbolditalic.TTF}},
}

// stopgaps are the built-in families that lend letters to a face without them, in this order.
var stopgaps = []string{"DejaVu Sans", "DejaVu Serif", "Book", "Sans"}
