package app

import (
	"context"
	"errors"
	"strings"

	"sootline"
	"sootline/internal/address"
	"sootline/internal/listing"
	"sootline/internal/store"
)

// Found is a list of what answers on a loop, held against the register.
type Found struct {
	Loop    address.Loop
	Answers []address.Answer
	address.Diagnosis
	Troubles []Remark // rows that could not be used
}

// ExplainFound reads a list of what answers on a loop (number, and type and
// serial where it has them), as a panel prints it or a technician notes it, and
// explains how it differs from the register. Nothing is written down.
func (a *App) ExplainFound(ctx context.Context, site sootline.ID, loop sootline.LoopID, path string) (_ *Found, err error) {
	_, loops, err := a.numberLoops(ctx, site, loop.String())
	if err != nil {
		return nil, err
	}
	in, err := a.Look(ctx, []string{path}, []listing.Profile{{
		Kind: listing.KindSchedule, Constants: map[listing.Field]string{listing.Panel: loop.Panel, listing.Loop: loop.Name},
	}})
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, in.Close()) }()
	f := &Found{Loop: loops[0]}
	defer in.During(ctx)()
	for _, table := range in.Tables {
		if err := f.read(ctx, table, loop); err != nil {
			return nil, err
		}
	}
	if len(f.Answers) == 0 {
		return nil, sootline.Errorf(sootline.Invalid, "hand in a list with a number a row, and the type and serial where you have them", "%s holds nothing that answers on loop %s", path, loop)
	}
	f.Diagnosis, err = address.Explain(ctx, f.Loop, f.Answers)
	return f, err
}

// mostAnswers is how many answers of one loop are explained: explaining tries every
// mistake for every number, and a loop has some hundred devices.
const mostAnswers = 2000

// read takes the rows of a table that are of the loop.
func (f *Found) read(ctx context.Context, table *IntakeTable, loop sootline.LoopID) error {
	for record, fault := range table.Records(table.Table) {
		if fault != nil {
			if len(f.Troubles) < mostAnswers {
				f.Troubles = append(f.Troubles, Remark{record.Line, fault.Trouble()})
			}
			continue
		}
		row := record.Schedule
		if row.Ref.Loop != "" && sootline.CleanName(row.Ref.Loop) != loop.Name {
			continue
		}
		if len(f.Answers) == mostAnswers {
			return sootline.Errorf(sootline.Invalid, "hand in the list of one loop", "%s names more than %d numbers, and a loop has fewer", table.Path, mostAnswers)
		}
		f.Answers = append(f.Answers, address.Answer{Number: row.Ref.Address, Type: row.Type, Serial: row.Serial})
	}
	return ctx.Err() // else a list that was not read to its end would pass for a short one
}

// NoteFound writes down the numbers that the devices were found at, as the
// explanation has it: those of its mistakes where they are, the others at the
// number at which something of their type answered.
func (a *App) NoteFound(ctx context.Context, site sootline.ID, f *Found) (int, error) {
	if err := a.Who.MaySee(site); err != nil {
		return 0, err
	}
	at := map[int]int{}
	silent := map[int]bool{}
	for _, mistake := range f.Mistakes {
		for _, moved := range mistake.Moved {
			at[moved.Device], silent[moved.Device] = moved.At, moved.At == 0
		}
	}
	answers := map[int]bool{}
	for _, answer := range f.Answers {
		answers[answer.Number] = true
	}
	var entries []sootline.Entry
	for i, d := range f.Loop.Devices {
		number, moved := at[i]
		if !moved && answers[d.Wanted] {
			number = d.Wanted
		}
		if number != 0 && !silent[i] && number != d.Found {
			entries = append(entries, a.entry(site, a.Now(), d.ID, sootline.Addressed{Found: number, Text: "as found"}))
		}
	}
	return len(entries), a.writeTo(ctx, site, func(tx *store.Tx) error { return a.append(tx, site, entries) })
}

// SettingDifferences lists the settings that devices should have and do not
// have, in the order of the walk; rules want a setting of every device of an
// area or type.
func (a *App) SettingDifferences(ctx context.Context, site sootline.ID, loop string, rules SettingRules) ([]SettingsOfLoop, error) {
	_, loops, err := a.numberLoops(ctx, site, loop)
	if err != nil {
		return nil, err
	}
	var all []SettingsOfLoop
	for _, l := range loops {
		differences, err := address.Differences(l, rules)
		if err != nil {
			return nil, err
		}
		all = append(all, SettingsOfLoop{l, differences})
	}
	return all, nil
}

// SettingsOfLoop are the settings of a loop's devices that are not as wanted.
type SettingsOfLoop struct {
	Loop        address.Loop
	Differences []address.Difference
}

// SettingRules are rules for settings.
type SettingRules = []address.SettingRule

// SettingRule wants one setting of every device of an area and a type; either
// may be left out.
func SettingRule(area, typ, name, choice string) address.SettingRule {
	return address.SettingRule{Area: area, Type: typ, Name: name, Choice: choice}
}

// ParseSettingRules reads rules as AREA:NAME=CHOICE or AREA/TYPE:NAME=CHOICE.
func ParseSettingRules(texts []string) (SettingRules, error) {
	rules := SettingRules{}
	for _, text := range texts {
		where, wanted, ok := strings.Cut(text, ":")
		name, choice, both := strings.Cut(wanted, "=")
		if !ok || !both {
			return nil, sootline.Errorf(sootline.Invalid, "a rule names an area, a setting and its choice", "%q is not a rule for settings", text).Do(sootline.Give, "rule", "Bedrooms:blink=off")
		}
		area, typ, _ := strings.Cut(where, "/")
		rules = append(rules, SettingRule(area, typ, name, choice))
	}
	return rules, nil
}
