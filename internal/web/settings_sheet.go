package web

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"sootline"
	"sootline/internal/app"
)

// sheetSetting is the sheet of a type. Edited, it becomes a new entry that holds
// from now on; earlier dates keep the sheet they had.
func sheetSetting() setting {
	return setting{name: "type", title: "Type sheet", form: sheetForm, write: writeSheet}
}

// mostBands is how many bands a form has room for.
const mostBands = 12

func deviceKinds() []sootline.DeviceKind {
	return []sootline.DeviceKind{
		sootline.Smoke, sootline.Heat, sootline.Multi, sootline.Gas, sootline.Flame, sootline.CallPoint,
		sootline.Sounder, sootline.Beacon, sootline.Module, sootline.Isolator, sootline.Other,
	}
}

func sheetForm(survey *app.Survey, of string) (*settingForm, error) {
	sheet := sootline.TypeSheet{Name: of}
	form := &settingForm{Title: "A new type sheet"}
	if of != "" {
		form.Title = "Type sheet of " + of
		form.Note = "There is no sheet of this type yet. The figures stand in the device’s own instructions."
	}
	if known := survey.Register.Sheet(of); known != nil {
		sheet = *known
		form.Note = "A change becomes a new sheet that holds from now on; earlier dates keep the sheet they had."
	}
	form.Groups = append([]fieldGroup{{Fields: aboutFields(&sheet, of != "")}, {Legend: "Currents and life", Fields: currentFields(&sheet)}}, bandGroups(sheet.Bands)...)
	return form, nil
}

func aboutFields(s *sootline.TypeSheet, fixed bool) []formField {
	kinds := []choiceLine{{Says: "not known", Chosen: s.Kind == ""}}
	for _, kind := range deviceKinds() {
		kinds = append(kinds, choiceLine{string(kind), string(kind), kind == s.Kind})
	}
	return []formField{
		{Name: "name", Label: "Name of the type", Value: s.Name, Fixed: fixed},
		{Name: "kind", Label: "Kind of device", Choices: kinds},
		{Name: "width", Label: "Numbers that it takes", Value: strconv.Itoa(s.Numbers())},
		{Name: "quantity", Label: "What its value is", Value: s.Quantity, Hint: "chamber value"},
		{Name: "unit", Label: "Unit of the value", Value: s.Unit},
		{Name: "compensated", Label: "The device or panel corrects its drift", Tick: true, Ticked: s.Compensated},
		{Name: "rest", Label: "Value at rest when new", Value: exactly(s.FactoryRest)},
		{Name: "spread", Label: "Largest normal spread of the samples of one visit, as a standard deviation", Value: exactly(s.SpreadLimit)},
		{Name: "pooled", Label: "Usual spread of a visit’s value about its trend", Value: exactly(s.PooledSD)},
		{Name: "settings", Label: "Settings and their choices, one a line", Value: strings.Join(choiceText(s.Settings), "\n"), Hint: "address=switches 7", Lines: 3},
	}
}

func choiceText(settings map[string]string) []string {
	var lines []string
	for name, choices := range settings {
		lines = append(lines, name+"="+choices)
	}
	slices.Sort(lines)
	return lines
}

func currentFields(s *sootline.TypeSheet) []formField {
	return []formField{
		{Name: "standby", Label: "At rest, in mA", Value: exactly(s.StandbyMA)},
		{Name: "alarmma", Label: "In alarm, in mA", Value: exactly(s.AlarmMA)},
		{Name: "volts", Label: "Least working volts", Value: exactly(s.MinVolts)},
		{Name: "life", Label: "Service life, in years", Value: exactly(s.LifeYears)},
	}
}

// bandGroups is a group for each band, and one more for a new one.
func bandGroups(bands []sootline.Band) []fieldGroup {
	var groups []fieldGroup
	for i := range min(len(bands)+1, mostBands) {
		band := sootline.Band{}
		legend := "Another band"
		if i < len(bands) {
			band = bands[i]
			legend = fmt.Sprintf("Band %d", i+1)
		}
		name := func(what string) string { return fmt.Sprintf("band%d%s", i, what) }
		groups = append(groups, fieldGroup{legend, []formField{
			{Name: name("low"), Label: "From", Value: exactly(band.Low)},
			{Name: name("high"), Label: "To", Value: exactly(band.High)},
			{Name: name("alarm"), Label: "Alarm level", Value: exactly(band.Alarm)},
			{Name: name("setting"), Label: "For this setting; empty: any", Value: band.Setting, Hint: "sensitivity=high"},
		}})
	}
	return groups
}

func writeSheet(ctx context.Context, a *app.App, survey *app.Survey, f *typedForm) error {
	sheet := sootline.TypeSheet{
		Name: f.text("name"), Kind: sootline.DeviceKind(f.text("kind")), Width: f.whole("width", "numbers that it takes"),
		Quantity: f.text("quantity"), Unit: f.text("unit"), Compensated: f.tick("compensated"),
		FactoryRest: f.figure("rest", "value at rest"), SpreadLimit: f.figure("spread", "largest normal spread"), PooledSD: f.figure("pooled", "usual spread"),
		StandbyMA: f.figure("standby", "current at rest"), AlarmMA: f.figure("alarmma", "current in alarm"),
		MinVolts: f.figure("volts", "least working volts"), LifeYears: f.figure("life", "service life"),
	}
	if sheet.Kind != "" && !slices.Contains(deviceKinds(), sheet.Kind) {
		return sootline.Errorf(sootline.Invalid, "choose one from the list", "%q is not a kind of device", sheet.Kind)
	}
	sheet.Settings = f.settings("settings")
	sheet.Bands = f.bands()
	if f.err != nil {
		return f.err
	}
	return a.SetSheet(ctx, survey.Register.Site.ID, sheet)
}

// settings reads name=choices, one a line.
func (f *typedForm) settings(name string) map[string]string {
	var all map[string]string
	for line := range strings.Lines(f.values.Get(name)) {
		line = strings.TrimSpace(line)
		setting, choices, ok := strings.Cut(line, "=")
		switch {
		case line == "":
			continue
		case !ok || strings.TrimSpace(setting) == "":
			f.err = sootline.Errorf(sootline.Invalid, "write it as name=choice, for example address=switches 7", "%q is not a setting with its choices", line)
			return nil
		case all == nil:
			all = map[string]string{}
		}
		all[strings.TrimSpace(setting)] = strings.TrimSpace(choices)
	}
	return all
}

// bands reads the bands of which a limit was typed.
func (f *typedForm) bands() []sootline.Band {
	var bands []sootline.Band
	for i := range mostBands {
		what := fmt.Sprintf("band %d", i+1)
		name := func(of string) string { return fmt.Sprintf("band%d%s", i, of) }
		band := sootline.Band{
			Setting: f.text(name("setting")), Low: f.figure(name("low"), what), High: f.figure(name("high"), what), Alarm: f.figure(name("alarm"), what),
		}
		if band.Low == nil && band.High == nil && band.Alarm == nil {
			continue
		}
		if slices.ContainsFunc(bands, func(b sootline.Band) bool { return strings.EqualFold(b.Setting, band.Setting) }) && f.err == nil {
			f.err = sootline.Errorf(sootline.Invalid, "name a setting for each, as sensitivity=high", "two bands are for the same setting %q", band.Setting)
		}
		bands = append(bands, band)
	}
	return bands
}
