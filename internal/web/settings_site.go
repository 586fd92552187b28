package web

import (
	"context"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"sootline"
	"sootline/internal/app"
)

// factsSetting is a site's name, clock and rules.
func factsSetting() setting {
	return setting{title: "The site", form: factsForm, write: writeFacts}
}

func factsForm(survey *app.Survey, _ string) (*settingForm, error) {
	site := survey.Register.Site
	known, err := sootline.FormOf(sootline.Opened{SiteFacts: site.SiteFacts})
	if err != nil {
		return nil, err
	}
	var facts []formField
	for _, f := range sootline.FactFields() {
		facts = append(facts, formField{Name: f.Key, Label: sootline.Capital(f.Label), Value: known[f.Key]})
	}
	return &settingForm{
		Note: "What is left empty stays as it is. A rule holds from now on.",
		Groups: []fieldGroup{{Fields: []formField{
			{Name: "name", Label: "Name", Value: site.Name},
			{Name: "zone", Label: "Time zone", Value: survey.Zone.String(), Hint: "Europe/Paris"},
			{Name: "remark", Label: "Remark", Value: site.Remark},
			{Name: "months", Label: "From one visit to the next, in months", Value: strconv.Itoa(site.Rules.VisitMonths)},
			{Name: "days", Label: "A disablement counts as forgotten after days", Value: strconv.Itoa(site.Rules.ForgottenDays)},
			{Name: "spread", Label: "Usual spread of a value about its trend, in its own unit, where a type sheet says none", Value: number(&site.Rules.PooledSD)},
		}}, lossGroup(&site.Rules.Losses), {Legend: "Facts for papers", Fields: facts}},
	}, nil
}

// writeFacts writes down what differs from what holds.
func writeFacts(ctx context.Context, a *app.App, survey *app.Survey, f *typedForm) error {
	before := survey.Register.Site
	facts := sootline.Opened{
		Name: unless(f.text("name"), before.Name), Zone: unless(f.text("zone"), survey.Zone.String()), Remark: unless(f.text("remark"), before.Remark),
		Rules: sootline.Rules{
			VisitMonths:   unless(f.whole("months", "months between visits"), before.Rules.VisitMonths),
			ForgottenDays: unless(f.whole("days", "days of a disablement"), before.Rules.ForgottenDays),
		},
	}
	typed, err := factsTyped(&before.SiteFacts, f)
	if err != nil {
		return err
	}
	facts.SiteFacts = typed
	// The form shows the spread rounded: only another figure is a new one.
	if shown := number(&before.Rules.PooledSD); f.text("spread") != shown {
		facts.Rules.PooledSD = f.amount("spread", "usual spread")
	}
	facts.Rules.Losses = lossesTyped(&before.Rules.Losses, f)
	if f.err != nil || facts == (sootline.Opened{}) {
		return f.err
	}
	return a.SetFacts(ctx, before.ID, facts)
}

// lossGroup asks what it costs to be wrong about a detector.
func lossGroup(l *sootline.Losses) fieldGroup {
	return fieldGroup{Legend: "What it costs to be wrong about a detector (only how these stand to each other counts)", Fields: []formField{
		{Name: "loss-missed", Label: "It is outside its band and missed until the next visit", Value: exactly(&l.Missed)},
		{Name: "loss-look", Label: "A second look for nothing", Value: exactly(&l.Look)},
		{Name: "loss-clean", Label: "A needless cleaning at a visit", Value: exactly(&l.Clean)},
		{Name: "loss-trip", Label: "A trip between visits to clean it, for nothing", Value: exactly(&l.Trip)},
		{Name: "loss-replace", Label: "A good unit replaced", Value: exactly(&l.Replace)},
	}}
}

// loss is a loss that was typed; 0 where none was.
func (f *typedForm) loss(name, what string) float64 {
	x := f.figure(name, what)
	if x != nil && *x == 0 && f.err == nil {
		f.err = sootline.NotChosen(what)
	}
	return f.amount(name, what)
}

