package table

import "bytes"

// DeskMark heads the last column of the sheet of lists in the workbook that a desk keeps a job in: below it stands which state of
// the job the workbook shows. Spreadsheet programs keep cells, also those that drop a workbook's properties.
const DeskMark = "Desk"

// desk finds the mark of a desk's workbook, and the state that it shows: the cells below the mark.
func (f *File) desk() (state []string, marked bool) {
	for _, s := range f.Sheets {
		if !s.IsOurs() || s.Name != "Lists" {
			continue
		}
		cells := s.Rows[0].Cells
		last := cells[len(cells)-1]
		if last.Text != DeskMark {
			continue
		}
		for i := 1; i < len(s.Rows); i++ {
			if c := s.Rows[i].At(last.Col); c != nil {
				state = append(state, c.ExactText())
			}
		}
		return state, true
	}
	return nil, false
}

// DeskWrote reports the bytes of a workbook that a desk has written, whoever has saved it since. Of what is damaged, empty or no table it cannot be told, and it is not
// sure. It looks at no more sheets than it has to, so that a folder of workbooks is looked through soon.
func DeskWrote(data []byte) (wrote, sure bool) {
	switch kind, _ := sniff(data); kind {
	case formatText:
		return false, true
	case formatOther:
		return false, false
	}
	defer func() {
		if recover() != nil { // as in readWorkbook
			wrote, sure = false, false
		}
	}()
	b := newBook("", data)
	parts, why := b.open()
	if why != nil {
		return false, false
	}
	for _, p := range parts {
		if p.name != "Lists" {
			continue
		}
		x := sheetReader{book: b, sheet: &Sheet{Name: p.name}}
		if raw, ok := b.unpack(p.path); !ok || x.read(bytes.NewReader(raw)) != nil {
			return false, false
		}
		_, wrote = (&File{Sheets: []*Sheet{x.sheet}}).desk()
	}
	return wrote, true
}
