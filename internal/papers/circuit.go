package papers

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/circuit"
	"sootline/internal/paper"
)

// fillLoops calculates each loop, with everything that was assumed.
func fillLoops(p *paperwork, d *paper.Document) error {
	d.Title = "Loop calculation"
	d.Cautions = append(d.Cautions, app.CircuitCaution)
	points, err := p.points()
	if err != nil {
		return err
	}
	part := paper.Part{}
	for _, loop := range p.r.Loops() {
		if !slices.ContainsFunc(points, func(point *sootline.Point) bool { return point.LoopID() == loop.LoopID }) {
			continue
		}
		power, err := app.LoopPower(p.r, loop.LoopID, app.WhatIf{}, app.Ask{Turns: true})
		if err != nil {
			return fmt.Errorf("loop %s: %w", loop.LoopID, err)
		}
		part.Blocks = append(part.Blocks, p.loopBlocks(loop.LoopID, power)...)
	}
	radials, err := app.RadialPowers(p.r, "")
	if err != nil {
		return err
	}
	for _, radial := range radials {
		part.Blocks = append(part.Blocks, radialBlocks(radial)...)
	}
	if len(part.Blocks) == 0 {
		part.Blocks = paragraphs("There is no loop with points on the register yet.")
	}
	d.Parts = []paper.Part{part}
	return nil
}

func (p *paperwork) loopBlocks(id sootline.LoopID, power *app.Power) []paper.Block {
	c := power.Circuit
	results := paper.Fields{}
	for _, row := range []paper.Field{
		{Name: "verdict", Value: power.Verdict()},
		{Name: "would settle it", Value: power.Settles()},
		{Name: "as taken", Value: power.AsTaken()},
		{Name: "least left", Value: power.Least()},
		{Name: "not written down", Value: power.Guessed()},
		{Name: "healthy", Value: c.Sentence(&power.Survey.Healthy)},
		{Name: "worst single fault", Value: c.Sentence(&power.Survey.Worst)},
		{Name: "current", Value: power.Currents()},
		{Name: "limit", Value: power.LimitSentence()},
		{Name: "starts again in any order", Value: power.Restart.Reason},
		{Name: "the fault that takes most", Value: "with " + c.Describe(power.Most.Faults) + ", " + power.Most.Loss.Sentence()},
	} {
		if row.Value != "" {
			row.Value = signed([]string{row.Value})[0]
			results.Rows = append(results.Rows, row)
		}
	}
	for _, text := range signed(power.Cable) {
		results.Rows = append(results.Rows, paper.Field{Name: "cable", Value: text})
	}
	for _, b := range power.Broken {
		results.Rows = append(results.Rows, paper.Field{Name: "rule broken", Value: b.Sentence(c)})
	}
	for _, clause := range power.Kept {
		results.Rows = append(results.Rows, paper.Field{Name: "rule kept", Value: clause})
	}
	for _, clause := range power.Untold {
		results.Rows = append(results.Rows, paper.Field{Name: "rule, not told whether kept", Value: clause})
	}
	for _, text := range power.Turns {
		results.Rows = append(results.Rows, paper.Field{Name: "may be off", Value: text})
	}
	blocks := []paper.Block{
		paper.Heading{Text: "Loop " + id.String()}, paper.Paragraph{Text: sootline.AsSentence(power.Verdict())}, results, p.supply(id), paper.Picture{Drawing: power.Picture()},
	}
	if len(power.Assumed) > 0 {
		blocks = append(blocks, paper.Paragraph{Text: "Assumed, because nobody wrote it down:"}, paper.List{Items: signed(power.Assumed)})
	} else {
		blocks = append(blocks, paper.Paragraph{Text: "Nothing was assumed."})
	}
	blocks = append(blocks, voltsTable(power.Profile))
	return append(blocks, measuredBlocks(power.Meters)...)
}

