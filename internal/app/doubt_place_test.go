package app

import (
	"testing"

	"sootline"
)

// Who describes a point anew and leaves out what is known of it is asked, and told what
// would go; to say it all, or to go to another loop without the turn there, is no slip.
func TestDescribingAnewKeepsWhatIsKnown(t *testing.T) {
	p := &sootline.Point{Place: sootline.Place{Panel: "1", Loop: "1", Order: 4, Area: "Wing 1", Zone: "3", Location: "Landing"}}
	for _, c := range []struct {
		name  string
		place sootline.Place
		asked bool
	}{
		{"panel and loop alone", sootline.Place{Panel: "1", Loop: "1"}, true},
		{"the area left out", sootline.Place{Panel: "1", Loop: "1", Order: 4, Zone: "3", Location: "Bell loft"}, true},
		{"all of it, with other words", sootline.Place{Panel: "1", Loop: "1", Order: 4, Area: "Wing 1", Zone: "3", Location: "Bell loft"}, false},
		{"another loop, without the turn", sootline.Place{Panel: "1", Loop: "2", Area: "Wing 1", Zone: "3", Location: "Landing"}, false},
		{"another loop, without the area", sootline.Place{Panel: "1", Loop: "2", Zone: "3", Location: "Landing"}, true},
	} {
		if err := doubtPlace(p, sootline.Moved{Place: c.place}); (sootline.ErrorCode(err) == sootline.Doubtful) != c.asked {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}
