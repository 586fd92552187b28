package app

import (
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"time"
	"unicode"

	"sootline"
	"sootline/internal/ear"
	"sootline/internal/listing"
)

// MapRead is what a listing says of which value is of which point, and what it would do.
type MapRead struct {
	Heads  []MapHead // the columns that are taken
	Left   []string  // rows and columns that are not, with the reason
	Values []MapLine
	Lacks  int    // points of the register, of types with a resting value, of which nothing is read
	Places string // as it is kept: CSV of the columns point, source, unit, scale and those that are used beside them
}

// MapHead is a column that is taken.
type MapHead struct{ Column, Heading string }

// MapLine is a value that would be read.
type MapLine struct {
	Point, Location, Source, Unit string
	Scale                         float64
	Says                          string // what is to be known of it: its unit is another than the type's
}

// mapColumn is a column of a map.
type mapColumn struct {
	name  string
	words []string
}

// mapColumns are the columns of a map, and the headings by which they are known (common practice, no source).
var mapColumns = []mapColumn{
	{"point", []string{"point", "reference", "ref", "device", "detector", "point reference", "loop address"}},
	{"loop", []string{"loop"}},
	{"number", []string{"number", "address", "device address", "no", "no."}},
	{"source", []string{"source", "object", "object id", "topic", "tag"}},
	{"slave", []string{"unit id", "slave", "slave id", "modbus unit"}},
	{"table", []string{"table", "function", "function code", "fc", "register type"}},
	{"register", []string{"register", "offset", "modbus register", "register address"}},
	{"unit", []string{"unit", "units", "engineering unit", "uom"}},
	{"scale", []string{"scale", "factor", "multiplier", "gain", "scaling"}},
	{"holds", []string{"holds"}},
	{"least", []string{"least", "min", "minimum"}},
	{"most", []string{"most", "max", "maximum"}},
}

// mapHeadRows is within how many rows the headings of a map stand: titles may stand above.
const mapHeadRows = 30

// ReadMap reads which value is of which point from a listing of any form that intake reads, and says what it would do; nothing is
// kept.
func (a *App) ReadMap(ctx context.Context, site sootline.ID, via, name string, src io.ReaderAt, size int64) (*MapRead, error) {
	if err := a.Who.MaySee(site); err != nil {
		return nil, err
	}
	if !ear.Kind(via).OfValues() {
		return nil, sootline.Errorf(sootline.Invalid, "choose a kind that gives values", "a source of kind %q gives text, and no values", via)
	}
	file, err := listing.Open(name, src, size, listing.Limits{})
	if err != nil {
		return nil, sootline.Errorf(sootline.Invalid, "give a table with the columns point, source, unit, scale", "%w", err)
	}
	for _, t := range file.Tables() {
		m := &mapReading{read: &MapRead{}}
		if err := m.table(ctx, t); err != nil {
			return nil, err
		}
		if m.at != nil {
			return a.mapOf(ctx, site, via, m)
		}
	}
	return nil, sootline.Errorf(sootline.Invalid, "give a table with the columns point, source, unit, scale", "%s has no table whose headings name a point and a source", name)
}

// ReadMapText reads it from what was typed or pasted, or as it is kept.
func (a *App) ReadMapText(ctx context.Context, site sootline.ID, via, text string) (*MapRead, error) {
	if m := keptMap(text); m != nil && ear.Kind(via).OfValues() {
		if err := a.Who.MaySee(site); err != nil {
			return nil, err
		}
		return a.mapOf(ctx, site, via, m)
	}
	return a.ReadMap(ctx, site, via, "the list of values", strings.NewReader(text), int64(len(text)))
}

// ReadMapFile reads it from a file of this machine.
func (a *App) ReadMapFile(ctx context.Context, site sootline.ID, via, path string) (*MapRead, error) {
	if err := a.Who.MaySee(site); err != nil {
		return nil, err
	}
	content, err := os.ReadFile(path)
	if err != nil {
		return nil, sootline.Errorf(sootline.Invalid, "name a table, CSV or XLSX say", "cannot read the map: %w", err)
	}
	return a.ReadMap(ctx, site, via, path, bytes.NewReader(content), int64(len(content)))
}