// lossesTyped gives the losses that differ from those that hold.
func lossesTyped(before *sootline.Losses, f *typedForm) sootline.Losses {
	return sootline.Losses{
		Missed:  unless(f.loss("loss-missed", "loss of a missed detector"), before.Missed),
		Look:    unless(f.loss("loss-look", "loss of a second look"), before.Look),
		Clean:   unless(f.loss("loss-clean", "loss of a cleaning"), before.Clean),
		Trip:    unless(f.loss("loss-trip", "loss of a trip"), before.Trip),
		Replace: unless(f.loss("loss-replace", "loss of a replacement"), before.Replace),
	}
}

// factsTyped gives the facts that differ from what holds.
func factsTyped(before *sootline.SiteFacts, f *typedForm) (sootline.SiteFacts, error) {
	known, err := sootline.FormOf(sootline.Opened{SiteFacts: *before})
	if err != nil {
		return sootline.SiteFacts{}, err
	}
	form := sootline.Form{}
	for _, field := range sootline.FactFields() {
		if text := unless(f.text(field.Key), known[field.Key]); text != "" {
			form[field.Key] = text
		}
	}
	body, err := sootline.BodyOf(sootline.OpenedKind, form)
	opened, _ := body.(sootline.Opened)
	return opened.SiteFacts, err
}

// unless gives what was typed, or nothing where it is what holds already.
func unless[T comparable](typed, holds T) T {
	var none T
	if typed == holds {
		return none
	}
	return typed
}

// loopSetting is which numbers a loop allows.
func loopSetting() setting {
	return setting{name: "loop", title: "Loop", form: loopForm, write: writeLoop}
}

func loopForm(survey *app.Survey, of string) (*settingForm, error) {
	form := &settingForm{Title: "A new loop"}
	loop := sootline.Loop{LoopID: sootline.LoopID{Panel: "1"}, First: sootline.DefaultFirst, Last: sootline.DefaultLast, Unset: sootline.DefaultUnset}
	if of != "" {
		id, err := survey.LoopNamed(of)
		if err != nil {
			return nil, err
		}
		loop = survey.Register.Loop(id)
		form.Title = "Numbers of loop " + of
		form.Note = "It holds from now on; the numbers that devices have stay as they are, and Numbers says which do not fit."
	}
	var reserved []string
	for _, n := range loop.Reserved {
		reserved = append(reserved, strconv.Itoa(n))
	}
	form.Groups = []fieldGroup{{Fields: []formField{
		{Name: "panel", Label: "Panel", Value: loop.Panel, Fixed: of != ""},
		{Name: "loop", Label: "Loop", Value: loop.Name, Fixed: of != ""},
		{Name: "first", Label: "Lowest number", Value: strconv.Itoa(loop.First)},
		{Name: "last", Label: "Highest number", Value: strconv.Itoa(loop.Last)},
		{Name: "unset", Label: "Number before anyone sets it", Value: strconv.Itoa(loop.Unset)},
		{Name: "reserved", Label: "Numbers kept free", Value: strings.Join(reserved, ", "), Hint: "50, 51"},
		{Name: "separate", Label: "Detectors and the other devices have a range each", Tick: true, Ticked: loop.Separate},
	}}}
	return form, nil
}

func writeLoop(ctx context.Context, a *app.App, survey *app.Survey, f *typedForm) error {
	id, err := f.loop()
	if err != nil {
		return err
	}
	loop := sootline.LoopFacts{
		Panel: id.Panel, Loop: id.Name, First: f.whole("first", "lowest number"), Last: f.whole("last", "highest number"),
		Unset: f.whole("unset", "unset number"), Separate: f.tick("separate"),
	}
	for _, text := range strings.FieldsFunc(f.text("reserved"), func(c rune) bool { return c == ',' || c == ' ' || c == ';' }) {
		n, err := typedWhole(text, "numbers kept free")
		if err != nil {
			return err
		}
		loop.Reserved = append(loop.Reserved, n)
	}
	if f.err != nil {
		return f.err
	}
	known := survey.Register.Loop(id)
	if survey.Register.Described(id) && known.First == loop.First && known.Last == loop.Last && known.Unset == loop.Unset &&
		known.Separate == loop.Separate && slices.Equal(known.Reserved, loop.Reserved) {
		return nil
	}
	return a.SetLoop(ctx, survey.Register.Site.ID, loop)
}

