package listing

import (
	"cmp"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"
)

// Workbooks are read here, and not through the library that writes them, because a streaming reader has
// to keep what that one drops: whether a cell is text or a number, and its number format. Without it
// the text "1.10" and the number 1.1 look the same. Part names and elements are those of ECMA-376.

// workbook holds what all sheets share.
type workbook struct {
	*archive
	merged    int // merged ranges that its sheets may still have
	epoch1904 bool
	strings   []string
	formats   []cellFormat // by style number

	struckStyles map[string]bool // by style number
	struckTexts  map[int]bool    // shared strings that are struck out, wholly or in part
}

// openPacked opens what is packed: a workbook of either open format, or an archive of listings.
func (f *File) openPacked(src io.ReaderAt, size int64, lim Limits, depth int) error {
	zr, err := openArchive(f.Name, src, size)
	if err != nil {
		return err
	}
	a := newArchive(f.Name, zr, size, lim)
	switch {
	case a.parts["xl/workbook.xml"] != nil:
		w, note := &workbook{archive: a, merged: lim.MaxMerges}, ""
		if f.tables, err = w.read(); err == nil {
			note, err = w.commentsNote()
		}
		if note != "" {
			f.Notes = append(f.Notes, note)
		}
	case a.parts[odsContent] != nil:
		f.tables, err = openODS(a)
		if a.comments > 0 {
			f.Notes = append(f.Notes, fmt.Sprintf("comments on cells are not read: %d", a.comments))
		}
	default:
		return f.openZip(zr, size, lim, depth)
	}
	if err != nil {
		return damaged(f.Name, err)
	}
	return nil
}

// damaged gives an error that is a sentence already, or makes one.
func damaged(name string, err error) error {
	var fe *FileError
	if errors.As(err, &fe) {
		return fe
	}
	return &FileError{File: name, Trouble: "the workbook is damaged", Hint: "open it in a spreadsheet program and save it again", Err: err}
}

