package listing

import "testing"

// TestPeriods: what names a part of a year, and the day in its middle.
func TestPeriods(t *testing.T) {
	for heading, want := range map[string]string{
		"1.Q 2026": "2026-02-15", "Q1 2026": "2026-02-15", "2026 Q1": "2026-02-15", "Q1/26": "2026-02-15", "1. Quartal 2026": "2026-02-15", "1er trimestre 2026": "2026-02-15", "T1 2026": "2026-02-15",
		"H1 2026": "2026-04-01", "2. Halbjahr 2026": "2026-10-01", "2026 H2": "2026-10-01", "1er semestre 2026": "2026-04-01",
		"KW 20/2026": "2026-05-14", "KW20 2026": "2026-05-14", "2026-W20": "2026-05-14", "week 20 2026": "2026-05-14", "semana 53 2026": "2026-12-31", "KW 1/2026": "",
		"week 53 2025": "", "Q5 2026": "", "H3 2026": "", "S1 2026": "", "T1": "", "H1": "", "V1 2026": "", "Q1 2026 2027": "", "L1 2026": "", "3 2026 4": "",
	} {
		got := ""
		if p, ok := splitPeriod(heading); ok {
			day, err := p.middle()
			must(t, err)
			got = day.text()
		}
		if got != want {
			t.Errorf("%q is %q, expected %q", heading, got, want)
		}
	}
}

// TestHeadsWithoutYear: headings that leave their year out ask for it, and two numbers ask whether they are a month and its year.
func TestHeadsWithoutYear(t *testing.T) {
	for _, c := range []struct{ text, id, answer, want string }{
		{"point,May,Nov\n1.001,26,27\n", AskYear, "2026", "1 2026-05-16 [26]|1 2026-11-16 [27]"},
		{"Melder;Mai;November\n1.001;26;27\n", AskYear, "2026", "1 2026-05-16 [26]|1 2026-11-16 [27]"},
		{"punto,Q1,Q2,Q3\n1.001,ok,ok,\n", AskYear, "2026", "1 2026-02-15 tested passed|1 2026-05-16 tested passed"},
		{"point,1. Quartal,2. Quartal\n1.001,26,27\n", AskYear, "2026", "1 2026-02-15 [26]|1 2026-05-16 [27]"},
		{"point,05/26,11/26\n1.001,26,27\n", AskMonthHeads, "month year", "1 2026-05-16 [26]|1 2026-11-16 [27]"},
	} {
		u, said := saidIn(t, "a.csv", c.text, Profile{})
		if q, open := u.Blocking(); !open || q.ID != c.id || len(u.Questions) != 1 || said != "!" {
			t.Errorf("%s: %s %+v", c.text, said, u.Questions)
			continue
		}
		var p Profile
		must(t, p.Answer(c.id, c.answer))
		if u, said := saidIn(t, "a.csv", c.text, p); said != c.want || len(u.Questions) > 0 {
			t.Errorf("%s: %s %+v", c.text, said, u.Questions)
		}
	}
	u, _ := saidIn(t, "Werte 2026.csv", "point,May,Nov\n1.001,26,27\n", Profile{})
	if q, open := u.Blocking(); !open || len(q.Choices) != 1 || q.Choices[0].Value != "2026" {
		t.Errorf("the year of the name is offered: %+v", u.Questions)
	}
	u, _ = saidIn(t, "a.csv", "loop,mar,set,type\n1,1,26,Larch\n", Profile{})
	if u.Kind == KindReadings {
		t.Errorf("words that are also months: %+v", u.Questions)
	}
}

// TestMonthsInCells: a month in a column of days asks which day stands for it; rows with a day are taken meanwhile.
func TestMonthsInCells(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"point,date,value\n1.001,Mar-23,25\n1.002,Apr-23,26\n1.003,2023-05-02,27\n", "1 2023-03-15 [25]|2 2023-04-15 [26]|3 2023-05-02 [27]"},
		{"Melder;Datum;Wert\n1.001;März 2023;25\n1.002;Apr 2023;26\n1.003;2.5.2023;27\n", "1 2023-03-15 [25]|2 2023-04-15 [26]|3 2023-05-02 [27]"},
		{"point,date,event\n1.001,03/2023,tested ok\n1.002,04/2023,tested ok\n1.003,2023-05-02,tested ok\n", "1 2023-03-15 tested passed|2 2023-04-15 tested passed|3 2023-05-02 tested passed"},
	} {
		u, said := saidIn(t, "a.csv", c.text, Profile{})
		if _, blocks := u.Blocking(); blocks || len(u.Questions) != 1 || u.Questions[0].ID != AskMonthDay || said != "!|!|"+c.want[len(c.want)-len(said)+len("!|!|"):] {
			t.Errorf("%s: %s %+v", c.text, said, u.Questions)
		}
		var p Profile
		must(t, p.Answer(AskMonthDay, "15"))
		if u, said := saidIn(t, "a.csv", c.text, p); said != c.want || len(u.Questions) > 0 {
			t.Errorf("%s: %s %+v", c.text, said, u.Questions)
		}
	}
}
