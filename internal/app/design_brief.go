package app

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"sootline"
	"sootline/internal/design"
)

// DesignBrief is what is wanted of loops before there is a register: areas with counts, or the places of a drawing.
type DesignBrief struct {
	building design.Building
	zones    []string // by area
	m2       []float64
	places   []design.Place // of a drawing; those without coordinates are put on a grid
	where    []string       // by place: its location in words
	bare     []bool         // by place: without coordinates
	lines    []int          // by area: its first line
	Assumed  []Assumption
}

// Assumption is something that was taken because nobody said otherwise, with where it is from.
type Assumption struct{ What, Source string }

// The sources of assumptions.
const (
	ownChoice  = "our choice, no source"
	commonUse  = "common practice, no source"
	fromMemory = "not checked"
)

// mostBrief bounds the places of a design: eight loops of 126. The search takes some seconds then.
const mostBrief = 1000

// ReadDesignBrief reads a table, with commas, semicolons or tabs: a line an area with a column for each type that it wants,
// headed by the type's name; or, where there is a column "type", a line a place. Other columns: area, floor, m2, zone; x, y,
// width, depth in metres; location. docs/handbook/design.md has both. The types need a sheet.
func ReadDesignBrief(from io.Reader, r *sootline.Register) (*DesignBrief, error) {
	text, err := io.ReadAll(io.LimitReader(from, 1<<20+1))
	if err != nil {
		return nil, sootline.Errorf(sootline.Unavailable, "", "read what is wanted: %w", err)
	}
	if len(text) > 1<<20 {
		return nil, sootline.Errorf(sootline.Invalid, "make two designs of it", "what is wanted has more than 1 MB")
	}
	rows, heads, err := briefRows(bytes.TrimPrefix(text, []byte("\xef\xbb\xbf")))
	if err != nil {
		return nil, err
	}
	if err := onceHeaded(heads); err != nil {
		return nil, err
	}
	b := &DesignBrief{}
	read := &briefReader{DesignBrief: b, r: r, heads: heads, areas: map[string]int{}}
	for i, row := range rows {
		if err := read.row(i+2, row); err != nil {
			return nil, err
		}
	}
	if err := read.contradiction(); err != nil {
		return nil, err
	}
	if err := read.lay(); err != nil {
		return nil, err
	}
	b.tellApart()
	return b, nil
}

// briefRows cuts a table into its heading, in small letters, and its rows.
func briefRows(text []byte) ([][]string, []string, error) {
	first, _, _ := bytes.Cut(text, []byte("\n"))
	parts := csv.NewReader(bytes.NewReader(text))
	parts.FieldsPerRecord, parts.TrimLeadingSpace = -1, true
	for _, comma := range ";\t" {
		if bytes.ContainsRune(first, comma) {
			parts.Comma = comma
		}
	}
	all, err := parts.ReadAll()
	if err != nil {
		if at, ok := errors.AsType[*csv.ParseError](err); ok {
			return nil, nil, sootline.Errorf(sootline.Invalid, "", "what is wanted, line %d: %w", at.Line, at.Err)
		}
		return nil, nil, sootline.Errorf(sootline.Invalid, "", "what is wanted: %w", err)
	}
	if len(all) < 2 {
		return nil, nil, sootline.Errorf(sootline.Invalid, "a line of headings, such as area,floor,m2 and the names of types; then a line an area", "nothing is wanted: the table has no rows")
	}
	heads := all[0]
	for i := range heads {
		heads[i] = strings.TrimSpace(heads[i])
	}
	return all[1:], heads, nil
}

// briefReader reads rows by their headings.
type briefReader struct {
	*DesignBrief
	r     *sootline.Register
	heads []string
	areas map[string]int // by floor and name
	given []bool         // by area: its corner was given
}

// briefFields are the headings that are no types.
var briefFields = []string{"area", "floor", "zone", "m2", "x", "y", "width", "depth", "type", "location"}

