package ipp

import (
	"encoding/binary"
	"errors"
)

// ErrMessage says that bytes are no message.
var ErrMessage = errors.New("ipp: this is no IPP message")

// Message is a request or an answer without the document that may follow it.
type Message struct {
	Version uint16 // 0x0200 is 2.0
	Code    uint16 // of the operation; in an answer, of the status
	ID      uint32 // of the request
	Groups  []Group
}

// Group is a run of attributes that belong together.
type Group struct {
	Tag        Tag
	Attributes Attributes
}

// Group is the first group of that kind, or none.
func (m *Message) Group(tag Tag) Attributes {
	for _, g := range m.Groups {
		if g.Tag == tag {
			return g.Attributes
		}
	}
	return nil
}

// Encode is the message as bytes. A name or value of more than 65,535 bytes, which the protocol cannot carry, is cut.
func (m *Message) Encode() []byte {
	b := binary.BigEndian.AppendUint16(nil, m.Version)
	b = binary.BigEndian.AppendUint16(b, m.Code)
	b = binary.BigEndian.AppendUint32(b, m.ID)
	for _, g := range m.Groups {
		b = append(b, byte(g.Tag))
		for _, a := range g.Attributes {
			b = appendAttribute(b, a.Name, a.Values)
		}
	}
	return append(b, byte(end))
}

// appendAttribute writes the values of an attribute; all but the first go without its name (RFC 8010, 3.1.5).
func appendAttribute(b []byte, name string, values []Value) []byte {
	for i, v := range values {
		if i > 0 {
			name = ""
		}
		if v.Tag != Collection {
			b = appendField(b, v.Tag, name, v.octets())
			continue
		}
		b = appendField(b, Collection, name, "") // RFC 8010, 3.1.6
		for _, m := range v.Members {
			b = appendField(b, member, "", m.Name)
			b = appendAttribute(b, "", m.Values)
		}
		b = appendField(b, closes, "", "")
	}
	return b
}

const longest = 1<<16 - 1

func appendField(b []byte, tag Tag, name, value string) []byte {
	name, value = name[:min(len(name), longest)], value[:min(len(value), longest)]
	b = append(b, byte(tag))
	b = append(binary.BigEndian.AppendUint16(b, uint16(len(name))), name...)
	return append(binary.BigEndian.AppendUint16(b, uint16(len(value))), value...)
}

// octets is the value as it is written.
func (v Value) octets() string {
	switch v.Tag {
	case Integer, Enum:
		return string(binary.BigEndian.AppendUint32(nil, uint32(v.Int)))
	case Boolean:
		return string([]byte{byte(v.Int)})
	case Range:
		return string(binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, uint32(v.Int)), uint32(v.Upper)))
	case TextLang, NameLang:
		return v.raw
	}
	return v.Text
}

// Decode reads a message and returns what follows it. No message has more than a hundred thousand values here, and collections
// lie in each other eight deep at most.
func Decode(b []byte) (m *Message, rest []byte, err error) {
	if len(b) < 8 {
		return nil, nil, ErrMessage
	}
	m = &Message{Version: binary.BigEndian.Uint16(b), Code: binary.BigEndian.Uint16(b[2:]), ID: binary.BigEndian.Uint32(b[4:])}
	d := &decoder{b: b[8:]}
	for d.err == nil {
		switch tag := d.tag(); {
		case d.err != nil:
		case tag == end:
			return m, d.b, nil
		case tag < 0x10:
			m.Groups = append(m.Groups, Group{Tag: tag})
		case len(m.Groups) == 0:
			d.err = ErrMessage
		default:
			g := &m.Groups[len(m.Groups)-1]
			name, v := d.value(tag, 0)
			g.Attributes = added(d, g.Attributes, name, v)
		}
	}
	return nil, nil, d.err
}

type decoder struct {
	b     []byte
	count int
	err   error
}

func (d *decoder) tag() Tag {
	if len(d.b) == 0 {
		d.err = ErrMessage
		return end
	}
	t := Tag(d.b[0])
	d.b = d.b[1:]
	return t
}

// field is a name or a value with its length before it.
func (d *decoder) field() string {
	if len(d.b) < 2 {
		d.err = ErrMessage
		return ""
	}
	n := int(binary.BigEndian.Uint16(d.b))
	if len(d.b) < 2+n {
		d.err = ErrMessage
		return ""
	}
	s := string(d.b[2 : 2+n])
	d.b = d.b[2+n:]
	return s
}

// added puts a value to the attributes: one without a name belongs to the last of them.
func added(d *decoder, to []Attribute, name string, v Value) []Attribute {
	switch {
	case d.err != nil:
	case name != "":
		to = append(to, Attribute{Name: name, Values: []Value{v}})
	case len(to) == 0:
		d.err = ErrMessage
	default:
		last := &to[len(to)-1]
		last.Values = append(last.Values, v)
	}
	return to
}

const (
	deepest = 8
	most    = 100_000
)

// value reads what follows a value's tag.
func (d *decoder) value(tag Tag, deep int) (name string, v Value) {
	d.count++
	name = d.field()
	octets := d.field()
	if deep > deepest || d.count > most || tag == member || tag == closes {
		d.err = ErrMessage
	}
	if d.err != nil {
		return
	}
	v.Tag = tag
	bad := false
	number := func(at int) int { return int(int32(binary.BigEndian.Uint32([]byte(octets[at:])))) }
	switch tag {
	case Integer, Enum:
		if bad = len(octets) != 4; !bad {
			v.Int = number(0)
		}
	case Boolean:
		if bad = len(octets) != 1; !bad {
			v.Int = int(octets[0])
		}
	case Range:
		if bad = len(octets) != 8; !bad {
			v.Int, v.Upper = number(0), number(4)
		}
	case TextLang, NameLang: // a language and a text, each with its length (RFC 8010, 3.9)
		v.raw = octets
		two := &decoder{b: []byte(octets)}
		two.field()
		v.Text = two.field()
		bad = two.err != nil
	case Collection:
		v.Members = d.members(deep)
	default:
		v.Text = octets
	}
	if bad {
		d.err = ErrMessage
	}
	return
}

// members reads a collection to its end.
func (d *decoder) members(deep int) []Attribute {
	var out []Attribute
	for name := ""; d.err == nil; {
		switch tag := d.tag(); {
		case d.err != nil:
		case tag == closes:
			d.field()
			d.field()
			return out
		case tag == member:
			d.field()
			name = d.field()
			if name == "" {
				d.err = ErrMessage
			}
		case tag < 0x10:
			d.err = ErrMessage
		default:
			_, v := d.value(tag, deep+1)
			out = added(d, out, name, v)
			name = ""
		}
	}
	return nil
}
