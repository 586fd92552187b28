package web

import (
	"testing"

	"sootline/internal/app"
)

// At the panel alone the picture shows both ends, which of them hangs loose, and to which the leads are held.
func TestPictureOfThePanel(t *testing.T) {
	d := leadDrawingOf(&app.LeadPicture{Panel: "only OUT plugged in", Out: true, Plug: -1, Leads: -1})
	if len(d.Ends) != 2 || !d.Ends[0].Plugged || d.Ends[1].Plugged || d.Ends[0].Lead != nil || d.Ends[1].Lead != nil {
		t.Errorf("%+v", d.Ends)
	}
	for toIn, held := range map[bool]int{true: 0, false: 1} {
		d = leadDrawingOf(&app.LeadPicture{Panel: "OUT and IN unplugged", Plug: -1, Leads: -1, Meter: "ohm", ToIn: toIn})
		if d.Ends[held].Lead == nil || d.Ends[1-held].Lead != nil || d.Ends[0].Plugged || d.Ends[1].Plugged {
			t.Errorf("towards IN %v: %+v", toIn, d.Ends)
		}
	}
}
