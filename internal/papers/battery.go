package papers

import (
	"cmp"
	"fmt"
	"math"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/paper"
)

// fillBattery sizes the standby battery of each panel, or of one: behind the devices
// on its loops and its load list. Loads that were given without a panel stand alone.
func fillBattery(p *paperwork, d *paper.Document) error {
	d.Title = "Battery calculation"
	d.Cautions = append(d.Cautions, app.CircuitCaution)
	part := paper.Part{}
	if len(p.wish.Battery.Drains) > 0 && p.wish.Panel == "" {
		note := "These are the loads that were listed, and no others; what stands on the loops of the register is in it only as far as it was listed."
		blocks, err := p.batteryBlocks(p.wish.Battery, nil, note)
		if err != nil {
			return err
		}
		part.Blocks = blocks
	}
	for _, panel := range p.batteryPanels() {
		battery, assumed, err := app.PanelBattery(p.r, panel, p.wish.Battery)
		if err != nil {
			if sootline.ErrorCode(err) == sootline.NotFound && p.wish.Panel == "" {
				continue // a panel on whose loops nothing stands yet
			}
			return err
		}
		blocks, err := p.batteryBlocks(battery, assumed, battery.Lacks())
		if err != nil {
			return fmt.Errorf("panel %s: %w", panel, err)
		}
		part.Blocks = append(append(part.Blocks, paper.Heading{Text: "Panel " + panel}), blocks...)
	}
	if len(part.Blocks) == 0 {
		part.Blocks = paragraphs("No load is known.")
	}
	d.Parts = []paper.Part{part}
	return nil
}

// batteryPanels lists the panels whose batteries the paper sizes.
func (p *paperwork) batteryPanels() []string {
	switch {
	case p.wish.Panel != "":
		return []string{p.wish.Panel}
	case len(p.wish.Battery.Drains) > 0:
		return nil
	}
	return p.r.PanelsLoaded()
}

// batteryBlocks is one battery: its load list, what was assumed, what it comes to.
func (p *paperwork) batteryBlocks(battery app.Battery, assumed []string, note string) ([]paper.Block, error) {
	t := paper.Table{
		Title:   "Load list",
		Columns: []paper.Column{{Name: "load"}, {Name: "number", Right: true}, {Name: "mA at rest, of one", Right: true}, {Name: "mA in alarm, of one", Right: true}},
	}
	for _, drain := range battery.Drains {
		t.Rows = append(t.Rows, []paper.Cell{paper.Text(drain.Name), paper.Count(drain.Count), milli(drain.Rest), milli(drain.Alarm)})
	}
	blocks := []paper.Block{t}
	if note != "" {
		blocks = append(paragraphs(note), t)
	}
	if len(assumed) > 0 {
		blocks = append(blocks, paper.Paragraph{Text: "Assumed, because nobody wrote it down:"}, paper.List{Items: signed(assumed)})
	}
	result, err := sizing(battery, cmp.Or(p.wish.Rule, battery.Rule, 1))
	return append(blocks, result...), err
}

// milli is a current in mA as a cell, to the microampere.
func milli(a app.Amps) paper.Cell { return paper.Number(math.Round(float64(a)*1e6)/1e3, -1) }

// sizing is the battery by one rule set, with the reasoning.
func sizing(in app.Battery, number int) ([]paper.Block, error) {
	size, err := in.Size(number)
	if err != nil {
		return nil, err
	}
	rule := in.RuleFor(number)
	return []paper.Block{paper.Heading{Text: in.Heading(size)}, paper.Fields{Rows: []paper.Field{
		{Name: "rule set", Value: rule.Name},
		{Name: "clause", Value: rule.Clause},
		{Name: "standby", Value: fmt.Sprintf("%.3g h (%s)", rule.Standby.Value, rule.Standby.Source)},
		{Name: "alarm", Value: fmt.Sprintf("%.3g h (%s)", rule.Alarm.Value, rule.Alarm.Source)},
		{Name: "factor", Value: fmt.Sprintf("%g (%s)", rule.Margin.Value, rule.Margin.Source)},
	}}, paper.List{Items: signed(size.Steps)}}, nil
}
