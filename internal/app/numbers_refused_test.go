package app

import (
	"strings"
	"testing"

	"sootline"
)

// What a device cannot show is refused of whoever is certain; what may be a slip is
// asked.
func TestNumbersThatCannotBeSet(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	take(t, a, site, files(t, map[string]string{"s.csv": "loop,address,type,location,serial\n1,1,Larch,A,S1\n1,2,Elder,B,S2\n1,3,Larch,C,S3\n1,4,Fenn,D,S4\n"})+"/s.csv")
	for name, how := range map[string]string{"Larch": "switches 7", "Elder": "dials 9"} {
		if err := a.SayHowSet(t.Context(), site, name, how); err != nil {
			t.Fatal(err)
		}
	}
	points := register(t, a, site).Points()
	if _, err := a.AddEntry(t.Context(), site, Note{Point: points[2].Ref().String(), Body: sootline.Addressed{Wanted: 5}}); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		note        DeviceNote
		plain, sure sootline.Code
	}{
		{DeviceNote{Point: "S2", Set: 100}, sootline.Invalid, sootline.Invalid},
		{DeviceNote{Point: "S2", Set: 127}, sootline.Invalid, sootline.Invalid},
		{DeviceNote{Point: "S1", Set: 128}, sootline.Invalid, sootline.Invalid},
		{DeviceNote{Point: "S4", Set: 4000}, sootline.Invalid, sootline.Invalid},
		{DeviceNote{Point: "S4", Set: 200}, sootline.Doubtful, ""},
		{DeviceNote{Point: "S2", Found: 127}, sootline.Doubtful, ""},
		{DeviceNote{Point: "S1", Set: 127}, "", ""},
		{DeviceNote{Point: "S1", Set: 5}, sootline.Doubtful, ""},
		{DeviceNote{Point: "S2", Set: 99}, "", ""},
	} {
		_, err := a.NoteDevice(t.Context(), site, c.note)
		if sootline.ErrorCode(err) != c.plain {
			t.Errorf("%+v gives %v", c.note, err)
		}
		c.note.Sure = true
		if _, err := a.NoteDevice(t.Context(), site, c.note); sootline.ErrorCode(err) != c.sure {
			t.Errorf("%+v gives %v", c.note, err)
		}
	}
	if _, err := a.AddEntry(t.Context(), site, Note{Point: points[1].Ref().String(), Body: sootline.Addressed{Set: 120}, Sure: true}); sootline.ErrorCode(err) != sootline.Invalid {
		t.Errorf("an entry gives %v", err)
	}
	if _, err := a.AddEntry(t.Context(), site, Note{Point: points[1].Ref().String(), Body: sootline.Addressed{Wanted: 120}}); sootline.ErrorCode(err) != sootline.Doubtful {
		t.Errorf("wanted gives %v", err)
	}
}

// A sheet that cannot be read is refused by hand, is in nobody's way where no device is
// of its type, and all of those that are in the way are named at once.
func TestSheetsThatDoNotSayHow(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	take(t, a, site, files(t, map[string]string{"s.csv": "loop,address,type,location,serial\n1,1,Larch,A,S1\n1,2,Elder,B,S2\n"})+"/s.csv")
	bad := func(name string) sootline.TypeSheet {
		return sootline.TypeSheet{Name: name, Settings: map[string]string{"address": "levers 3"}}
	}
	if err := a.SetSheet(t.Context(), site, bad("Larch")); sootline.ErrorCode(err) != sootline.Invalid {
		t.Errorf("by hand: %v", err)
	}
	state := func(name string) {
		if err := a.add(t.Context(), site, a.entry(site, sootline.LongAgo, sootline.ID{}, sootline.Sheet{TypeSheet: bad(name)})); err != nil {
			t.Fatal(err)
		}
	}
	state("Nobody's")
	if _, err := a.PlanNumbers(t.Context(), site, "", NumberStyle{By: "cable"}); err != nil {
		t.Errorf("a type that nobody uses: %v", err)
	}
	state("Larch")
	state("Elder")
	_, err := a.PlanNumbers(t.Context(), site, "", NumberStyle{By: "cable"})
	if sootline.ErrorCode(err) != sootline.Invalid || !strings.Contains(err.Error(), "Larch") || !strings.Contains(err.Error(), "Elder") {
		t.Errorf("two that are used: %v", err)
	}
}
