// Package config resolves everything a job can be told - built-in values, tuckmark.yaml, TUCKMARK_ variables, flags -
// once, into one Settings of typed values that later phases take as they are and never change.
//
// The files in the order of the flow: document.go (YAML to values), load.go (where values come from, and which of them
// counts), keys.go (the tables of settings), read.go (text to meaning; colour.go for colours, sizes.go for sizes of type,
// costs.go for what is shared besides paper, currency.go for the signs of amounts, language.go for languages), resolve.go (printers and
// stocks, names across them, what only shows at the end), settings.go (what comes out). near.go finds the name that was
// probably meant; amend.go writes a value into a file. builtin.yaml holds the stocks and the printer that are there without configuration, in the language of
// a tuckmark.yaml and read by the same code.
//
// The tables of keys are the only list of settings. A row has the name, what it takes, what holds without it (as text, read
// like anything typed), what it does, an example that TestWays tries, and how it is read. Unknown names, near names, variables (TUCKMARK_TYPE_FONT for
// type.font), flags and the documentation (Table, kept as keys.md) all go by it: to add a setting, add a row. Rows are read
// in their order, units first, since units tell what a bare number means.
//
// A value stays text until it is read, and carries its origin. The library that merges the sources, viper, knows no lines,
// folds names and makes 0.5 of 0.50; so what it merges are leaves of our own kind, the text as typed with its file and
// line, or with the variable or flag it came from. A list (stocks, printers) is one leaf, whose items name themselves in
// a key of their own, because viper would fold and split names used as keys.
//
// The YAML library's lines are often off, and its words are for programmers. What a person can see is looked for first:
// tabs, bytes that are no UTF-8, a colour after a #, which YAML takes for a remark. For the rest the file is read again
// with ever fewer lines until what is left is right; the next line is where the trouble begins. Short-hands (& and *) are
// refused: nobody needs them here, and they make a huge file of a small one.
//
// Printers that are given take the place of the built-in one, since nobody prints on a printer that is not there; what one
// does not say is as the built-in's. Stocks are added; one with a built-in's name changes only what it says, and
// “like: vellum” starts from another. A stock that lists no sheets comes on as many of the paper as needed; an empty list
// of sheets says that there are only leftovers.
//
// All that is wrong is found in one run, sorted by line; with an error there are no Settings. A value that a variable or
// flag overrides is not read.
package config
