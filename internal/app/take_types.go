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
// each setting that has a band of its own.
func (t *taker) takeTypes(o *TableOutcome) error {
	sheets := map[string]*sootline.TypeSheet{}
	rows := map[string]int{}
	var order []string
	err := t.records(o, func(record listing.Record) error {
		row := record.Type
		key := sootline.TypeKey(row.Name)
		sheet, err := sheetWith(sheets[key], row)
		if err != nil {
			return t.refuse(o, record, err.Error())
		}
		if sheets[key] == nil {
			order = append(order, key)
		}
		sheets[key] = sheet
		rows[key]++
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
// from now on when it changes what was known.
func (t *taker) saySheet(o *TableOutcome, sheet *sootline.TypeSheet, rows int) error {
	known := t.r.Sheet(sheet.Name)
	if known != nil && reflect.DeepEqual(known, sheet) {
		o.Same += rows
		return nil
	}
	at := sootline.LongAgo
	if known != nil {
		at = t.now
		o.remark(0, fmt.Sprintf("type %s: the new sheet holds from now on; earlier dates keep the sheet they had", sheet.Name))
	}
	e, err := t.entry(at, sootline.ID{}, "", sootline.Sheet{TypeSheet: *sheet})
	if err != nil {
		return err
	}
	v, err := t.say(o, e)
	o.count(v, rows)
	return err
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
	sheet := &sootline.TypeSheet{Name: strings.TrimSpace(row.Name)}
	if before != nil {
		clone := *before
		clone.Bands = slices.Clone(before.Bands)
		sheet = &clone
	}
	sheet.Kind = cmp.Or(deviceKind(row), sheet.Kind)
	sheet.Quantity = cmp.Or(row.Quantity, sheet.Quantity)
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
	}
	band := sootline.Band{Setting: row.BandSetting, Low: pointer(row.Low), High: pointer(row.High), Alarm: pointer(row.Alarm)}
	if band.Low != nil || band.High != nil || band.Alarm != nil {
		i := slices.IndexFunc(sheet.Bands, func(b sootline.Band) bool { return b.Setting == band.Setting })
		if i >= 0 && !reflect.DeepEqual(sheet.Bands[i], band) {
			return nil, sootline.Errorf(sootline.Invalid, "", "type %s has another band for the same setting in an earlier row; keep one of the two", sheet.Name)
		}
		if i < 0 {
			sheet.Bands = append(sheet.Bands, band)
		}
	}
	return sheet, sheet.Check()
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
	case "co":
		return sootline.Gas
	case "multi", "heat", "flame", "call point", "sounder", "beacon", "module", "isolator":
		return sootline.DeviceKind(row.Device)
	}
	return ""
}
