package listing

import "testing"

// TestTrialsByVisit: a column for each visit with words for how the tests went gives a test each; an empty cell gives none.
func TestTrialsByVisit(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"point,10.02.2026,13.05.2026\n1.001,ok,ok\n1.002,ok,fail\n1.003,ok,\n", "1 2026-02-10 tested passed|1 2026-05-13 tested passed|2 2026-02-10 tested passed|2 2026-05-13 tested failed|3 2026-02-10 tested passed"},
		{"Melder;10.02.2026;13.05.2026\n1.001;i.O.;i.O.\n1.002;i.O.;defekt\n1.003;-;bestanden\n", "1 2026-02-10 tested passed|1 2026-05-13 tested passed|2 2026-02-10 tested passed|2 2026-05-13 fault|3 2026-05-13 tested passed"},
		{"point,10/02/2026,13/05/2026\n1.001,testé,nettoyé\n1.002,testé,remplacé\n", "1 2026-02-10 tested passed|1 2026-05-13 cleaned|2 2026-02-10 tested passed|2 2026-05-13 replaced"},
		{"punto,Q1 2026,Q2 2026\n1.001,ok,ok\n1.002,ok,avería\n", "1 2026-02-15 tested passed|1 2026-05-16 tested passed|2 2026-02-15 tested passed|2 2026-05-16 fault"},
	} {
		if u, said := saidIn(t, "a.csv", c.text, Profile{}); said != c.want || u.Kind != KindEvents || len(u.Questions) > 0 {
			t.Errorf("%s: %s %s\n%+v", c.text, u.Kind, said, u.Questions)
		}
	}
	u, said := saidIn(t, "a.csv", "point,10.02.2026,13.05.2026\n1.001,ok,ok\n1.002,ok,x\n1.003,ok,wobbly\n", Profile{})
	if want := "1 2026-02-10 tested passed|1 2026-05-13 tested passed|2 2026-02-10 tested passed|!|3 2026-02-10 tested passed|!"; said != want || len(u.Questions) != 2 {
		t.Errorf("a cross and an unknown word are asked about: %s %+v", said, u.Questions)
	}
}

// TestDaysOverPairs: days over two columns each, found and left, are the days of both.
func TestDaysOverPairs(t *testing.T) {
	want := "1 2026-05-10 [38] as found|1 2026-05-10 [25] as left|1 2026-11-12 [26] as found|1 2026-11-12 [26] as left"
	for _, text := range []string{
		",10.05.2026,,12.11.2026,\npoint,found,left,found,left\n1.001,38,25,26,26\n",
		",Besuch 10.05.2026,,Besuch 12.11.2026,\nMelder,vorher,nachher,vorher,nachher\n1.001,38,25,26,26\n",
		"Point,Spring,,Autumn,\n,10.05.2026,,12.11.2026,\n,found,left,found,left\n1.001,38,25,26,26\n",
		"point,avant 10.05.2026,après 10.05.2026,avant 12.11.2026,après 12.11.2026\n1.001,38,25,26,26\n",
	} {
		if u, said := saidIn(t, "a.csv", text, Profile{}); said != want || len(u.Questions) > 0 {
			t.Errorf("%s: %s %s\n%+v", text, u.Kind, said, u.Questions)
		}
	}
}
