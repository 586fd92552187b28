package listing

import (
	"fmt"
	"strings"
	"testing"
)

// saidIn gives what a table says, a record behind another; a row that cannot be used is "!".
func saidIn(t *testing.T, name, text string, p Profile) (*Understanding, string) {
	t.Helper()
	table := openBytes(t, name, []byte(text)).All()[0]
	u, err := Understand(table, p)
	must(t, err)
	var said []string
	for r, bad := range u.Records(table) {
		switch {
		case bad != nil:
			said = append(said, "!")
		case r.Reading != nil:
			said = append(said, strings.TrimSpace(fmt.Sprintf("%d %s %v %s", r.Reading.Ref.Address, r.Reading.When.text(), r.Reading.Samples, r.Reading.Apart)))
		case r.Event != nil:
			said = append(said, strings.TrimSpace(fmt.Sprintf("%d %s %s %s", r.Event.Ref.Address, r.Event.When.text(), r.Event.What, r.Event.Outcome)))
		}
	}
	return u, strings.Join(said, "|")
}

// TestReplacedBesideValues: a tick under "replaced" beside a value is a replacement; of which device the value is, is asked.
func TestReplacedBesideValues(t *testing.T) {
	for _, heads := range []string{"point,date,value,cleaned,replaced", "Punkt,Datum,Wert,gereinigt,ausgetauscht", "point,date,valeur,nettoyé,remplacé", "punto,fecha,valor,limpiado,sustituido"} {
		text := heads + "\n1.001,2026-11-10,38,x,\n1.002,2026-11-10,27,,x\n1.003,2026-11-10,,,x\n"
		u, said := saidIn(t, "a.csv", text, Profile{})
		if want := "1 2026-11-10 [38]|1 2026-11-10 cleaned|!|3 2026-11-10 replaced"; said != want || len(u.Questions) != 1 || u.Questions[0].ID != AskReplaced || !u.Questions[0].Aside {
			t.Fatalf("%s: %s\n%+v", heads, said, u.Questions)
		}
		for answer, want := range map[string]string{"old": "2 2026-11-10 [27]|2 2026-11-10 replaced", "new": "2 2026-11-10 [27] as left|2 2026-11-10 replaced"} {
			var p Profile
			must(t, p.Answer(AskReplaced, answer))
			if u, said := saidIn(t, "a.csv", text, p); !strings.Contains(said, want) || len(u.Questions) > 0 {
				t.Errorf("%s, %s: %s %+v", heads, answer, said, u.Questions)
			}
		}
	}
	if u, said := saidIn(t, "a.csv", "point,date,found,left,replaced\n1.001,2026-11-10,38,26,x\n1.002,2026-11-10,27,27,\n", Profile{}); !strings.Contains(said, "1 2026-11-10 replaced") || len(u.Questions) > 0 {
		t.Errorf("found and left say it themselves: %s %+v", said, u.Questions)
	}
	if u, said := saidIn(t, "a.csv", "Punkt;13.05.2026;ersetzt;13.11.2026;ersetzt\n1.001;;ja;27;\n1.002;27;;27;\n", Profile{}); !strings.Contains(said, "1 2026-05-13 replaced") || len(u.Questions) > 0 {
		t.Errorf("by visit: %s %+v", said, u.Questions)
	}
}