func (w *workbook) read() ([]*Table, error) {
	targets, err := w.relations()
	if err != nil {
		return nil, err
	}
	if err := w.readFormats(); err != nil {
		return nil, err
	}
	if err := w.readStrings(); err != nil {
		return nil, err
	}
	var tables []*Table
	err = w.each("xl/workbook.xml", func(_ *partReader, el xml.StartElement) error {
		switch el.Name.Local {
		case "workbookPr":
			w.epoch1904 = isTrue(attr(el, "date1904"))
		case "sheet":
			if len(tables) == w.limits.MaxSheets {
				return &FileError{File: w.file, Trouble: fmt.Sprintf("the workbook has more than %d sheets", w.limits.MaxSheets), Hint: "split it"}
			}
			if part := targets[attr(el, "id")]; w.parts[part] != nil {
				t := w.table(attr(el, "name"), part)
				t.Hidden = attr(el, "state") != "" && attr(el, "state") != "visible"
				tables = append(tables, t)
				return cmp.Or(w.admit(part), w.keep(attr(el, "name")))
			}
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	for _, t := range tables {
		t.epoch1904 = w.epoch1904 // its file may name it after the sheets
	}
	return filled(tables), nil
}

func (w *workbook) table(name, part string) *Table {
	t := &Table{File: w.file, Name: name, limits: w.limits}
	t.src = &sheetSource{t: t, w: w, part: part}
	return t
}

// filled leaves out sheets without a single cell.
func filled(tables []*Table) []*Table {
	var out []*Table
	for _, t := range tables {
		for row, err := range t.src.rows(layoutChoice{hidden: true}) {
			if err != nil || len(row.Cells) > 0 {
				out = append(out, t)
				break
			}
		}
	}
	return out
}

// relations maps the ids that workbook.xml uses to part names.
func (w *workbook) relations() (map[string]string, error) {
	targets := map[string]string{}
	return targets, w.each("xl/_rels/workbook.xml.rels", func(_ *partReader, el xml.StartElement) error {
		if el.Name.Local != "Relationship" {
			return nil
		}
		target := attr(el, "Target")
		if !strings.HasPrefix(target, "/") {
			target = path.Join("xl", target)
		}
		targets[attr(el, "Id")] = strings.TrimPrefix(target, "/")
		return w.keep(attr(el, "Id"), target)
	})
}

// readStrings reads the table of shared strings, the one thing that a workbook needs in memory.
func (w *workbook) readStrings() error {
	size := 0
	w.struckTexts = map[int]bool{}
	return w.each("xl/sharedStrings.xml", func(d *partReader, el xml.StartElement) error {
		if el.Name.Local != "si" {
			return nil
		}
		s, struck, err := struckText(d, "si")
		if struck {
			w.struckTexts[len(w.strings)] = true
		}
		if size += len(s); size > w.limits.MaxText || len(w.strings) == w.limits.MaxStrings {
			return tooLarge(w.file)
		}
		w.strings = append(w.strings, s)
		return cmp.Or(err, w.keep(s))
	})
}

// readFormats notes for each style whether it shows a date, a time, or a fixed number of decimals.
func (w *workbook) readFormats() error {
	codes := map[string]string{}
	inCells, struck := false, struckFonts{struck: map[string]bool{}}
	w.struckStyles = map[string]bool{}
	return w.each("xl/styles.xml", func(_ *partReader, el xml.StartElement) error {
		if max(len(codes), len(w.formats)) > w.limits.MaxStyles {
			return tooLarge(w.file)
		}
		struck.see(el)
		switch el.Name.Local {
		case "numFmt":
			codes[attr(el, "numFmtId")] = attr(el, "formatCode")
			return w.keep(attr(el, "numFmtId"), attr(el, "formatCode"))
		case "cellXfs":
			inCells = true
		case "cellStyles", "dxfs", "cellStyleXfs":
			inCells = false
		case "xf":
			if inCells {
				id := attr(el, "numFmtId")
				if struck.struck[attr(el, "fontId")] {
					w.struckStyles[fmt.Sprint(len(w.formats))] = true
				}
				w.formats = append(w.formats, formatOf(id, codes[id]))
			}
		}
		return nil
	})
}

// each calls visit for every start element of a part; a missing part has none.
func (a *archive) each(part string, visit func(*partReader, xml.StartElement) error) error {
	if err := a.admit(part); err != nil {
		return err
	}
	d, closer, err := a.decoder(part)
	if d == nil || err != nil {
		return err
	}
	defer closer.Close()
	for {
		token, err := d.next()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return fmt.Errorf("part %s: %w", part, err)
		}
		if token.kind == openingTag {
			if err := visit(d, token.el); err != nil {
				return err
			}
		}
	}
}

// richText gathers the text of a string item up to its end tag: plain or in runs, without phonetic hints.
func richText(d *partReader, end string) (string, error) {
	text, _, err := struckText(d, end)
	return text, err
}

// struckText does so, and tells whether any of it is struck out.
func struckText(d *partReader, end string) (text string, struck bool, err error) {
	var b strings.Builder
	inText, phonetic := false, false
	for {
		token, err := d.next()
		if err != nil {
			return "", false, err
		}
		switch el := token.el; token.kind {
		case openingTag:
			inText = el.Name.Local == "t"
			struck = struck || isStruck(el)
			phonetic = phonetic || el.Name.Local == "rPh"
		case closingTag:
			if el.Name.Local == end {
				return plainText(b.String()), struck, nil
			}
			inText = false
			phonetic = phonetic && el.Name.Local != "rPh"
		case plainToken:
			if inText && !phonetic {
				b.Write(token.text)
			}
		}
	}
}

// plainText undoes the _x000D_ escape of a carriage return (ECMA-376, ST_Xstring).
func plainText(s string) string {
	return strings.ToValidUTF8(strings.ReplaceAll(strings.ReplaceAll(s, "_x000D_", ""), "\x00", ""), "\ufffd")
}

func attr(el xml.StartElement, name string) string {
	for _, a := range el.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func isTrue(s string) bool { return s == "1" || s == "true" }