// loop reads which loop a form is about.
func (f *typedForm) loop() (sootline.LoopID, error) {
	id := sootline.LoopID{Panel: sootline.CleanName(f.text("panel")), Name: sootline.CleanName(f.text("loop"))}
	if id.Panel == "" || id.Name == "" || strings.ContainsAny(id.Panel+id.Name, "./ ") {
		return id, sootline.Errorf(sootline.Invalid, "for example panel 1 and loop 2", "a panel and a loop have a name each, without points or spaces")
	}
	return id, nil
}

// supplySetting is what feeds a loop and what its cable is. A loop that is not
// described yet has none.
func supplySetting() setting {
	return setting{name: "supply", title: "Supply and cable", form: supplyForm, write: writeSupply}
}

func supplyForm(survey *app.Survey, of string) (*settingForm, error) {
	if of == "" {
		return &settingForm{}, nil
	}
	id, err := survey.LoopNamed(of)
	if err != nil {
		return nil, err
	}
	supply := sootline.Supply{}
	if known := survey.Register.Supply(id); known != nil {
		supply = *known
	}
	some := func(x float64) string {
		if x == 0 {
			return ""
		}
		return strconv.FormatFloat(x, 'f', -1, 64)
	}
	atOnce := ""
	if supply.AlarmsAtOnce != nil {
		atOnce = strconv.Itoa(*supply.AlarmsAtOnce)
	}
	return &settingForm{
		Title: "Supply and cable of loop " + of,
		Note:  "What is left empty is not known; the verdict takes its unsafe side, the figures something usual, and both say so.",
		Groups: []fieldGroup{{Fields: []formField{
			{Name: "panel", Label: "Panel", Value: id.Panel, Fixed: true},
			{Name: "loop", Label: "Loop", Value: id.Name, Fixed: true},
			{Name: "volts", Label: "Volts at the panel’s terminals, as a rule", Value: some(supply.Volts)},
			{Name: "low", Label: "Volts there with the battery at its lowest", Value: some(supply.LowVolts)},
			{Name: "high", Label: "Volts there at the highest charge", Value: some(supply.HighVolts)},
			{Name: "source", Label: "Resistance of each core inside the panel, at each end, in Ω", Value: exactly(supply.SourceOhms)},
			{Name: "limit", Label: "What an end can give, in mA", Value: some(supply.LimitMA)},
			{Name: "mm2", Label: "Cross-section of a core, copper, in mm²", Value: some(supply.MM2)},
			{Name: "awg", Label: "Or its American wire gauge", Value: some(float64(supply.AWG))},
			{Name: "celsius", Label: "Temperature of the cable, in °C", Value: exactly(supply.Celsius)},
			{Name: "usual", Label: "Cable between two points where the schedule does not say, in m", Value: some(supply.UsualMetres)},
			{Name: "back", Label: "Cable from the last point back to the panel, in m", Value: exactly(supply.ReturnMetres)},
			{Name: "alarms", Label: "Devices that may be in alarm at once; empty: all", Value: atOnce},
			{Name: "isolator", Label: "Resistance of a closed isolator, in Ω", Value: some(supply.IsolatorOhms)},
			{Name: "holds", Label: "Volts from which an isolator is sure to stay closed", Value: some(supply.Holds)},
			{Name: "opens", Label: "Volts below which it is sure to open", Value: some(supply.Opens)},
			{Name: "closes", Label: "Volts from which it is sure to close again", Value: some(supply.Closes)},
			{Name: "carries", Label: "What it carries while closed, in mA", Value: some(supply.CarriesMA)},
			{Name: "least", Label: "Least working volts of devices whose type sheet does not say", Value: some(supply.LeastVolts)},
			{Name: "mostohms", Label: "What the panel allows of both cores in series, end to end, in Ω", Value: some(supply.MostOhms)},
			{Name: "mostnf", Label: "Cable that the panel allows, in nF", Value: some(supply.MostNF)},
			{Name: "leastmohm", Label: "Least insulation of each core to earth, in megohm", Value: some(supply.LeastMOhms)},
			{Name: "nfkm", Label: "The cable, core to core, in nF per km", Value: some(supply.NFPerKm)},
		}}},
	}, nil
}