func (b *briefReader) row(line int, row []string) error {
	cells := map[string]string{}
	var wants []design.Want
	for i, cell := range row {
		cell = strings.TrimSpace(cell)
		if i >= len(b.heads) || cell == "" {
			continue
		}
		if name := strings.ToLower(b.heads[i]); slices.Contains(briefFields, name) {
			cells[name] = cell
			continue
		}
		n, err := strconv.Atoi(cell)
		if err != nil || n < 0 || n > mostBrief {
			return briefError(line, "a number of devices", "%q is not how many %s are wanted", cell, b.heads[i])
		}
		want, err := b.want(line, b.heads[i], n)
		if err != nil {
			return err
		}
		wants = append(wants, want)
	}
	if len(cells) == 0 && len(wants) == 0 {
		return nil
	}
	if cells["type"] != "" && len(wants) > 0 {
		return briefError(line, "a line is a place with its type, or an area with its counts", "counts stand beside the type %q", cells["type"])
	}
	before := len(b.building.Areas)
	area, err := b.area(line, cells)
	if err != nil {
		return err
	}
	if cells["type"] == "" && area < before {
		return briefError(line, "give each area one line, or another name", "the area %s of floor %d stands in line %d already", b.building.Areas[area].Name, b.building.Areas[area].Floor, b.lines[area])
	}
	b.building.Areas[area].Wants = append(b.building.Areas[area].Wants, wants...)
	if cells["type"] == "" {
		return nil
	}
	return b.place(line, area, cells)
}

func briefError(line int, hint, format string, args ...any) error {
	return sootline.Errorf(sootline.Invalid, hint, "what is wanted, line %d: %s", line, fmt.Sprintf(format, args...))
}

func (b *briefReader) want(line int, name string, n int) (design.Want, error) {
	sheet := b.r.Sheet(name)
	if sheet == nil {
		return design.Want{}, briefError(line, "take in its type sheet first; other headings are "+strings.Join(briefFields, ", "), "%q is no type that has a sheet", name)
	}
	return design.Want{Type: sheet.Name, Count: n, Takes: sheet.Numbers()}, nil
}

// figures reads cells as metres or square metres.
func figures(line int, cells map[string]string, names ...string) (map[string]float64, error) {
	x := map[string]float64{}
	for _, name := range names {
		if cells[name] == "" {
			continue
		}
		v, err := TypedNumber(cells[name])
		if err != nil || math.Abs(v) > 1e5 || v <= 0 && name != "x" && name != "y" {
			return nil, briefError(line, "metres, or square metres for m2", "%s: %q is no such figure", name, cells[name])
		}
		x[name] = v
	}
	return x, nil
}

// area finds the area of a row, or adds it with what the row says of it.
func (b *briefReader) area(line int, cells map[string]string) (int, error) {
	floor := 0
	if cells["floor"] != "" {
		n, err := strconv.Atoi(cells["floor"])
		if err != nil || n < -99 || n > 999 {
			return 0, briefError(line, "count the floors upwards, 0 for the ground", "the floor %q is not a whole number", cells["floor"])
		}
		floor = n
	}
	name := cells["area"]
	if name == "" {
		name = fmt.Sprintf("floor %d", floor)
	}
	key := fmt.Sprint(floor, " ", strings.ToLower(name))
	if i, known := b.areas[key]; known {
		return i, nil
	}
	x, err := figures(line, cells, "m2", "x", "y", "width", "depth")
	if err != nil {
		return 0, err
	}
	a := design.Area{Name: name, Floor: floor, W: x["width"], H: x["depth"]}
	m2 := x["m2"]
	corner := false
	if cells["type"] == "" { // else x and y are of the place
		a.X, a.Y = x["x"], x["y"]
		corner = cells["x"] != "" && cells["y"] != ""
	}
	if sides := a.W * a.H; m2 == 0 {
		m2 = sides
	} else if sides > 0 && math.Abs(m2-sides) > sidesShare*sides {
		return 0, briefError(line, "give the sides or the square metres", "%g m2 are not %g m by %g m, which are %g m2", m2, a.W, a.H, sides)
	}
	i := len(b.building.Areas)
	b.areas[key] = i
	b.building.Areas = append(b.building.Areas, a)
	b.zones, b.m2, b.given, b.lines = append(b.zones, cells["zone"]), append(b.m2, m2), append(b.given, corner), append(b.lines, line)
	return i, nil
}

// place adds a place of a drawing.
func (b *briefReader) place(line, area int, cells map[string]string) error {
	want, err := b.want(line, cells["type"], 1)
	if err != nil {
		return err
	}
	x, err := figures(line, cells, "x", "y")
	if err != nil {
		return err
	}
	if (cells["x"] == "") != (cells["y"] == "") {
		return briefError(line, "give both, in metres from the corner that all floors share, or neither", "a place has x or y alone")
	}
	b.places = append(b.places, design.Place{X: x["x"], Y: x["y"], Floor: b.building.Areas[area].Floor, Area: area, Type: want.Type, Takes: want.Takes})
	b.where, b.bare = append(b.where, cells["location"]), append(b.bare, cells["x"] == "")
	return nil
}
