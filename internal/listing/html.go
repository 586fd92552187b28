package listing

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"iter"
	"strings"

	"golang.org/x/net/html"
)

// Web pages: every table of a page, also one inside a cell of another. Elements are those of the HTML
// standard, 4.9 (tabular data); what it leaves out of a table's model is left out here too.

// htmlSource streams one table of a page.
type htmlSource struct {
	t    *Table
	page *page
	from int64 // where the table's first element stands in the decoded text
}

// page is the text that all tables share.
type page struct {
	src      io.ReaderAt
	size     int64
	encoding string
	bom      int64
}

func (p *page) reader() io.Reader { return decoder(p.src, p.size, p.encoding, p.bom) }

func (s *htmlSource) layout(layoutChoice) (encoding, separator string) { return s.page.encoding, "" }

// openHTML finds the tables that have rows of more than one cell.
func openHTML(name string, src io.ReaderAt, size int64, lim Limits) ([]*Table, error) {
	p := &page{src: src, size: size}
	if err := p.sniff(); err != nil {
		return nil, &FileError{File: name, Trouble: "it could not be read", Err: err}
	}
	z := html.NewTokenizer(p.reader())
	z.SetMaxBuf(lim.MaxLine)
	var tables []*Table
	at, skipped := int64(0), int64(0)
	var title pageTitle
	for {
		kind := z.Next()
		at += int64(len(z.Raw()))
		if kind == html.ErrorToken {
			break
		}
		if !title.begins(z, kind) {
			continue
		}
		t := &Table{File: name, Name: fmt.Sprintf("table %d", len(tables)+1), Title: title.take(), limits: lim}
		t.src = &htmlSource{t: t, page: p, from: at}
		tables = append(tables, t)
		if skipped += at; len(tables) > lim.MaxSheets || skipped > lim.MaxUnzipped {
			return nil, &FileError{File: name, Trouble: "the page holds too many tables", Hint: "save the one that matters as .csv"}
		}
	}
	if err := z.Err(); err != io.EOF {
		return nil, pageBroken(name, lim, err)
	}
	tables = withColumns(tables)
	if len(tables) == 0 {
		return nil, &FileError{File: name, Trouble: "this web page holds no table", Hint: "copy the list into a spreadsheet program and save it as .xlsx or .csv"}
	}
	if len(tables) == 1 {
		tables[0].Name = ""
	}
	return tables, nil
}

func pageBroken(name string, lim Limits, err error) error {
	if errors.Is(err, html.ErrBufferExceeded) {
		return &FileError{File: name, Trouble: fmt.Sprintf("the page holds a text of more than %d bytes", lim.MaxLine), Hint: "save its table as .csv"}
	}
	return &FileError{File: name, Trouble: "reading it stopped", Err: err}
}

// withColumns leaves out tables that only arrange a page: those without a row of two cells.
func withColumns(tables []*Table) []*Table {
	var out []*Table
	for _, t := range tables {
		for row, err := range t.src.rows(layoutChoice{hidden: true}) {
			_, filled := firstFilled(row.Cells)
			if err != nil && !isCutShort(err) || filled > 1 {
				out = append(out, t)
				break
			}
		}
	}
	return out
}

// sniff finds the encoding: as of any text, but that a page may name it where it is not UTF-8.
func (p *page) sniff() (err error) {
	if p.encoding, p.bom, err = sniffEncoding(p.src, p.size); err != nil || p.encoding != "windows-1252" {
		return err
	}
	head := make([]byte, min(p.size, 1024)) // the standard looks no further (13.2.3.2)
	if _, err := p.src.ReadAt(head, 0); err != nil && err != io.EOF {
		return err
	}
	_, named, _ := strings.Cut(string(bytes.ToLower(head)), "charset=")
	named = strings.TrimLeft(named, `"' `)
	if end := strings.IndexAny(named, `"'/> ;`); end >= 0 {
		if _, known := codePage(named[:end]); known && named[:end] != "utf-8" {
			p.encoding = named[:end]
		}
	}
	return nil
}

func (s *htmlSource) rows(choice layoutChoice) iter.Seq2[Row, error] {
	return func(yield func(Row, error) bool) {
		text := s.page.reader()
		if _, err := io.CopyN(io.Discard, text, s.from); err != nil {
			yield(Row{}, s.t.broken(err))
			return
		}
		r := &htmlReader{grid: newGrid(s.t, choice), z: html.NewTokenizer(text)}
		r.z.SetMaxBuf(s.t.limits.MaxLine)
		yieldRows(r.grid, r.next, s.t.broken, yield)
	}
}
