package config

// AutoLanguage is Settings.Language where each text goes by what it reads like.
const AutoLanguage = "auto"

// languageNames are the languages whose rules of hyphenation are at hand: as settings write them (BCP 47), and their name.
var languageNames = []struct{ code, name string }{
	{"en", "English"}, {"de", "German"}, {"fr", "French"}, {"es", "Spanish"}, {"it", "Italian"}, {"pt", "Portuguese"}, {"nl", "Dutch"},
	{"sv", "Swedish"}, {"da", "Danish"}, {"nb", "Norwegian"}, {"fi", "Finnish"}, {"pl", "Polish"},
}

// languages are what can be said of the language, languageCodes what is proposed. The documentation does not list them, so that a
// language more is its table and a row here.
var languages, languageCodes = func() (map[string]string, []string) {
	means := map[string]string{AutoLanguage: AutoLanguage, "none": "", "no": "", "en-gb": "en", "en-us": "en"}
	codes := []string{AutoLanguage}
	for _, l := range languageNames {
		means[l.code], means[fold(l.name)] = l.code, l.code
		codes = append(codes, l.code)
	}
	return means, append(codes, "none")
}()

// LanguageTag is the language of the job's texts as files name it (BCP 47), or "". Where each text goes by what it reads like it is
// English, as the words of the guides are.
func (s *Settings) LanguageTag() string {
	if s.Language == AutoLanguage {
		return "en"
	}
	return s.Language
}