// mapReading reads one table.
type mapReading struct {
	read *MapRead
	at   map[string]int // columns by their name; nil: the headings were not found yet
	rows [][]string     // of the columns of mapOut, in their order
	line []int          // of each row
}

// mapOut are the columns in which a map is kept.
var mapOut = []string{"point", "source", "unit", "scale", "holds", "least", "most"}

// keptMap reads a map as it is kept; nil: it is not.
func keptMap(text string) *mapReading {
	rest, ok := strings.CutPrefix(text, strings.Join(mapOut, ",")+"\n")
	if !ok {
		return nil
	}
	in := csv.NewReader(strings.NewReader(rest))
	in.FieldsPerRecord = len(mapOut)
	rows, err := in.ReadAll()
	if err != nil || len(rows) == 0 {
		return nil
	}
	m := &mapReading{read: &MapRead{}, rows: rows}
	for _, name := range mapOut {
		m.read.Heads = append(m.read.Heads, MapHead{name, name})
	}
	for i := range rows {
		m.line = append(m.line, i+2)
	}
	return m
}

func (m *mapReading) table(ctx context.Context, t *listing.Table) error {
	seen := 0
	for row, err := range t.Rows() {
		if gone := ctx.Err(); gone != nil {
			return gone
		}
		if err != nil {
			if trouble, ok := errors.AsType[*listing.RowError](err); ok {
				m.read.Left = append(m.read.Left, trouble.Error())
				continue
			}
			return sootline.Errorf(sootline.Invalid, "", "%w", err)
		}
		if m.at == nil {
			if seen++; seen > mapHeadRows {
				return nil
			}
			m.heads(row.Cells)
			continue
		}
		m.row(row.Line, row.Cells)
	}
	return nil
}

// heads takes a row as the headings, where it names a point and a source.
func (m *mapReading) heads(cells []string) {
	at, left := map[string]int{}, []string(nil)
	var heads []MapHead
	for i, cell := range cells {
		word := strings.ToLower(strings.Join(strings.Fields(cell), " "))
		k := slices.IndexFunc(mapColumns, func(c mapColumn) bool { return slices.Contains(c.words, word) })
		if k < 0 {
			if word != "" {
				left = append(left, fmt.Sprintf("the column %q is not taken: its heading is not known here", strings.Clone(cell)))
			}
			continue
		}
		if _, twice := at[mapColumns[k].name]; twice {
			left = append(left, fmt.Sprintf("the column %q is not taken: another has that meaning already", strings.Clone(cell)))
			continue
		}
		at[mapColumns[k].name] = i
		heads = append(heads, MapHead{mapColumns[k].name, strings.Clone(cell)})
	}
	has := func(names ...string) bool {
		return !slices.ContainsFunc(names, func(n string) bool { _, ok := at[n]; return !ok })
	}
	if (has("point") || has("loop", "number")) && (has("source") || has("slave", "table", "register")) {
		m.at, m.read.Heads, m.read.Left = at, heads, append(m.read.Left, left...)
	}
}

// row takes a row of a value.
func (m *mapReading) row(line int, cells []string) {
	cell := func(name string) string {
		if i, ok := m.at[name]; ok && i < len(cells) {
			return strings.TrimSpace(strings.Map(noControl, cells[i]))
		}
		return ""
	}
	point, source := cell("point"), cell("source")
	if point == "" && cell("number") != "" {
		point = cell("loop") + "." + cell("number")
	}
	if source == "" && cell("register") != "" {
		source = cell("slave") + ":" + tableNumber(cell("table")) + ":" + cell("register")
	}
	switch {
	case point == "" && source == "":
		if strings.TrimSpace(strings.Join(cells, "")) != "" {
			m.read.Left = append(m.read.Left, fmt.Sprintf("row %d names neither a point nor a source", line))
		}
		return
	case source == "":
		m.read.Left = append(m.read.Left, fmt.Sprintf("row %d: point %s has no source", line, point))
		return
	}
	m.line = append(m.line, line)
	m.rows = append(m.rows, []string{point, source, cell("unit"), scaleText(cell("scale")), cell("holds"), cell("least"), cell("most")})
}

