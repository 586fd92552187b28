package app

import (
	"context"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sootline"
)

// A load list is kept, laid over by what is typed, replaced whole, and taken back
// by an entry: the one before holds again.
func TestKeptLoads(t *testing.T) {
	a := newApp(t, "laptop")
	now := today
	a.Now = func() time.Time { now = now.Add(time.Minute); return now }
	site := addSite(t, a)
	folder := files(t, map[string]string{
		"types.csv": "name,kind,low,high,standby mA,alarm mA,least volts\nLarch,optical smoke,20,40,0.3,3,17\n", "schedule.csv": "loop,address,type\n1,1,Larch\n1,2,Larch\n",
	})
	take(t, a, site, filepath.Join(folder, "types.csv"), filepath.Join(folder, "schedule.csv"))
	ctx, own, loud := context.Background(), 120.0, 250.0
	sums := func(typed Battery) (rest, alarm float64, b Battery, assumed []string) {
		t.Helper()
		b, assumed, err := a.PanelBattery(ctx, site, a.Now(), "1", typed)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range b.Drains {
			rest, alarm = rest+float64(d.Count)*float64(d.Rest)*1000, alarm+float64(d.Count)*float64(d.Alarm)*1000
		}
		return rest, alarm, b, assumed
	}
	first := sootline.LoadList{Panel: "1", Loads: []sootline.PanelLoad{{Part: sootline.OutputLoads, Name: "relays", Count: 2, RestMA: 10, AlarmMA: 20}}}
	if err := a.SetLoads(ctx, site, first); err != nil {
		t.Fatal(err)
	}
	if rest, alarm, b, assumed := sums(Battery{}); !near(rest, 20.6) || !near(alarm, 46) || !strings.Contains(b.Lacks(), "own draw") || !strings.Contains(strings.Join(assumed, ""), "no line of sounders or auxiliary: taken as none") {
		t.Errorf("%v at rest, %v in alarm, lacks %q, assumed %v", rest, alarm, b.Lacks(), assumed)
	}
	second := sootline.LoadList{Panel: "1", OwnRestMA: &own, OwnAlarmMA: &loud, Rule: StandbyRules()[2].Name, LargestAh: 7, StandbyHours: 30}
	if err := a.SetLoads(ctx, site, second); err != nil {
		t.Fatal(err)
	}
	typed := Battery{Drains: []Drain{drainOf("Panel", 1, 200, 300)}, Under: Conditions{Largest: 17}}
	rest, alarm, b, _ := sums(typed)
	if !near(rest, 200.6) || !near(alarm, 306) || b.Lacks() != "" || b.Rule != 3 || b.Under.Largest != 17 || b.Under.Standby != 30 {
		t.Errorf("%v at rest, %v in alarm, %q, rule %d, under %+v", rest, alarm, b.Lacks(), b.Rule, b.Under)
	}
	before, err := a.UndoLoads(ctx, site, "1")
	if err != nil || before == nil || sootline.Say(before.LoadList) != sootline.Say(first) {
		t.Errorf("what holds again is %+v, %v", before, err)
	}
	if before, err = a.UndoLoads(ctx, site, "1"); err != nil || before != nil {
		t.Errorf("after the first one is taken back %+v holds, %v", before, err)
	}
	if _, err = a.UndoLoads(ctx, site, "1"); sootline.ErrorCode(err) != sootline.NotFound {
		t.Errorf("taking back nothing gives %v", err)
	}
}

func near(x, y float64) bool { return x-y < 1e-9 && y-x < 1e-9 }

func TestLoadListsRefused(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	one := 1.0
	line := func(part sootline.LoadPart, name string, count int) []sootline.PanelLoad {
		return []sootline.PanelLoad{{Part: part, Name: name, Count: count}}
	}
	for what, list := range map[string]sootline.LoadList{
		"no panel": {}, "half a draw": {Panel: "1", OwnRestMA: &one}, "its own draw as a line": {Panel: "1", Loads: line(sootline.OutputLoads, "Panel", 1)},
		"a part of its own": {Panel: "1", Loads: line("lamps", "x", 1)}, "less than none": {Panel: "1", Loads: line(sootline.OutputLoads, "x", -1)},
		"no rule": {Panel: "1", Rule: "thumb"}, "a factor below 1": {Panel: "1", Margin: 0.5}, "a share above 1": {Panel: "1", Accepts: 2},
		"a line twice": {Panel: "1", Loads: append(line(sootline.OutputLoads, "x", 1), line(sootline.SounderLoads, "X", 1)...)},
		"a spelling":   {Panel: "a"}, "hours below none": {Panel: "1", StandbyHours: -1},
	} {
		if err := a.SetLoads(t.Context(), site, list); sootline.ErrorCode(err) != sootline.Invalid {
			t.Errorf("%s gives %v", what, err)
		}
	}
}
