package app

import (
	"strings"
	"testing"

	"sootline"
)

// Names and choices that the type sheet does not have are asked about, and so is a
// wish taken back where none is.
func TestSettingsThatMayBeSlips(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	take(t, a, site, files(t, map[string]string{"s.csv": "loop,address,type,zone,location,serial\n1,1,Larch,Z1,A,S1\n"})+"/s.csv")
	if err := a.SetSheet(t.Context(), site, sootline.TypeSheet{Name: "Larch", Settings: map[string]string{"blink": "on/off", "tone": "3"}}); err != nil {
		t.Fatal(err)
	}
	for setting, code := range map[string]sootline.Code{"blink=on": "", "Blink= OFF": "", "blnk=on": sootline.Doubtful, "blink=perhaps": sootline.Doubtful, "tone=5": ""} {
		settings, err := ParseSettings([]string{setting})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := a.NoteDevice(t.Context(), site, DeviceNote{Point: "S1", Settings: settings}); sootline.ErrorCode(err) != code {
			t.Errorf("found %s gives %v", setting, err)
		}
	}
	back := sootline.Wish{Type: "Larch", Settings: map[string]string{"blink": ""}}
	want := func(w WishFor) sootline.Code { _, err := a.Want(t.Context(), site, w); return sootline.ErrorCode(err) }
	if code := want(WishFor{Wish: back}); code != sootline.Doubtful {
		t.Errorf("nothing to take back gives %q", code)
	}
	if code := want(WishFor{Point: "S1", Wish: sootline.Wish{Settings: back.Settings}}); code != sootline.Doubtful {
		t.Errorf("nothing to take back of a point gives %q", code)
	}
	if code := want(WishFor{Wish: sootline.Wish{Type: "Larch", Zone: "Z1", Settings: map[string]string{"blink": "off"}}}); code != "" {
		t.Errorf("a wish gives %q", code)
	}
	if code := want(WishFor{Wish: back}); code != sootline.Doubtful {
		t.Errorf("another's wish taken back gives %q", code)
	}
	r := register(t, a, site)
	if w := r.WishesOf(r.Points()[0])[0]; w.Whose() != "zone and type" {
		t.Errorf("it is of its %s", w.Whose())
	}
	if said := sootline.Say(back); strings.Contains(said, " ,") || !strings.Contains(said, "wanted no longer blink") {
		t.Errorf("said: %q", said)
	}
}
