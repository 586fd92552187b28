package listing

import (
	"strings"
	"testing"
)

// TestAnswers: each question, once answered, is not asked again, and the rows arrive.
func TestAnswers(t *testing.T) {
	for _, c := range []struct{ name, list, id, answer, first string }{
		{"order", "point,date,value\n1/1,01/02/2025,20\n", AskOrder, "mdy", ".1.1 2025-01-02 [20]"},
		{"decimal", "point;date;value\n1/1;2025-01-02;1,234\n", AskDecimal, "comma", ".1.1 2025-01-02 [1.234]"},
		{"day", "point,value\n1/1,20\n", AskDate, "2025-01-02", ".1.1 2025-01-02 [20]"},
		{"value", "point,date,v now,v then\n1/1,2025-01-02,20,21\n", AskValue, "4", ".1.1 2025-01-02 [21]"},
		{"both values", "point,date,v now,v then\n1/1,2025-01-02,20,21\n", AskValue, "3,4", ".1.1 2025-01-02 [20 21]"},
		{"point", "where,date,value\n12,2025-01-02,20\n", AskPoint, "1", "..12 2025-01-02 [20]"},
		{"outcome", "point,date,event\n1/1,2025-01-02,failed?\n", AskOutcome + "failed?", "failed", ".1.1 2025-01-02 tested outcome=\"failed\" said=\"failed?\" told=\"failed?\""},
		{"kind", "point,date,type,serial,value\n1/1,2025-01-02,Larch,77,20\n", AskKind, "readings", ".1.1 2025-01-02 [20]"},
	} {
		table := openBytes(t, "x.csv", []byte(c.list)).Tables()[0]
		before := accountOf(t, table, Profile{})
		if len(before.Questions) != 1 || before.Questions[0].ID != c.id || len(before.Records) != 0 {
			t.Errorf("%s: before: %+v", c.name, before)
			continue
		}
		var p Profile
		if err := p.Answer(c.id, c.answer); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
		after := accountOf(t, table, p)
		if len(after.Questions) != 0 || len(after.Records) != 1 || after.Records[0] != c.first {
			t.Errorf("%s: after: %+v", c.name, after)
		}
	}
}

// TestSavedProfile: what was settled, saved and read again, gives the same account.
func TestSavedProfile(t *testing.T) {
	table := openBytes(t, "x.csv", []byte("Melder;Datum;Wert\n1/1;13/02/2025;2,5\n")).Tables()[0]
	u, err := Understand(table, Profile{})
	must(t, err)
	p := u.Profile()
	if p.DateOrder != DMY || p.Decimal != "comma" || p.Kind != KindReadings || p.Columns["Melder"] != Point {
		t.Errorf("%+v", p)
	}
	// The same source next month, when every day is below the 13th.
	next := accountOf(t, openBytes(t, "y.csv", []byte("Melder;Datum;Wert\n1/1;03/04/2025;1,234\n")).Tables()[0], p)
	if len(next.Questions) > 0 || len(next.Records) != 1 || next.Records[0] != ".1.1 2025-04-03 [1.234]" {
		t.Errorf("%+v", next)
	}
	if _, err := Understand(openBytes(t, "z.csv", []byte("a;b\n1;2\n")).Tables()[0], p); err == nil || !strings.Contains(err.Error(), "is not there") {
		t.Errorf("a profile that does not fit: %v", err)
	}
}

func TestParseProfiles(t *testing.T) {
	good := `[{"kind":"readings","sheet":"March","columns":{"Wert":"value","1":"point"},"date_order":"dmy","decimal":"comma","address_digits":3,
		"encoding":"cp850","separator":"tab","header_line":-1,"constants":{"loop":"2"}},{}]`
	profiles, err := ParseProfiles([]byte(good))
	if err != nil || len(profiles) != 2 || ProfileFor(profiles, &Table{Name: "March"}).Decimal != "comma" || ProfileFor(profiles, &Table{Name: "April"}).Decimal != "" {
		t.Errorf("%+v %v", profiles, err)
	}
	for _, bad := range []string{
		``, `{"colour":"red"}`, `{"kind":"songs"}`, `{"date_order":"dym"}`, `{"decimal":"."}`, `{"encoding":"klingon"}`, `{"separator":"::"}`,
		`{"columns":{"a":"b"}}`, `{"constants":{"x":"1"}}`, `{"address_digits":-1}`, `{"outcomes":{"tested":"fine"}}`, `{} {}`,
	} {
		if p, err := ParseProfiles([]byte(bad)); err == nil {
			t.Errorf("%s was read as %+v", bad, p)
		}
	}
	for id, answer := range map[string]string{AskKind: "songs", AskOrder: "x", AskDecimal: "x", AskDigits: "x", AskDate: "x", "weather": "x"} {
		var p Profile
		if err := p.Answer(id, answer); err == nil {
			t.Errorf("answer %q to %s was taken", answer, id)
		}
	}
}