// supply tells what the book says of a loop's supply and cable.
func (p *paperwork) supply(id sootline.LoopID) paper.Block {
	s := p.r.Supply(id)
	if s == nil {
		return paper.Paragraph{Text: "What feeds the loop, and what its cable is, is not written down."}
	}
	figure := func(x float64, unit string) string {
		if x == 0 {
			return "not known"
		}
		return strconv.FormatFloat(x, 'g', -1, 64) + " " + unit
	}
	source := "not known"
	if s.SourceOhms != nil {
		source = strconv.FormatFloat(*s.SourceOhms, 'g', -1, 64) + " ohm"
	}
	alarms := "all"
	if s.AlarmsAtOnce != nil {
		alarms = strconv.Itoa(*s.AlarmsAtOnce)
	}
	rows := []paper.Field{
		{Name: "volts at the panel", Value: figure(s.Volts, "V")},
		{Name: "volts with the battery at its lowest", Value: figure(s.LowVolts, "V")},
		{Name: "volts at the highest charge", Value: figure(s.HighVolts, "V")},
		{Name: "resistance in the panel, each core", Value: source},
		{Name: "current an end can give", Value: figure(s.LimitMA, "mA")},
		{Name: "copper of a core", Value: figure(s.MM2, "mm²")},
		{Name: "cable between points where not given", Value: figure(s.UsualMetres, "m")},
		{Name: "devices in alarm at once", Value: alarms},
		{Name: "resistance of a closed isolator", Value: figure(s.IsolatorOhms, "ohm")},
		{Name: "an isolator stays closed from", Value: figure(s.Holds, "V")},
		{Name: "an isolator opens below", Value: figure(s.Opens, "V")},
		{Name: "an isolator closes again from", Value: figure(s.Closes, "V")},
		{Name: "an isolator carries", Value: figure(s.CarriesMA, "mA")},
		{Name: "least volts where the type does not say", Value: figure(s.LeastVolts, "V")},
	}
	if s.Celsius != nil {
		rows = append(rows, paper.Field{Name: "temperature of the cable", Value: strconv.FormatFloat(*s.Celsius, 'g', -1, 64) + " °C"})
	}
	if s.ReturnMetres != nil {
		rows = append(rows, paper.Field{Name: "cable from the last point to the panel", Value: strconv.FormatFloat(*s.ReturnMetres, 'g', -1, 64) + " m"})
	}
	return paper.Fields{Rows: rows}
}

// signed writes the signs of units in texts as papers have them.
func signed(texts []string) []string {
	all := make([]string, len(texts))
	for i, text := range texts {
		all[i] = celsius.ReplaceAllString(strings.ReplaceAll(text, "mm2", "mm²"), "${1} °C")
	}
	return all
}

// celsius is a temperature as the engines write it.
var celsius = regexp.MustCompile(`(\d) C\b`)

// voltsTable lists the volts at each device, healthy and in the worst case.
func voltsTable(profile *circuit.Profile) paper.Table {
	t := paper.Table{Title: "Volts at each device", Columns: []paper.Column{{Name: "point"}, {Name: "metres", Right: true}, {Name: "least", Right: true}}, None: "No device is fed."}
	at := make([]map[string]circuit.Volts, len(profile.Series))
	for i, s := range profile.Series {
		t.Columns = append(t.Columns, paper.Column{Name: s.Name, Right: true})
		at[i] = map[string]circuit.Volts{}
		for _, m := range s.Marks {
			at[i][m.Point] = m.Volts
		}
	}
	for _, m := range profile.Least {
		row := []paper.Cell{paper.Text(m.Point), paper.Number(float64(m.Metres), 1), paper.Number(float64(m.Volts), 2)}
		for i := range at {
			if v, fed := at[i][m.Point]; fed {
				row = append(row, paper.Number(float64(v), 2))
			} else {
				row = append(row, paper.Text("not fed"))
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// fillPack puts the papers of a handover into one.
func fillPack(p *paperwork, d *paper.Document) error {
	title := "Handover pack"
	d.Contents = true
	var parts []paper.Part
	for _, name := range []string{"visit", "remedial", "schedule", "commissioning", "acceptance", "servicing", "loop", "battery", "alarms", "drift", "visit-list", "order", "cards", "log"} {
		kind, err := findPaper(name)
		if err != nil {
			return err
		}
		if err := p.ctx.Err(); err != nil {
			return err
		}
		one := *d
		one.Cautions = nil
		if err := kind.fill(p, &one); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		part := paper.Part{Title: one.Title}
		for _, caution := range one.Cautions {
			part.Blocks = append(part.Blocks, paper.Paragraph{Text: caution})
		}
		for _, inner := range one.Parts {
			part.Blocks = append(part.Blocks, inner.Blocks...)
		}
		parts = append(parts, part)
	}
	d.Title, d.Parts = title, parts
	return nil
}
