package web

import (
	"bytes"
	"mime"
	"net/http"
	"net/url"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/paper"
)

// A table can be taken home as a file, as it was narrowed and sorted on its page: the address of the page with asQuery besides.
const asQuery = "as"

// takeHome is the addresses of a page's table as files.
type takeHome struct{ CSV, XLSX string }

func takeHomeOf(q url.Values) takeHome {
	return takeHome{with(q, asQuery, "csv"), with(q, asQuery, "xlsx")}
}

// homeTable is a table that is taken home: all its rows, whatever page of it is shown.
type homeTable struct {
	name    string // of the file, beside site and day
	title   string
	columns []paper.Column
	rows    [][]paper.Cell
}

// givesTable hands the table over where the address asks for a file, and reports whether it did.
func (s *Server) givesTable(w http.ResponseWriter, r *http.Request, survey *app.Survey, table func() homeTable) (bool, error) {
	name := r.URL.Query().Get(asQuery)
	if name == "" {
		return false, nil
	}
	format, ok := paper.FindFormat(name)
	if !ok || name != "csv" && name != "xlsx" {
		return true, sootline.Errorf(sootline.Invalid, "ask for csv or xlsx", "a table is not given as %q", name)
	}
	t := table()
	d := &paper.Document{
		Title: t.title, Site: survey.Register.Site.Name, AsOf: local(survey.On, survey.Zone), Made: survey.On,
		Parts: []paper.Part{{Blocks: []paper.Block{paper.Table{Title: t.title, Columns: t.columns, Rows: t.rows}}}},
	}
	var made bytes.Buffer
	if err := format.Write(&made, d, paper.Sizes()[0]); err != nil {
		return true, err
	}
	file := plain(survey.Register.Site.Name) + "-" + t.name + "-" + survey.On.In(survey.Zone).Format(time.DateOnly) + "." + format.Name
	w.Header().Set("Content-Type", format.Type)
	w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": file}))
	_, err := w.Write(made.Bytes())
	return true, s.wentAway(r, err)
}

// columnsOf heads columns; a name that begins with # is of figures.
func columnsOf(names ...string) []paper.Column {
	columns := make([]paper.Column, len(names))
	for i, name := range names {
		columns[i] = paper.Column{Name: name}
		if name[0] == '#' {
			columns[i] = paper.Column{Name: name[1:], Right: true}
		}
	}
	return columns
}

// textCells is a row of words.
func textCells(texts ...string) []paper.Cell {
	cells := make([]paper.Cell, len(texts))
	for i, text := range texts {
		cells[i] = paper.Text(text)
	}
	return cells
}
