package ipp

// Tag says what a value is, or which group begins (RFC 8010, 3.5).
type Tag byte

// The tags that are used here.
const (
	OperationGroup Tag = 0x01
	JobGroup       Tag = 0x02
	end            Tag = 0x03
	PrinterGroup   Tag = 0x04

	subscriptionGroup Tag = 0x06 // RFC 3995, 7.1

	NoValue    Tag = 0x13
	Integer    Tag = 0x21
	Boolean    Tag = 0x22
	Enum       Tag = 0x23
	Octets     Tag = 0x30
	DateTime   Tag = 0x31
	Resolution Tag = 0x32
	Range      Tag = 0x33
	Collection Tag = 0x34
	TextLang   Tag = 0x35
	NameLang   Tag = 0x36
	closes     Tag = 0x37 // a collection
	Text       Tag = 0x41
	Name       Tag = 0x42
	Keyword    Tag = 0x44
	URI        Tag = 0x45
	Charset    Tag = 0x47
	Language   Tag = 0x48
	MimeType   Tag = 0x49
	member     Tag = 0x4a // of a collection: its name
)

// Value is one value of an attribute.
type Value struct {
	Tag     Tag
	Int     int         // of Integer, Enum, Boolean (nought or one); the lower bound of a Range
	Upper   int         // bound of a Range
	Text    string      // of all others, a TextLang or NameLang without its language; the octets as they come where they are no text
	Members []Attribute // of a Collection
	raw     string      // octets of values with several fields, so that they are written as they came
}

// Attribute is a name with one value or more.
type Attribute struct {
	Name   string
	Values []Value
}

// Attr is an attribute of texts.
func Attr(name string, tag Tag, texts ...string) Attribute {
	a := Attribute{Name: name}
	for _, t := range texts {
		a.Values = append(a.Values, Value{Tag: tag, Text: t})
	}
	return a
}

// Number is an attribute of one number.
func Number(name string, tag Tag, n int) Attribute {
	return Attribute{Name: name, Values: []Value{{Tag: tag, Int: n}}}
}

// Collect is an attribute that is one collection.
func Collect(name string, members ...Attribute) Attribute {
	return Attribute{Name: name, Values: []Value{{Tag: Collection, Members: members}}}
}

// Attributes are those of a group, or the members of a collection.
type Attributes []Attribute

// Values are those of the attribute of that name; none where it is not there.
func (a Attributes) Values(name string) []Value {
	for _, one := range a {
		if one.Name == name {
			return one.Values
		}
	}
	return nil
}

// Texts are the values of an attribute that are text or keyword.
func (a Attributes) Texts(name string) []string {
	var out []string
	for _, v := range a.Values(name) {
		if v.Tag >= TextLang && v.Tag != closes {
			out = append(out, v.Text)
		}
	}
	return out
}

// Text is the first of the texts, or "".
func (a Attributes) Text(name string) string {
	for _, t := range a.Texts(name) {
		return t
	}
	return ""
}

// Int is the first value of an attribute that is a number, or nought.
func (a Attributes) Int(name string) int {
	for _, v := range a.Values(name) {
		if v.Tag == Integer || v.Tag == Enum || v.Tag == Boolean {
			return v.Int
		}
	}
	return 0
}
