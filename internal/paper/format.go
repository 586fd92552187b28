package paper

import "io"

// Format is a form in which documents are written.
type Format struct {
	Name string // also the ending of its files
	Type string // its media type, as the IANA registry has it
	// Write writes a document; CSV knows no size of paper.
	Write func(w io.Writer, d *Document, size Size) error
}

// Formats lists the forms, the one most asked for first.
func Formats() []Format {
	csv := func(w io.Writer, d *Document, _ Size) error { return WriteCSV(w, d) }
	return []Format{
		{"pdf", "application/pdf", WritePDF},
		{"html", "text/html; charset=utf-8", WriteHTML},
		{"xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", WriteXLSX},
		{"csv", "text/csv; charset=utf-8", csv},
	}
}

// FindFormat finds a form by its name.
func FindFormat(name string) (Format, bool) {
	for _, f := range Formats() {
		if f.Name == name {
			return f, true
		}
	}
	return Format{}, false
}
