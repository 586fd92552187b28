package listing

import (
	"bytes"
	"slices"
)

// byteFormat is what kind of file some bytes begin.
type byteFormat uint8

const (
	formatText byteFormat = iota
	formatPacked
	formatGzip
	formatCompound
	formatHTML
	formatJSON
	formatSYLK
	formatDIF
)

// formatOfBytes tells by how a file begins what it is; text is what nothing else speaks against.
func formatOfBytes(head []byte) byteFormat {
	text := bytes.TrimLeft(head, "\xef\xbb\xbf \r\n\t")
	lower := bytes.ToLower(text)
	switch {
	case bytes.HasPrefix(head, []byte("PK\x03\x04")), bytes.HasPrefix(head, []byte("PK\x05\x06")):
		return formatPacked
	case bytes.HasPrefix(head, []byte("\x1f\x8b")):
		return formatGzip
	case bytes.HasPrefix(head, []byte("\xd0\xcf\x11\xe0")):
		return formatCompound
	case isHTML(lower):
		return formatHTML
	case isJSON(text):
		return formatJSON
	case bytes.HasPrefix(head, []byte("ID;P")):
		return formatSYLK
	case isDIF(head):
		return formatDIF
	}
	return formatText
}

func isHTML(lower []byte) bool {
	for _, tag := range []string{"<!doctype html", "<html", "<head", "<meta", "<body", "<table", "<div", "<center"} {
		if bytes.HasPrefix(lower, []byte(tag)) {
			return true
		}
	}
	return (bytes.HasPrefix(lower, []byte("<?xml")) || bytes.HasPrefix(lower, []byte("<!--"))) && bytes.Contains(lower, []byte("<html"))
}

// isJSON: an object that begins with a name, or a list that begins with a row. "[Readings]" is a title.
func isJSON(text []byte) bool {
	if len(text) < 2 {
		return false
	}
	rest := bytes.TrimLeft(text[1:], " \r\n\t")
	if len(rest) == 0 {
		return false
	}
	switch text[0] {
	case '{':
		return rest[0] == '"' || rest[0] == '}'
	case '[':
		return rest[0] == '[' || rest[0] == '{' || rest[0] == '"' || rest[0] == ']' && len(rest) == 1 || bytes.HasPrefix(rest, []byte("null,"))
	}
	return false
}

// isDIF: the first topic is TABLE, its second line two numbers.
func isDIF(head []byte) bool {
	lines := bytes.SplitN(head, []byte("\n"), 3)
	return len(lines) == 3 && string(bytes.TrimSpace(lines[0])) == "TABLE" && string(bytes.TrimSpace(lines[1])) == "0,1"
}

// refuse recognises files that hold no listing, or one that cannot be read.
func refuse(name string, head []byte) error {
	lower := bytes.ToLower(bytes.TrimLeft(head, "\xef\xbb\xbf \r\n\t"))
	fail := func(trouble, hint string) error {
		return &FileError{File: name, Trouble: trouble, Hint: hint}
	}
	switch {
	case len(head) == 0:
		return fail("the file is empty", "")
	case bytes.HasPrefix(head, []byte("%PDF")):
		return fail("this is a PDF, whose text has places on paper and no cells", "ask for the list as .xlsx or .csv, or copy the table from a viewer into a spreadsheet program and save it")
	case isPicture(head):
		return fail("this is a picture, which nothing here reads as text", "ask for the list as .xlsx or .csv, or type the table into a spreadsheet program")
	case bytes.HasPrefix(head, []byte("Rar!")), bytes.HasPrefix(head, []byte("7z\xbc\xaf\x27\x1c")), bytes.HasPrefix(head, []byte("\xfd7zXZ\x00")), bytes.HasPrefix(head, []byte("BZh")):
		return fail("this is an archive of a kind that is not read", "unpack it, or pack it as .zip")
	case bytes.HasPrefix(lower, []byte("<?xml")) && !isHTML(lower):
		return fail("this is XML, whatever its name says", "open it in a spreadsheet program and save it as .xlsx or .csv")
	case bytes.HasPrefix(head, []byte("{\\rtf")):
		return fail("this is a text document, not a listing", "copy its table into a spreadsheet program and save it as .xlsx or .csv")
	}
	return nil
}

// isPicture: PNG, JPEG, GIF, TIFF, BMP, and the containers of photos of telephones.
func isPicture(head []byte) bool {
	for _, begin := range []string{"\x89PNG", "\xff\xd8\xff", "GIF8", "II*\x00", "MM\x00*"} {
		if bytes.HasPrefix(head, []byte(begin)) {
			return true
		}
	}
	if len(head) < 16 {
		return false
	}
	return string(head[:4]) == "RIFF" && string(head[8:12]) == "WEBP" ||
		string(head[:2]) == "BM" && slices.Equal(head[6:10], []byte{0, 0, 0, 0}) ||
		string(head[4:8]) == "ftyp" && slices.Contains([]string{"heic", "heix", "mif1", "avif"}, string(head[8:12]))
}
