package web

import (
	"bufio"
	"encoding/json"
	"errors"
	"io"
	"os"

	"sootline/internal/app"
)

// keptRow is a row as the preview shows it.
type keptRow struct {
	Line    int
	Becomes string
	Why     string
	Cells   []string
}

// What is shown of a row.
const (
	mostCells    = 12
	mostCellText = 60
)

// keptRows are the rows of one table, on disk: in memory there is only where each
// page of them begins, so that a million rows cost some hundred kilobytes.
type keptRows struct {
	count int
	pages []int64 // where each page begins
	file  *os.File
	out   *bufio.Writer
	size  int64
}

func newKeptRows(folder string) (*keptRows, error) {
	f, err := os.CreateTemp(folder, ".rows-*")
	if err != nil {
		return nil, err
	}
	// It has no name from here on, and is gone when it is closed.
	if err := os.Remove(f.Name()); err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return &keptRows{file: f, out: bufio.NewWriterSize(f, 64<<10)}, nil
}

func (k *keptRows) add(row *app.RowOutcome) error {
	if k.count%rowsOnPage == 0 {
		k.pages = append(k.pages, k.size)
	}
	k.count++
	kept := keptRow{row.Line, string(row.Becomes), row.Why, make([]string, min(len(row.Cells), mostCells))}
	for i := range kept.Cells {
		kept.Cells[i] = clipped(row.Cells[i], mostCellText)
	}
	line, err := json.Marshal(kept)
	if err != nil {
		return err
	}
	n, err := k.out.Write(append(line, '\n'))
	k.size += int64(n)
	return err
}

// page reads one page of the rows; pages count from 0.
func (k *keptRows) page(n int) ([]keptRow, error) {
	if n < 0 || n >= len(k.pages) {
		return nil, nil
	}
	end := k.size
	if n+1 < len(k.pages) {
		end = k.pages[n+1]
	}
	from := json.NewDecoder(io.NewSectionReader(k.file, k.pages[n], end-k.pages[n]))
	var rows []keptRow
	for from.More() {
		var row keptRow
		if err := from.Decode(&row); err != nil {
			return nil, err
		}
		rows = append(rows, row)
	}
	return rows, nil
}

// flush puts all rows on the disk, where pages are read.
func (k *keptRows) flush() error { return k.out.Flush() }

func (k *keptRows) close() error { return k.file.Close() }

// clipped cuts a text that is longer than so many characters.
func clipped(text string, most int) string {
	for at := range text {
		if most == 0 {
			return text[:at] + "…"
		}
		most--
	}
	return text
}