// exactly writes a figure without rounding it, and nothing when it is not known.
func exactly(x *float64) string {
	if x == nil {
		return ""
	}
	return strconv.FormatFloat(*x, 'f', -1, 64)
}

func writeSupply(ctx context.Context, a *app.App, survey *app.Survey, f *typedForm) error {
	id, err := f.loop()
	if err != nil {
		return err
	}
	supply := sootline.Supply{
		Panel: id.Panel, Loop: id.Name, Volts: f.amount("volts", "volts"),
		LowVolts: f.amount("low", "volts of the low battery"), HighVolts: f.amount("high", "highest volts"),
		Holds: f.amount("holds", "volts of isolators"), Opens: f.amount("opens", "volts of isolators"), Closes: f.amount("closes", "volts of isolators"),
		CarriesMA: f.amount("carries", "what isolators carry"), SourceOhms: f.figure("source", "resistance inside the panel"),
		LimitMA: f.amount("limit", "what an end can give"), MM2: f.amount("mm2", "cross-section"), AWG: f.whole("awg", "wire gauge"),
		Celsius: f.figure("celsius", "temperature"), UsualMetres: f.amount("usual", "cable between two points"), ReturnMetres: f.figure("back", "cable back to the panel"),
		IsolatorOhms: f.amount("isolator", "resistance of an isolator"), LeastVolts: f.amount("least", "least working volts"),
		MostOhms: f.amount("mostohms", "ohms that the panel allows"), MostNF: f.amount("mostnf", "cable that the panel allows"), NFPerKm: f.amount("nfkm", "nF per km"), LeastMOhms: f.amount("leastmohm", "least insulation"),
	}
	if f.text("alarms") != "" {
		n := f.whole("alarms", "devices in alarm at once")
		supply.AlarmsAtOnce = &n
	}
	if f.err != nil {
		return f.err
	}
	if known := survey.Register.Supply(id); known != nil && reflect.DeepEqual(*known, supply) {
		return nil
	}
	return a.SetSupply(ctx, survey.Register.Site.ID, supply)
}

// areaSetting is the size and floor of an area.
func areaSetting() setting {
	return setting{name: "area", title: "Area", form: areaForm, write: writeArea}
}

func areaForm(survey *app.Survey, of string) (*settingForm, error) {
	facts := sootline.AreaFacts{Area: of}
	if known := survey.Register.Area(of); known != nil {
		facts = *known
	}
	size := ""
	if facts.M2 > 0 {
		size = exactly(&facts.M2)
	}
	return &settingForm{
		Title: "Area",
		Note:  "What a fault on a loop takes of an area is counted where its size is known.",
		Groups: []fieldGroup{{Fields: []formField{
			{Name: "area", Label: "Area, as the schedule names it", Value: facts.Area, Fixed: of != ""},
			{Name: "floor", Label: "Floor", Value: facts.Floor},
			{Name: "m2", Label: "Size that its detectors protect together, in m²", Value: size},
		}}},
	}, nil
}

func writeArea(ctx context.Context, a *app.App, survey *app.Survey, f *typedForm) error {
	facts := sootline.AreaFacts{Area: f.text("area"), Floor: f.text("floor"), M2: f.amount("m2", "size of the area")}
	if f.err != nil {
		return f.err
	}
	if known := survey.Register.Area(facts.Area); known != nil && *known == facts {
		return nil
	}
	return a.SetArea(ctx, survey.Register.Site.ID, facts)
}
