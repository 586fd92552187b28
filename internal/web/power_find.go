package web

import (
	"cmp"
	"context"
	"net/http"
	"net/url"

	"sootline"
	"sootline/internal/app"
)

// findPage finds where along a loop a fault lies, from what was measured.
type findPage struct {
	Frame
	circuitTabs
	Meter    string
	Ways     []findWay
	Sentence string
	Assumed  []string
	Trouble  string
	WayOut   []wayLine
}

// findWay is a way to find a fault: a form, and how it is computed.
type findWay struct {
	Name, Title, How string
	Fields           []findField

	locate func(ctx context.Context, a *app.App, site sootline.ID, loop sootline.LoopID, x map[string]float64, q url.Values) (*app.Located, error)
}

// findField is a figure that was measured, or a choice.
type findField struct {
	Name, Label, Hint, Value string
	Needed                   bool
	Choices                  []string
}

const meterRule = "Before any meter is joined: the panel off and disconnected at both ends, the devices out of their bases, the isolators bridged."

func (s *Server) showFind(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	page := &findPage{Frame: Frame{Title: "Find a fault on a loop of " + survey.Register.Site.Name, Survey: survey}, Meter: meterRule, Ways: findWays()}
	id, err := page.choose(survey, r, "power/find")
	if err != nil {
		return err
	}
	if page.Loop == "" {
		return s.show(w, r, http.StatusOK, "find.html", page)
	}
	q := r.URL.Query()
	code := http.StatusOK
	for i := range page.Ways {
		way := &page.Ways[i]
		if way.Name != q.Get("find") {
			continue
		}
		found, err := way.find(r.Context(), s.as(r), survey.Register.Site.ID, id, q)
		switch {
		case err == nil:
			page.Sentence, page.Assumed = found.Sentence, found.Assumed
		case status(err) >= http.StatusInternalServerError:
			return err
		default:
			code, page.Trouble, page.WayOut = status(err), sentence(err), wayOut(r, err)
		}
	}
	return s.show(w, r, code, "find.html", page)
}

// find reads the form, which keeps what was typed, and looks.
func (f *findWay) find(ctx context.Context, a *app.App, site sootline.ID, loop sootline.LoopID, q url.Values) (*app.Located, error) {
	x := map[string]float64{}
	var wrong error
	for i := range f.Fields {
		field := &f.Fields[i]
		field.Value = q.Get(field.Name)
		if field.Choices != nil {
			continue
		}
		figure, err := typedFigure(field.Label, cmp.Or(field.Value, field.Hint), 0, 1e9)
		if err == nil && field.Needed && field.Value == "" {
			err = sootline.Errorf(sootline.Invalid, "write what the meter shows", "%s is needed", field.Label)
		}
		x[field.Name] = figure
		wrong = cmp.Or(wrong, err)
	}
	if wrong != nil {
		return nil, wrong
	}
	return f.locate(ctx, a, site, loop, x, q)
}

func findWays() []findWay {
	core := findField{Name: "core", Label: "The core that touches earth", Choices: []string{"plus", "minus"}}
	back := findField{Name: "back", Label: "The way back", Choices: []string{"the faulty core itself", "the sound core, joined at IN"}}
	arms := findField{Name: "error", Label: "Largest error of an arm, %", Hint: "1"}
	return []findWay{
		{Name: "short", Title: "A short between the cores", How: "Ohms across the pair at each end, the other end open. The resistance of the short cancels out.", locate: findShort, Fields: []findField{
			{Name: "out", Label: "At OUT, ohm", Needed: true},
			{Name: "in", Label: "At IN, ohm", Needed: true},
			{Name: "end", Label: "Both cores in series when it was sound, ohm"},
			{Name: "meter", Label: "Largest error of one reading, ohm", Hint: "0.1"},
		}},
		{Name: "break", Title: "A break of a core", How: "Nanofarads between the cores at each end, the other end open, spurs off: capacitance goes with length.", locate: findBreak, Fields: []findField{
			{Name: "out", Label: "At OUT, nF", Needed: true},
			{Name: "in", Label: "At IN, nF", Needed: true},
			{Name: "error", Label: "Largest error of one reading, %", Hint: "2"},
		}},
		{Name: "murray", Title: "An earth fault, by Murray’s test", How: "The arms of the bridge at balance, Q on the side of OUT.", locate: findEarth, Fields: []findField{
			core, back, {Name: "p", Label: "Arm P, ohm", Needed: true}, {Name: "q", Label: "Arm Q, ohm", Needed: true}, arms,
		}},
		{Name: "varley", Title: "An earth fault, by Varley’s test", How: "Fixed arms, and the variable with the bridge at earth and at the loop.", locate: findEarth, Fields: []findField{
			core, back,
			{Name: "p", Label: "Arm P, ohm", Needed: true},
			{Name: "q", Label: "Arm Q, ohm", Needed: true},
			{Name: "s1", Label: "Variable at earth, ohm", Needed: true},
			{Name: "s2", Label: "Variable at the loop, ohm", Needed: true},
			arms,
		}},
		{Name: "blavier", Title: "An earth fault, by Blavier’s test", How: "Ohms to earth from OUT, the IN end open and earthed: without a sound companion, for a fault that does not change meanwhile.", locate: findEarth, Fields: []findField{
			core,
			{Name: "open", Label: "IN open, ohm", Needed: true},
			{Name: "earthed", Label: "IN earthed, ohm", Needed: true},
			{Name: "whole", Label: "The core end to end when it was sound, ohm"},
			{Name: "meter", Label: "Largest error of one reading, ohm", Hint: "0.1"},
		}},
	}
}

func findShort(ctx context.Context, a *app.App, site sootline.ID, loop sootline.LoopID, x map[string]float64, _ url.Values) (*app.Located, error) {
	return a.FindShort(ctx, site, loop, app.ShortReading{FromOut: app.Ohms(x["out"]), FromIn: app.Ohms(x["in"]), EndToEnd: app.Ohms(x["end"]), Meter: app.Ohms(x["meter"])})
}

func findBreak(ctx context.Context, a *app.App, site sootline.ID, loop sootline.LoopID, x map[string]float64, _ url.Values) (*app.Located, error) {
	return a.FindBreak(ctx, site, loop, x["out"], x["in"], x["error"]/100)
}

func findEarth(ctx context.Context, a *app.App, site sootline.ID, loop sootline.LoopID, x map[string]float64, q url.Values) (*app.Located, error) {
	reading := app.EarthReading{
		Core: app.PlusCore, Companion: q.Get("back") == "the sound core, joined at IN", Arms: x["error"] / 100,
		P: x["p"], Q: x["q"], S1: x["s1"], S2: x["s2"], Open: app.Ohms(x["open"]), Earthed: app.Ohms(x["earthed"]), Whole: app.Ohms(x["whole"]), Meter: app.Ohms(x["meter"]),
	}
	if q.Get("core") == "minus" {
		reading.Core = app.MinusCore
	}
	switch q.Get("find") {
	case "murray":
		reading.Test = app.MurrayTest
	case "varley":
		reading.Test = app.VarleyTest
	default:
		reading.Test = app.BlavierTest
	}
	return a.FindEarth(ctx, site, loop, reading)
}
