package circuit

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sootline"
	"sootline/internal/fuzzing"
)

const whatIf = `{
 "name": "1.1",
 "out": {"limit_ma": 400, "plus_ohms": 0.5},
 "default": {"volts": 28, "metres": 10, "mm2": 1.5, "celsius": 20, "rest_ma": 0.3, "alarm_ma": 5, "least_volts": 17, "isolator_ohm": 0.2},
 "points": [
  {"name": "1.001", "metres": 12, "mm2": 2.5, "celsius": 40, "rest": {"ma": 0.4}, "alarm": {"w": 0.5}, "least_volts": 15, "isolator": "base", "isolator_ohm": 0.1, "isolator_both_cores": true, "zone": "2", "floor": "1", "area_m2": 80, "counted": true},
  {"name": "J", "metres": 3, "ohms_per_km": 13, "junction": true, "isolator": "after"},
  {"name": "1.002"},
  {"name": "1.003", "spur": "J", "plus_ohms": 0.2, "minus_ohms": 0.3, "alarm": {"ohms": 4800}}
 ],
 "return": {"metres": 20, "awg": 16, "stranded": true}
}`

func TestDraft(t *testing.T) {
	d, err := ReadDraft(strings.NewReader(whatIf))
	if err != nil {
		t.Fatal(err)
	}
	got, gaps, err := d.Loop()
	if err != nil {
		t.Fatal(err)
	}
	end, first := End{Volts: 28, Plus: 0.5, Limit: 0.4}, 1
	want := Loop{
		Name: "1.1", Out: end, In: end,
		Points: []Point{
			{Name: "1.001", Cable: Cable{Metres: 12, Conductor: Conductor{MM2: 2.5}, Celsius: 40}, Rest: In(0.0004), Alarm: Drawing(0.5), Least: 15, Zone: "2", Floor: "1", Level: &first, Area: 80, Counted: true},
			{Name: "J", Cable: Cable{Metres: 3, Conductor: Conductor{OhmsPerKm: 13}, Celsius: 20}, Junction: true},
			{Name: "1.002", Cable: Cable{Metres: 10, Conductor: Conductor{MM2: 1.5}, Celsius: 20}, Rest: In(0.0003), Alarm: In(0.005), Least: 17},
			{Name: "1.003", Spur: "J", Cable: Cable{Plus: 0.2, Minus: 0.3}, Rest: In(0.0003), Alarm: Across(4800), Least: 17},
		},
		Return:    Cable{Metres: 20, Conductor: Conductor{AWG: 16, Stranded: true}, Celsius: 20},
		Isolators: []Isolator{{Point: "1.001", Side: Base, Plus: 0.1, Minus: 0.1}, {Point: "J", Side: After, Plus: 0.2}},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	counted := []string{
		"the volts at the panel are not known: 28 V (at OUT)",
		"the resistance of a closed isolator is not known: 0.2 ohm (at J)",
		"metres of cable are not known: 10 m (at 1.002)",
		"the cross-section is not known: 1.5 mm2 of copper (at 1.002)",
		"what the device draws at rest is not known: 0.3 mA (at 2 points, the first is 1.002)",
		"what the device draws in alarm is not known: 5 mA (at 1.002)",
		"least working volts are not known: 17 V (at 2 points, the first is 1.002)",
	}
	if diff := cmp.Diff(counted, CountGaps(gaps)); diff != "" {
		t.Error(diff)
	}
	if _, err := New(got); err != nil {
		t.Error(err)
	}
}

func TestBrokenDrafts(t *testing.T) {
	for text, want := range map[string]string{
		"":                               "the loop, line 1: EOF",
		"{\n\"points\": [\n{]}":          "the loop, line 3: invalid character",
		"{\n\"point\": []}":              `the loop, line 2: unknown field "point"`,
		"{\n\n\"name\": 3}":              "the loop, line 3: name cannot be a number",
		"{}\n{}":                         "the loop, line 2: something follows the loop",
		strings.Repeat(" ", mostDraft+1): "a file for a loop has at most",
	} {
		if _, err := ReadDraft(strings.NewReader(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%.40q: %v, want %q", text, err, want)
		}
	}
	d := Draft{Points: []DraftPoint{{Name: "1", Isolator: "aside"}}}
	if _, _, err := d.Loop(); err == nil || !strings.Contains(err.Error(), `found "aside"`) {
		t.Errorf("%v", err)
	}
}

// No file makes the reader or the solver panic, alone or laid over a loop.
func FuzzDraft(f *testing.F) {
	f.Add(whatIf, false)
	f.Add(`{"points": [{"name": "1.002", "isolator": "base", "mm2": 1}, {"name": "n", "after": "OUT"}]}`, true)
	f.Fuzz(func(t *testing.T, text string, laid bool) {
		var d *Draft
		var err error
		fuzzing.Within(t, len(text), func() { d, err = ReadDraft(strings.NewReader(text)) })
		if err != nil {
			return
		}
		if laid {
			if d, err = d.Over(mustDraft(t, whatIf)); err != nil {
				return
			}
		}
		l, _, err := d.Loop()
		if err != nil || len(l.Points) > 300 {
			return
		}
		c, err := New(l)
		if err != nil {
			return
		}
		survey, err := c.Survey(Alarms{Most: 2}, false)
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range append(survey.Singles, survey.Healthy) {
			if o.Volts != o.Volts || o.Margin != o.Margin || o.Out != o.Out {
				t.Fatalf("not a number: %+v", o)
			}
		}
	})
}

// TestDraftContradicts: what cannot be together is refused, whether it is said of a point, of all, or of one of the ends.
func TestDraftContradicts(t *testing.T) {
	const points = `"points": [{"name": "p", "isolator": "base"}], `
	for text, says := range map[string]string{
		`{"out": {"low_volts": 28, "high_volts": 20}, "default": {}, `:                                                            "OUT: the volts of the low battery, 28, are more than the highest ones, 20",
		`{"out": {"volts": 24}, "in": {"volts": 24, "high_volts": 20}, "default": {}, `:                                           "IN: the highest volts, 20, are less than the usual ones, 24",
		`{"out": {"low_volts": 28}, "default": {"volts": 24}, `:                                                                   "OUT: the volts of the low battery, 28, are more than the usual ones, 24",
		`{"out": {"volts": 24}, "default": {"isolator_holds_volts": 12, "isolator_opens_volts": 26}, `:                            "isolators by default: an isolator opens below 26 V and stays closed from 12 V on, which contradict each other",
		`{"out": {"volts": 24}, "default": {"isolator_opens_volts": 26}, "points": [{"name": "p", "isolator_holds_volts": 12}], `: "p: an isolator opens below 26 V and stays closed from 12 V on, which contradict each other",
	} {
		if !strings.Contains(text, "points") {
			text += points
		}
		text += `"return": {}}`
		if _, err := ReadDraft(strings.NewReader(text)); sootline.ErrorCode(err) != sootline.Invalid || !strings.Contains(err.Error(), says) {
			t.Errorf("%s\ngives %v\nwant  %s", text, err, says)
		}
	}
	low, high := 28.0, 20.0
	d := Draft{Out: DraftEnd{LowVolts: &low}, Points: []DraftPoint{{Name: "p"}}} // as a register and a file laid over it give it
	over, err := (&Draft{Out: DraftEnd{HighVolts: &high}}).Over(&d)
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := over.Loop(); sootline.ErrorCode(err) != sootline.Invalid {
		t.Errorf("a file laid over a register contradicts it, and is taken: %v", err)
	}
}

// TestUnsaid: what a file says for all points alike is no gap, and what it does not say stays one.
func TestUnsaid(t *testing.T) {
	d := Draft{Out: DraftEnd{Volts: new(24.0)}, Default: Default{MM2: 1.5, AlarmMA: 3, RestMA: 0.3, LeastVolts: 15}, Points: []DraftPoint{{Name: "p"}}}
	_, gaps, err := d.Loop()
	if err != nil {
		t.Fatal(err)
	}
	got := strings.Join(CountGaps(Unsaid(gaps, &d.Default)), "\n")
	for what, stays := range map[string]bool{gapMetres: true, gapSection: false, gapAlarm: false, gapRest: false, gapLeast: false} {
		if strings.Contains(got, what) != stays {
			t.Errorf("%s: %v wanted in\n%s", what, stays, got)
		}
	}
}

// A source of 0 ohm that is given is known; one that is left out is not.
func TestNoOhmsInThePanelAreKnown(t *testing.T) {
	none := 0.0
	for _, c := range []struct {
		ohms  *float64
		known bool
	}{{nil, false}, {&none, true}} {
		d := Draft{Out: DraftEnd{PlusOhms: c.ohms, MinusOhms: c.ohms}, Points: []DraftPoint{{Name: "1"}}}
		missing, _ := d.Facts(&Default{})
		lacks := false
		for i := range missing {
			lacks = lacks || missing[i].Kind == SourceFact
		}
		if lacks == c.known {
			t.Errorf("%v: missing is %v", c.ohms, lacks)
		}
	}
}
