package app

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/listing"
)

// takeTypes makes type sheets of rows. A type may have several rows, one for
// each quantity, and for each setting that has a band of its own.
func (t *taker) takeTypes(o *TableOutcome) error {
	sheets := map[string]*sootline.TypeSheet{}
	rows := map[string][]listing.Record{}
	given := map[string]bool{} // quantities of types that had a row
	var order []string
	err := t.records(o, func(record listing.Record) error {
		row := record.Type
		key := sootline.TypeKey(row.Name)
		before := sheets[key]
		if before == nil {
			before = begin(t.r.Sheet(row.Name), row)
		}
		name, _ := quantityOf(row)
		if quantity := key + "\x00" + sootline.TypeKey(name); !given[quantity] {
			given[quantity] = true
			before = without(before, name)
		}
		if row.DeviceText != "" && deviceKind(row) == "" {
			o.remark(record.Line, fmt.Sprintf("the kind %q of type %s is not known, and left out; write smoke, heat, multi, gas, flame, call point, sounder, beacon, module or isolator", row.DeviceText, row.Name))
		}
		sheet, err := sheetWith(before, row)
		if err != nil {
			return t.refuse(o, record, err.Error())
		}
		if sheets[key] == nil {
			order = append(order, key)
		}
		sheets[key] = sheet
		rows[key] = append(rows[key], listing.Record{Line: record.Line, Cells: slices.Clone(record.Cells)})
		return nil
	})
	if err != nil {
		return err
	}
	for _, key := range order {
		if err := t.saySheet(o, sheets[key], rows[key]); err != nil {
			return err
		}
	}
	return nil
}

// saySheet adds a sheet: as known since always when the type was not known, and
// from now on when it says more than was known. What it says otherwise needs a yes.
func (t *taker) saySheet(o *TableOutcome, sheet *sootline.TypeSheet, rows []listing.Record) error {
	known := t.r.Sheet(sheet.Name)
	if known != nil && reflect.DeepEqual(known, sheet) {
		o.Same += len(rows)
		return nil
	}
	at := sootline.LongAgo
	if known != nil {
		if says := otherFacts(known, sheet); says != "" {
			if held := t.effect(o, rows[0].Line, EffectSheet, says); held != "" {
				return t.refuseAll(o, rows, held)
			}
		}
		at = t.now
		o.remark(0, fmt.Sprintf("type %s: the new sheet holds from now on; earlier dates keep the sheet they had", sheet.Name))
	}
	e, err := t.entry(sootline.Moment{At: at}, sootline.ID{}, "", sootline.Sheet{TypeSheet: *sheet})
	if err != nil {
		return err
	}
	v, err := t.say(o, e)
	o.count(v, len(rows))
	return err
}

func (t *taker) refuseAll(o *TableOutcome, rows []listing.Record, why string) error {
	for _, record := range rows {
		if err := t.refuse(o, record, why); err != nil {
			return err
		}
	}
	return nil
}

// otherFacts says which facts of a known sheet another one has otherwise, or not at all; empty: it only adds to them.
func otherFacts(known, sheet *sootline.TypeSheet) string {
	was, is := reflect.ValueOf(*known), reflect.ValueOf(*sheet)
	var facts []string
	for i := range was.NumField() {
		a, b := was.Field(i), is.Field(i)
		if a.IsZero() || reflect.DeepEqual(a.Interface(), b.Interface()) || a.Kind() == reflect.Slice && hasAllOf(b, a) {
			continue
		}
		name, _, _ := strings.Cut(was.Type().Field(i).Tag.Get("json"), ",")
		facts = append(facts, strings.ReplaceAll(name, "_", " "))
	}
	if len(facts) == 0 {
		return ""
	}
	return fmt.Sprintf("the book has another sheet of type %s, with other facts: %s", known.Name, strings.Join(facts, ", "))
}

// hasAllOf reports whether a list has all that another one has.
func hasAllOf(list, other reflect.Value) bool {
	for i := range other.Len() {
		found := false
		for k := range list.Len() {
			found = found || reflect.DeepEqual(other.Index(i).Interface(), list.Index(k).Interface())
		}
		if !found {
			return false
		}
	}
	return true
}

func (o *TableOutcome) count(v verdict, rows int) {
	switch v {
	case added:
		o.Rows += rows
	case same:
		o.Same += rows
	case repeated:
		o.Repeated += rows
	}
}

// sheetWith adds what a row says to what the rows before it said of the type.
func sheetWith(before *sootline.TypeSheet, row *listing.TypeRow) (*sootline.TypeSheet, error) {
	clone := *before
	clone.Bands, clone.Others = slices.Clone(before.Bands), slices.Clone(before.Others)
	sheet := &clone
	sheet.Kind = cmp.Or(deviceKind(row), sheet.Kind)
	if row.Width.Known {
		sheet.Width = int(row.Width.Value)
	}
	if row.SaidSo {
		sheet.Compensated = row.Compensated
	}
	for figure, field := range map[*listing.Figure]**float64{
		&row.Standby: &sheet.StandbyMA, &row.AlarmCurrent: &sheet.AlarmMA,
		&row.LeastVolts: &sheet.MinVolts, &row.Life: &sheet.LifeYears,
	} {
		if figure.Known {
			value := figure.Value
			*field = &value
		}
	}
	if row.Settings != "" {
		sheet.Settings = choices(row.Settings)
		if err := checkSheet(sheet); err != nil {
			return nil, err
		}
	}
	if err := addQuantity(sheet, row); err != nil {
		return nil, err
	}
	return sheet, sheet.Check()
}

// withBand adds the band of a row to those of the rows before it.
func withBand(bands []sootline.Band, row *listing.TypeRow) ([]sootline.Band, error) {
	band := sootline.Band{Setting: row.BandSetting, Low: pointer(row.Low), High: pointer(row.High), Alarm: pointer(row.Alarm)}
	if band.Low == nil && band.High == nil && band.Alarm == nil {
		return bands, nil
	}
	i := slices.IndexFunc(bands, func(b sootline.Band) bool { return b.Setting == band.Setting })
	if i >= 0 && !reflect.DeepEqual(bands[i], band) {
		return nil, sootline.Errorf(sootline.Invalid, "", "type %s has another band for the same setting in an earlier row; keep one of the two", strings.TrimSpace(row.Name))
	}
	if i < 0 {
		bands = append(bands, band)
	}
	return bands, nil
}

func pointer(f listing.Figure) *float64 {
	if !f.Known {
		return nil
	}
	return &f.Value
}

// choices reads "name=a/b; other=c/d".
func choices(text string) map[string]string {
	all := map[string]string{}
	for part := range strings.FieldsFuncSeq(text, func(c rune) bool { return c == ';' || c == '\n' }) {
		name, choice, _ := strings.Cut(part, "=")
		if name = strings.TrimSpace(name); name != "" {
			all[name] = strings.TrimSpace(choice)
		}
	}
	return all
}

// deviceKind puts the listing's kind of device into the register's words. What
// the listing did not say, or said in words that nobody knows, is empty, and
// such a type is judged.
func deviceKind(row *listing.TypeRow) sootline.DeviceKind {
	switch row.Device {
	case "optical", "ionisation", "beam", "aspirating", "smoke":
		return sootline.Smoke
	case "co", "gas":
		return sootline.Gas
	case "multi", "heat", "flame", "call point", "sounder", "beacon", "module", "isolator":
		return sootline.DeviceKind(row.Device)
	}
	return ""
}
