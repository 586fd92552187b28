package circuit

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func mustDraft(t *testing.T, text string) *Draft {
	t.Helper()
	d, err := ReadDraft(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// What a what-if gives replaces what was there, and nothing else changes, the loop underneath least of all.
func TestDraftOver(t *testing.T) {
	base := mustDraft(t, whatIf)
	before := mustDraft(t, whatIf)
	over, err := mustDraft(t, `{
	 "out": {"volts": 24}, "default": {"rest_ma": 1}, "alarms_at_once": 2,
	 "points": [
	  {"name": "1.001", "awg": 16, "alarm": {"ma": 7}, "isolator": "none"},
	  {"name": "1.003", "metres": 5},
	  {"name": "new 1", "after": "1.001", "metres": 2},
	  {"name": "new 2", "after": "new 1"},
	  {"name": "new 0", "after": "OUT"},
	  {"name": "new 3", "after": "1.003", "spur": "J"},
	  {"name": "1.002", "junction": true}],
	 "return": {"metres": 90}
	}`).Over(base)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(before, base); diff != "" {
		t.Fatal("the loop underneath changed:", diff)
	}
	l, _, err := over.Loop()
	if err != nil {
		t.Fatal(err)
	}
	c := mustNew(t, l)
	var names []string
	for _, p := range l.Points {
		names = append(names, p.Name)
	}
	if diff := cmp.Diff([]string{"new 0", "1.001", "new 1", "new 2", "J", "1.002", "1.003", "new 3"}, names); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]int{6, 7}, c.spurs[0].points); diff != "" {
		t.Error(diff)
	}
	first, moved := l.Points[1], l.Points[6]
	if first.Cable.Metres != 12 || first.Cable.Conductor != (Conductor{AWG: 16}) || first.Alarm != In(0.007) || first.Rest != In(0.0004) || first.Zone != "2" {
		t.Errorf("%+v", first)
	}
	if moved.Cable.Plus != 0 || moved.Cable.Metres != 5 {
		t.Errorf("measured ohms outlived their cable: %+v", moved.Cable)
	}
	if len(l.Isolators) != 1 || l.Isolators[0].Point != "J" || !l.Points[5].Junction || l.Points[5].Rest.Value != 0 {
		t.Errorf("%+v %+v", l.Isolators, l.Points[5])
	}
	if l.Out.Volts != 24 || l.Out.Limit != 0.4 || l.In.Volts != 24 || l.Points[2].Rest != In(0.001) || l.Return.Metres != 90 || l.Return.Conductor.AWG != 16 {
		t.Errorf("%+v", l)
	}
	if alarms, err := over.Alarms(); err != nil || alarms.Most != 2 {
		t.Errorf("%+v %v", alarms, err)
	}
}

func TestDraftOverRefuses(t *testing.T) {
	for text, want := range map[string]string{
		`{"points": [{"name": "9", "isolator": "after"}]}`: `an isolator is at "9", which is not a point of the loop`,
		`{"points": [{"name": "9"}]}`:                      `"9" is not a point of the loop`,
		`{"points": [{"name": "9", "after": "8"}]}`:        "9 comes after 8, which is not a point of the loop",
	} {
		if _, err := mustDraft(t, text).Over(mustDraft(t, whatIf)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", text, err)
		}
	}
}

func TestDraftAlarms(t *testing.T) {
	d := mustDraft(t, whatIf)
	if alarms, err := d.Alarms(); err != nil || alarms.Most >= 0 || alarms.Named != nil {
		t.Errorf("%+v %v", alarms, err)
	}
	d.InAlarm = []string{"1.003", "1.001"}
	alarms, err := d.Alarms()
	if diff := cmp.Diff([]int{3, 0}, alarms.Named); diff != "" || err != nil {
		t.Error(diff, err)
	}
	d.InAlarm = []string{"1.9"}
	if _, err := d.Alarms(); err == nil || !strings.Contains(err.Error(), "1.9 is in alarm, and is not a point") {
		t.Error(err)
	}
	few := -1
	if _, err := (&Draft{AlarmsAtOnce: &few}).Alarms(); err == nil {
		t.Error("-1 devices at once: no error")
	}
}
