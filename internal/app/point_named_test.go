package app

import (
	"strings"
	"testing"

	"sootline"
)

// Wherever a point is named: by its reference, its serial, words of its location or
// its type; several are listed with their references.
func TestPointsAreLookedUp(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	take(t, a, site, files(t, map[string]string{"s.csv": schedule + "1,9,Ash,2,North stairs,S77,\n"})+"/s.csv")
	r := register(t, a, site)
	for name, want := range map[string]string{
		"1.1.002": "1.1.002", "1.9": "1.1.009", "s2": "1.1.002", "Back door": "1.1.002", "back": "1.1.002", "stairs": "1.1.003", "nor sta": "1.1.009", "ash": "1.1.009",
		"door": "2 points: 1.1.001, 1.1.002", "Larch": "3 points: 1.1.001, 1.1.002, 1.1.003", "cellar": "invalid", "1.1.099": "not found", "": "invalid",
	} {
		p, err := PointNamed(r, name)
		switch {
		case err == nil:
			if got := p.Ref().String(); got != want {
				t.Errorf("%q finds %s, want %s", name, got, want)
			}
		case strings.Contains(want, "points: "):
			for _, part := range strings.Split(strings.TrimPrefix(want, want[:10]), ", ") {
				if sootline.ErrorCode(err) != sootline.Invalid || !strings.HasPrefix(err.Error(), want[:8]) || !strings.Contains(err.Error(), strings.TrimSpace(part)) {
					t.Errorf("%q: %v, want %s", name, err, want)
				}
			}
		case string(sootline.ErrorCode(err)) != want:
			t.Errorf("%q: %v, want %s", name, err, want)
		}
	}
}

// A loop of two ranges: a reading of a shared number is of the detector; what could be
// of either is asked, and a letter says which.
func TestSharedNumbersOfTwoRanges(t *testing.T) {
	a := newApp(t, "laptop")
	site, err := a.AddSite(t.Context(), NewSite{Name: "Works", Loops: []sootline.LoopFacts{{Panel: "1", Loop: "1", First: 1, Last: 126, Unset: 127, Separate: true}}})
	if err != nil {
		t.Fatal(err)
	}
	folder := files(t, map[string]string{
		"types.csv":    "name,kind,low,high\nLarch,optical smoke,20,40\nFenn,output module,,\n",
		"schedule.csv": "loop,address,type,location\n1,5,Larch,Hall\n1,5,Fenn,Rack\n1,6,Fenn,Lift\n",
		"read.csv":     "point,date,value\n1.1.005,2026-01-10,25\n1.1.005d,2026-01-11,26\n",
		"event.csv":    "point,date,event\n1.1.005,2026-01-12,tested ok\n1.1.005m,2026-01-12,tested ok\n",
	})
	take(t, a, site, folder+"/types.csv", folder+"/schedule.csv")
	if out := take(t, a, site, folder+"/read.csv"); out.Added != 2 {
		t.Errorf("readings: added %d: %v", out.Added, out.Tables[0].Troubles)
	}
	out := take(t, a, site, folder+"/event.csv")
	if out.Added != 1 || len(out.Tables[0].Troubles) != 1 || !strings.Contains(out.Tables[0].Troubles[0].Text, "1.1.005m for the other") {
		t.Errorf("tests: added %d: %v", out.Added, out.Tables[0].Troubles)
	}
	if e, err := a.AddEntry(t.Context(), site, Note{Point: "1.5", Body: sootline.Read{Samples: []float64{27}}}); err != nil || register(t, a, site).Point(e.Point).Location != "Hall" {
		t.Errorf("a reading by hand: %v", err)
	}
	r := register(t, a, site)
	for _, p := range r.Points() {
		if want := map[string]int{"Hall": 3}[p.Location]; len(p.Readings) != want {
			t.Errorf("%s has %d readings", p.Location, len(p.Readings))
		}
	}
	if _, err := PointNamed(r, "1.005"); sootline.ErrorCode(err) != sootline.Conflict || !strings.Contains(sootline.ErrorHint(err), "end the number with d") {
		t.Errorf("either: %v, %s", err, sootline.ErrorHint(err))
	}
	for name, want := range map[string]string{"1.005m": "Rack", "1.1.005D": "Hall", "1.006m": "Lift"} {
		if p, err := PointNamed(r, name); err != nil || p.Location != want {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := PointNamed(r, "1.006d"); sootline.ErrorCode(err) != sootline.NotFound {
		t.Errorf("no detector: %v", err)
	}
}

// A mistyped area or type is asked about, with what is near; whoever is certain says so.
func TestMistypedWishIsAsked(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	take(t, a, site, files(t, map[string]string{"s.csv": "loop,address,type,area\n1,1,Larch,Bedrooms\n1,2,Larch,Kitchen\n"})+"/s.csv")
	off := map[string]string{"blink": "off"}
	for _, c := range []struct {
		wish sootline.Wish
		near string // empty: nothing is asked
	}{
		{sootline.Wish{Area: "bedrooms"}, ""},
		{sootline.Wish{Area: "Bedroms"}, "near it there is Bedrooms"},
		{sootline.Wish{Area: "Bed"}, "near it there is Bedrooms"},
		{sootline.Wish{Type: "Lach"}, "near it there is Larch"},
		{sootline.Wish{Zone: "9"}, "no point is of zone"},
	} {
		c.wish.Settings = off
		_, err := a.Want(t.Context(), site, WishFor{Wish: c.wish})
		if (err == nil) != (c.near == "") || err != nil && (sootline.ErrorCode(err) != sootline.Doubtful || !strings.Contains(err.Error(), c.near)) {
			t.Errorf("%+v: %v", c.wish, err)
		}
		if _, err := a.Want(t.Context(), site, WishFor{Wish: c.wish, Sure: true}); err != nil {
			t.Errorf("certain of %+v: %v", c.wish, err)
		}
	}
	if s, err := a.SettingDifferences(t.Context(), site, ""); err != nil || len(s[0].Differences) != 1 || s[0].Differences[0].Wish.Of != sootline.OfArea {
		t.Errorf("%+v, %v", s, err)
	}
	if n, err := a.NoteAsWanted(t.Context(), site, []AsWanted{{register(t, a, site).Points()[0].ID.String(), "blink"}}); n != 1 || err != nil {
		t.Errorf("%d noted: %v", n, err)
	}
	if s, err := a.SettingDifferences(t.Context(), site, ""); err != nil || len(s[0].Differences) != 0 {
		t.Errorf("after it was found so: %+v, %v", s, err)
	}
}

// Many findings of a kind are one line with how many; a few stay by themselves.
func TestFindingLines(t *testing.T) {
	a := newApp(t, "laptop")
	site := unsetLoop(t, a, 120)
	_, found, err := a.Check(t.Context(), site, today)
	if err != nil {
		t.Fatal(err)
	}
	lines := FindingLines(found)
	total := 0
	for _, line := range lines {
		total += line.Count
		if len(line.Alike) != line.Count {
			t.Errorf("%d of %d findings are kept", len(line.Alike), line.Count)
		}
	}
	if total != len(found) || len(lines) > 6 {
		t.Errorf("%d findings in %d lines, which stand for %d", len(found), len(lines), total)
	}
	if line := lines[0]; line.Count != 120 || !strings.Contains(line.Reason, "120 of one kind") || !strings.Contains(line.Reason, "116 more") {
		t.Errorf("the first line: %d, %s", line.Count, line.Reason)
	}
}
