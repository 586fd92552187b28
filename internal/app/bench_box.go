package app

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/listing"
)

// BoxList reads the list of what is in a box: a table with a column of serials and,
// where it has them, of types, batches and what is marked as made; or a bare list, a
// serial a line, with the type after it. Lines that say nothing of a device are
// given back with the reason, and nothing else of them is taken.
func (a *App) BoxList(ctx context.Context, path string) ([]sootline.BoxDevice, []string, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, nil, sootline.Errorf(sootline.NotFound, "name the file with the serials", "open list: %w", err)
	}
	defer f.Close() //nolint:errcheck // it was only read
	info, err := f.Stat()
	if err != nil {
		return nil, nil, sootline.Errorf(sootline.Unavailable, "", "open list: %w", err)
	}
	return ReadBox(ctx, path, f, info.Size())
}

// ReadBox reads the list of what is in a box, as [App.BoxList] does.
func ReadBox(ctx context.Context, name string, src io.ReaderAt, size int64) (devices []sootline.BoxDevice, troubles []string, err error) {
	file, err := listing.Open(name, src, size, listing.Limits{})
	if err != nil {
		return nil, nil, sootline.Errorf(sootline.Invalid, "give a table with a column serial, or a serial a line", "%w", err)
	}
	if len(file.Tables()) == 0 {
		return nil, nil, emptyBox(name)
	}
	columns := boxColumns{}
	for row, err := range file.Tables()[0].Rows() {
		if gone := ctx.Err(); gone != nil {
			return nil, nil, gone
		}
		if err != nil {
			if trouble, ok := errors.AsType[*listing.RowError](err); ok {
				troubles = append(troubles, trouble.Error())
				continue
			}
			return nil, nil, sootline.Errorf(sootline.Invalid, "", "%w", err)
		}
		if columns.head(row.Cells) {
			continue
		}
		device := columns.device(row.Cells)
		switch {
		case device == (sootline.BoxDevice{}) && strings.TrimSpace(strings.Join(row.Cells, "")) == "":
		case device == (sootline.BoxDevice{}):
			troubles = append(troubles, fmt.Sprintf("line %d names neither a serial nor a type", row.Line))
		default:
			devices = append(devices, device)
		}
	}
	if len(devices) == 0 {
		return nil, troubles, emptyBox(name)
	}
	return devices, troubles, nil
}

func emptyBox(name string) error {
	return sootline.Errorf(sootline.Invalid, "give a table with a column serial, or a serial a line", "%s names no device", name)
}

// boxColumns says which column holds what of a device; without a head the first is
// the serial and the second the type.
type boxColumns struct {
	of map[string]int
}

// boxNames are the heads by which columns are known (common practice, no source).
func boxNames() map[string][]string {
	return map[string][]string{
		"serial": {"serial", "serial number", "serial no", "serial no.", "s/n", "sn", "device serial"},
		"type":   {"type", "device type", "model", "part", "part number"},
		"batch":  {"batch", "lot"},
		"made":   {"made", "date of manufacture", "manufactured", "production date"},
	}
}

// head takes a row as the heads of columns, where it names serials and comes first.
func (b *boxColumns) head(cells []string) bool {
	if b.of != nil {
		return false
	}
	found := map[string]int{}
	for name, words := range boxNames() {
		for i, cell := range cells {
			if _, known := found[name]; !known && slices.Contains(words, strings.ToLower(strings.Join(strings.Fields(cell), " "))) {
				found[name] = i
			}
		}
	}
	_, serials := found["serial"]
	_, types := found["type"]
	if serials || types && len(cells) > 1 {
		b.of = found
		return true
	}
	b.of = map[string]int{"serial": 0, "type": 1}
	return false
}

func (b *boxColumns) device(cells []string) sootline.BoxDevice {
	cell := func(name string) string {
		if i, ok := b.of[name]; ok && i < len(cells) {
			return strings.Clone(strings.TrimSpace(cells[i]))
		}
		return ""
	}
	return sootline.BoxDevice{Unit: sootline.Unit{Serial: cell("serial"), Batch: cell("batch"), Made: cell("made")}, Type: cell("type")}
}

// serialDoubts asks about serials with a space between and no type beside them: a
// line such as "B1 Larch" may hold both.
func (o BenchOpening) serialDoubts(r *sootline.Register) error {
	if o.Sure {
		return nil
	}
	const most = 3
	var texts []string
	n := 0
	for _, d := range o.Box {
		serial, rest, several := strings.Cut(d.Serial, " ")
		if !several || d.Type != "" {
			continue
		}
		if n++; n > most {
			continue
		}
		text := fmt.Sprintf("%q", d.Serial)
		if sheet := r.Sheet(rest); sheet != nil {
			text += fmt.Sprintf(" (serial %s of type %s?)", serial, sheet.Name)
		}
		texts = append(texts, text)
	}
	if n == 0 {
		return nil
	}
	if n > most {
		texts = append(texts, fmt.Sprintf("and %d more", n-most))
	}
	return sootline.Errorf(sootline.Doubtful, "put a comma or a semicolon between a serial and its type; or begin all the same, where the space belongs to the serial",
		"what the list has as a serial may be more than that: %s", strings.Join(texts, ", ")).Do(sootline.Give, "sure")
}