// noControl puts a blank in the place of what only steers a screen.
func noControl(r rune) rune {
	if unicode.IsControl(r) || r == unicode.ReplacementChar {
		return ' '
	}
	return r
}

// tableNumber gives a table of Modbus its number, where a listing names it in words.
func tableNumber(text string) string {
	switch strings.ToLower(text) {
	case "coil", "coils":
		return "1"
	case "input", "inputs", "discrete input", "discrete inputs":
		return "2"
	case "holding", "holding register", "holding registers":
		return "3"
	case "input register", "input registers":
		return "4"
	}
	return strings.TrimLeft(text, "0")
}

// scaleText gives a scale as a number, where it is written as what is done to the value: x0.1, /10, 1/10. What is none is refused
// later, as it is written.
func scaleText(text string) string {
	plain := strings.ReplaceAll(strings.TrimLeft(strings.ReplaceAll(text, " ", ""), "x×*"), ",", ".")
	over, under, divided := strings.Cut(strings.ReplaceAll(plain, "÷", "/"), "/")
	if !divided {
		return plain
	}
	var a, b float64 = 1, 0
	if over != "" {
		if _, err := fmt.Sscan(over, &a); err != nil {
			return text
		}
	}
	if _, err := fmt.Sscan(under, &b); err != nil || b == 0 {
		return text
	}
	return fmt.Sprint(a / b)
}

// mapOf holds what was read against the register.
func (a *App) mapOf(ctx context.Context, site sootline.ID, via string, m *mapReading) (*MapRead, error) {
	var out strings.Builder
	w := csv.NewWriter(&out)
	if err := errors.Join(w.Write(mapOut), w.WriteAll(m.rows)); err != nil {
		return nil, err
	}
	m.read.Places = out.String()
	for i, row := range m.rows { // each by itself, so that a trouble names the row of the listing
		if _, err := ear.ReadPlaces(ear.Kind(via), oneRow(row)); err != nil {
			says := strings.TrimPrefix(err.Error(), "which value is of which point, line 2: ")
			return nil, &sootline.Error{Code: sootline.Invalid, Message: fmt.Sprintf("which value is of which point, row %d: %s", m.line[i], says), Ways: sootline.ErrorWays(err), Err: err}
		}
	}
	places, _, err := a.placesOf(ctx, site, sootline.Source{Via: via, Places: m.read.Places})
	if err != nil {
		return nil, err
	}
	r, err := a.Register(ctx, site, time.Time{})
	if err != nil {
		return nil, err
	}
	has := map[sootline.ID]bool{}
	for i := range places {
		p, err := PointNamed(r, places[i].Point)
		if err != nil {
			return nil, err
		}
		has[p.ID] = true
		m.read.Values = append(m.read.Values, mapLine(r, p, &places[i]))
	}
	for _, p := range r.Points() {
		if sheet := r.Sheet(p.Type); !has[p.ID] && p.Removed == nil && (sheet == nil || sheet.Kind.Judged()) {
			m.read.Lacks++
		}
	}
	return m.read, nil
}

func oneRow(row []string) string {
	var out strings.Builder
	w := csv.NewWriter(&out)
	_ = w.Write(mapOut) // into memory
	_ = w.Write(row)
	w.Flush()
	return out.String()
}

func mapLine(r *sootline.Register, p *sootline.Point, place *ear.Place) MapLine {
	line := MapLine{Point: p.Ref().String(), Location: p.Location, Source: place.Source, Unit: place.Unit, Scale: place.Scale}
	switch sheet := r.Sheet(p.Type); {
	case sheet == nil:
		line.Says = "its type has no type sheet yet"
	case !sheet.Kind.Judged():
		line.Says = "a " + string(sheet.Kind) + " has no resting value to judge"
	case !typesUnit(sheet, place.Unit):
		line.Says = fmt.Sprintf("its type is read in %s: these are no resting values of it", sheet.Unit)
	}
	return line
}
