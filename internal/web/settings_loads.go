package web

import (
	"context"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
)

// loadsSetting is what hangs on a panel's battery beside its loops.
func loadsSetting() setting {
	return setting{name: string(sootline.LoadsKind), title: "Load list of a panel", form: loadsForm, write: writeLoads}
}

// partLabels says what each part of a load list asks for.
func partLabels() map[sootline.LoadPart]string {
	return map[sootline.LoadPart]string{
		sootline.SounderLoads: "Sounder circuits", sootline.OutputLoads: "Outputs", sootline.AuxiliaryLoads: "Auxiliary supply",
	}
}

func loadsForm(survey *app.Survey, of string) (*settingForm, error) {
	list := sootline.LoadList{Panel: of}
	if kept := survey.Register.Loads(of); kept != nil {
		list = kept.LoadList
	}
	some := func(x float64) string {
		if x == 0 {
			return ""
		}
		return exactly(&x)
	}
	form := &settingForm{Note: "The devices on the panel’s loops come from the register. What is left empty is not known, or none."}
	if of != "" {
		form.Title = "Load list of panel " + of
	}
	fields := []formField{
		{Name: "panel", Label: "Panel", Value: list.Panel, Fixed: of != ""},
		{Name: "ownrest", Label: "The panel itself at rest, mains failed, in mA", Value: exactly(list.OwnRestMA)},
		{Name: "ownalarm", Label: "The panel itself in alarm, in mA", Value: exactly(list.OwnAlarmMA)},
	}
	for _, part := range sootline.LoadParts() {
		fields = append(fields, formField{Name: string(part), Label: partLabels()[part] + ", a line each: name = count x mA at rest / mA in alarm", Value: loadLines(&list, part), Lines: 2})
	}
	choices := []choiceLine{{Says: "not said"}}
	for _, rule := range app.StandbyRules() {
		choices = append(choices, choiceLine{Value: rule.Name, Says: rule.Name, Chosen: rule.Name == list.Rule})
	}
	form.Groups = []fieldGroup{{Fields: append(
		fields,
		formField{Name: "rule", Label: "Rule set", Choices: choices},
		formField{Name: "hours", Label: "Hours at rest, in place of the rule’s", Value: some(list.StandbyHours)},
		formField{Name: "alarmhours", Label: "Hours in alarm, in place of the rule’s", Value: some(list.AlarmHours)},
		formField{Name: "margin", Label: "Factor on the whole, in place of the rule’s", Value: some(list.Margin)},
		formField{Name: "coldest", Label: "Lowest temperature of the battery, in °C", Value: exactly(list.Coldest)},
		formField{Name: "design", Label: "Factor for load added later", Value: some(list.Design)},
		formField{Name: "ageing", Label: "Ageing factor where the rule has none", Value: some(list.Ageing)},
		formField{Name: "charger", Label: "Charger beside the load, in mA", Value: some(list.ChargerMA)},
		formField{Name: "accepts", Label: "Share of the charge that the battery keeps, 0 to 1", Value: some(list.Accepts)},
		formField{Name: "largest", Label: "Largest battery that the panel takes, in Ah", Value: some(list.LargestAh)},
	)}}
	return form, nil
}

// loadLines writes the lines of a part as they are typed.
func loadLines(list *sootline.LoadList, part sootline.LoadPart) string {
	var lines []string
	for _, l := range list.Loads {
		if l.Part == part {
			lines = append(lines, fmt.Sprintf("%s = %d x %s / %s", l.Name, l.Count, exactly(&l.RestMA), exactly(&l.AlarmMA)))
		}
	}
	return strings.Join(lines, "\n")
}

func writeLoads(ctx context.Context, a *app.App, survey *app.Survey, f *typedForm) error {
	list := sootline.LoadList{
		Panel: sootline.CleanName(f.text("panel")), OwnRestMA: f.figure("ownrest", "the panel itself at rest"), OwnAlarmMA: f.figure("ownalarm", "the panel itself in alarm"),
		Rule: f.text("rule"), StandbyHours: f.amount("hours", "hours at rest"), AlarmHours: f.amount("alarmhours", "hours in alarm"),
		Margin: f.amount("margin", "the factor"), Coldest: f.figure("coldest", "lowest temperature"), Design: f.amount("design", "factor for load added later"),
		Ageing: f.amount("ageing", "ageing factor"), ChargerMA: f.amount("charger", "the charger"), Accepts: f.amount("accepts", "share of the charge"),
		LargestAh: f.amount("largest", "largest battery"),
	}
	for _, part := range sootline.LoadParts() {
		drains, err := typedLoads(f.values.Get(string(part)))
		if err != nil {
			return err
		}
		for _, d := range drains {
			list.Loads = append(list.Loads, sootline.PanelLoad{Part: part, Name: d.Name, Count: d.Count, RestMA: shape.Milli(float64(d.Rest)), AlarmMA: shape.Milli(float64(d.Alarm))})
		}
	}
	if f.err != nil {
		return f.err
	}
	if kept := survey.Register.Loads(list.Panel); kept != nil && reflect.DeepEqual(kept.LoadList, list) {
		return nil
	}
	return a.SetLoads(ctx, survey.Register.Site.ID, list)
}

// keptList is the load list of a panel as the Battery page shows it.
type keptList struct {
	Says, Address, Entry string
	May                  bool // whoever looks may change it
	Verdict              string
	Rule                 string
}

// keep fills in what the panel's load list says, and what it comes to by its rule;
// nothing where no panel was chosen.
func (p *batteryPage) keep(survey *app.Survey, battery *app.Battery, role sootline.Role) error {
	if !slices.Contains(p.Panels, p.Panel) {
		return nil
	}
	base := siteAddress(survey)
	p.Kept = keptList{Address: base + "/settings/loads?of=" + queryWord(p.Panel), May: role.May(sootline.Manager)}
	if battery.Kept == nil {
		return nil
	}
	p.Kept.Says, p.Kept.Entry = sootline.Say(battery.Kept.LoadList), base+"/log/"+battery.Kept.Entry.String()
	if battery.Rule == 0 {
		return nil
	}
	size, err := battery.Size(battery.Rule)
	if err != nil {
		return err
	}
	p.Kept.Verdict, p.Kept.Rule = battery.Heading(size), strconv.Itoa(battery.Rule)+", "+battery.RuleFor(battery.Rule).Name
	return nil
}
