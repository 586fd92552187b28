package listing

import (
	"slices"
	"strings"
	"testing"
)

// TestNotesOfVisits: a remark, a name or a cleaning is of the visit beside which it stands, or whose day its heading names.
func TestNotesOfVisits(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"remarks behind each visit", "point,13.05.2026,remark,13.11.2026,remark\n1.001,26,ok,27,dirty\n1.002,27,fine,27,\n", "1 [26] ok|1 [27] dirty|2 [27] fine|2 [27]"},
		{"with their day", "Punkt;13.05.2026;13.11.2026;Bemerkung 13.05.2026;Bemerkung 13.11.2026\n1.001;26;27;gut;schmutzig\n1.002;27;27;;\n", "1 [26] gut|1 [27] schmutzig|2 [27]|2 [27]"},
		{"remarks before each visit", "point,remarque,13.05.2026,remarque,13.11.2026\n1.001,bon,26,sale,27\n1.002,bon,27,,27\n", "1 [26] bon|1 [27] sale|2 [27] bon|2 [27]"},
		{"a remark without a value", "point,13.05.2026,nota,13.11.2026,nota\n1.001,26,bien,,no accesible\n1.002,27,bien,27,\n", "1 [26] bien|!|2 [27] bien|2 [27]"},
	} {
		u, readings := understood(t, "a.csv", c.text, Profile{})
		if got := strings.Join(readings, "|"); got != c.want || len(u.Questions) > 0 {
			t.Errorf("%s: %s, expected %s; %+v", c.name, got, c.want, u.Questions)
		}
	}
}

// TestCleanedAtVisits: a column of cleanings beside each visit gives the cleaning of that visit.
func TestCleanedAtVisits(t *testing.T) {
	for _, word := range []string{"cleaned", "gereinigt", "pulito"} {
		text := "point,13.05.2026," + word + ",13.11.2026," + word + "\n1.001,38,x,26,\n1.002,27,,27,x\n"
		table := openBytes(t, "a.csv", []byte(text)).All()[0]
		u, err := Understand(table, Profile{})
		must(t, err)
		var got []string
		for r, bad := range u.Records(table) {
			if bad != nil {
				t.Fatal(word, bad)
			}
			if r.Event != nil {
				got = append(got, string(r.Event.What)+" "+r.Event.When.text())
			}
		}
		if want := []string{"cleaned 2026-05-13", "cleaned 2026-11-13"}; !slices.Equal(got, want) {
			t.Errorf("%s: %v", word, got)
		}
	}
}

// TestNotesOfNoVisit: what stands once for several visits is asked about, and the answer says whose it is.
func TestNotesOfNoVisit(t *testing.T) {
	for _, word := range []string{"remark", "Bemerkung", "by", "opmerking"} {
		text := "point,13.05.2026,13.11.2026," + word + "\n1.001,26,27,dirty\n1.002,27,27,\n"
		u, _ := understood(t, "a.csv", text, Profile{})
		if q, open := u.Blocking(); !open || q.ID != AskNotes || len(q.Choices) != 3 {
			t.Fatalf("%s: %+v", word, u.Questions)
		}
		for answer, want := range map[string][2]string{"last": {"", "dirty"}, "each": {"dirty", "dirty"}, "left": {"", ""}} {
			var p Profile
			must(t, p.Answer(AskNotes, answer))
			table := openBytes(t, "a.csv", []byte(text)).All()[0]
			u, err := Understand(table, p)
			must(t, err)
			var got []string
			for r := range u.Records(table) {
				if r.Reading != nil && r.Reading.Ref.Address == 1 {
					got = append(got, r.Reading.Remark+r.Reading.By)
				}
			}
			if !slices.Equal(got, want[:]) || len(u.Questions) > 0 {
				t.Errorf("%s, %s: %q, %+v", word, answer, got, u.Questions)
			}
		}
	}
}

// TestChannelsAreAsked: a column that tells channels of one address apart is not left out in silence.
func TestChannelsAreAsked(t *testing.T) {
	for _, heads := range []string{"loop,address,type,sub-address,location", "Schleife,Adresse,Typ,Kanal,Ort", "Boucle,Adresse,Type,Voie,Lieu", "Loop,Address,Type,Channel,Place"} {
		text := heads + "\n1,1,Fenn,1,Door A\n1,1,Fenn,2,Door B\n1,2,Larch,1,Hall\n"
		u, _ := understood(t, "a.csv", text, Profile{})
		if q, open := u.Blocking(); !open || q.ID != AskChannel {
			t.Fatalf("%s: %+v", heads, u.Questions)
		}
		var p Profile
		must(t, p.Answer(AskChannel, "4=unused"))
		if u, _ = understood(t, "a.csv", text, p); len(u.Questions) > 0 || u.Kind != KindSchedule {
			t.Errorf("%s answered: %s %+v", heads, u.Kind, u.Questions)
		}
	}
}
