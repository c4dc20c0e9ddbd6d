package press

import (
	"bytes"
	"encoding/xml"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

// describe gives the catalogue the document's language and its metadata as XMP (ISO 16684-1), which say what the information
// dictionary says. Neither names a date: none is known, for the same input gives the same bytes.
func describe(all *model.Context, d *Document) error {
	catalog, err := all.Catalog()
	if err != nil {
		return err
	}
	if d.Language != "" {
		catalog["Lang"] = types.StringLiteral(d.Language)
	}
	ref, err := all.IndRefForNewObject(types.StreamDict{
		Dict: types.Dict{"Type": types.Name("Metadata"), "Subtype": types.Name("XML")}, // not compressed, for tools that look for it
		Raw:  xmp(clean(d.Title, longestProperty), d.Language),
	})
	if err != nil {
		return err
	}
	catalog["Metadata"] = *ref
	return nil
}

// xmp is a packet of metadata.
func xmp(title, language string) []byte {
	var b bytes.Buffer
	b.WriteString("<?xpacket begin=\"\ufeff\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n" + // the identifier is the standard's
		`<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">` + "\n" +
		`<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmp="http://ns.adobe.com/xap/1.0/">` + "\n" +
		`<dc:format>application/pdf</dc:format>` + "\n")
	if title != "" {
		b.WriteString(`<dc:title><rdf:Alt><rdf:li xml:lang="x-default">`)
		xml.EscapeText(&b, []byte(title)) // a bytes.Buffer does not fail
		b.WriteString("</rdf:li></rdf:Alt></dc:title>\n")
	}
	if language != "" {
		b.WriteString("<dc:language><rdf:Bag><rdf:li>")
		xml.EscapeText(&b, []byte(language))
		b.WriteString("</rdf:li></rdf:Bag></dc:language>\n")
	}
	b.WriteString("<xmp:CreatorTool>" + creator + "</xmp:CreatorTool>\n</rdf:Description></rdf:RDF></x:xmpmeta>\n<?xpacket end=\"r\"?>")
	return b.Bytes()
}
