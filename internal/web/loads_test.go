package web

import (
	"encoding/json"
	"html"
	"net/http"
	"strings"
	"testing"

	"sootline"
	"sootline/internal/api"
	"sootline/internal/app"
	"sootline/internal/shape"
)

// One load list is kept of a panel, and page, API, paper and pack size by it alike.
// By hand: a panel that draws 120 mA at rest and 250 mA in alarm, and two sounder
// circuits of 350 mA each in alarm: 0.12 A at rest and 0.95 A in alarm without the
// devices of the loops. The terminal says the same figure in the handbook's session.
func TestLoadsAtEveryFace(t *testing.T) {
	s, site := withDemo(t, nil)
	own, loud, id := 120.0, 250.0, surveyOf(t, s).Register.Site.ID
	panel := surveyOf(t, s).Register.Panels()[0]
	list := sootline.LoadList{
		Panel: panel, OwnRestMA: &own, OwnAlarmMA: &loud, Rule: app.StandbyRules()[4].Name, StandbyHours: 30,
		Loads: []sootline.PanelLoad{{Part: sootline.SounderLoads, Name: "bells", Count: 2, AlarmMA: 350}}, LargestAh: 65,
	}
	alone, _, err := s.App.PanelBattery(t.Context(), id, s.App.Now(), panel, app.Battery{})
	if err != nil {
		t.Fatal(err)
	}
	before := sized(t, &alone, 5)
	if err := s.App.SetLoads(t.Context(), id, list); err != nil {
		t.Fatal(err)
	}
	battery, _, err := s.App.PanelBattery(t.Context(), id, s.App.Now(), panel, app.Battery{})
	if err != nil || battery.Rule != 5 {
		t.Fatal(battery.Rule, err)
	}
	size := sized(t, &battery, battery.Rule)
	if rest, alarm := float64(size.Rest-before.Rest), float64(size.Alarm-before.Alarm); rest < 0.12-1e-9 || rest > 0.12+1e-9 || alarm < 0.95-1e-9 || alarm > 0.95+1e-9 {
		t.Errorf("the list adds %v at rest and %v in alarm", rest, alarm)
	}
	heading := battery.Heading(size)
	b := visit(t, s)
	holds(t, b.get(site+"/battery?panel="+panel), heading, "bells", "30, the site&#39;s own")
	if page := b.get(site + "/battery?panel=-"); strings.Contains(page, "What is kept") {
		t.Error("the page tells of a list where no panel is chosen")
	}
	res := b.do(http.MethodPost, api.Root+"/sites/"+id.String()+"/standby", `{"panel":"`+panel+`"}`, asJSON)
	var said shape.Standby
	if err := json.Unmarshal([]byte(read(t, res)), &said); err != nil || len(said.Sizes) != 1 || said.Entry == "" {
		t.Fatal(err, said)
	}
	if got := said.Sizes[0]; got.Chosen == nil || strings.Join(got.Reasoning, "\n") != strings.Join(size.Steps, "\n") {
		t.Errorf("the API reasons %v, want %v", got.Reasoning, size.Steps)
	}
	for _, kind := range []string{"battery", "pack"} {
		if text := html.UnescapeString(b.get(site + "/paper/" + kind + ".html")); !strings.Contains(text, heading) {
			t.Errorf("the %s does not say %q", kind, heading)
		}
	}
}

func sized(t *testing.T, battery *app.Battery, rule int) *app.Sizing {
	t.Helper()
	size, err := battery.Size(rule)
	if err != nil {
		t.Fatal(err)
	}
	return size
}
