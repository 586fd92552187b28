package address_test

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sootline"
	"sootline/internal/address"
)

// Differences are told in the order of the walk, each with whose wish it is; check
// tells them by kind, those at which nobody looked apart.
func TestDifferences(t *testing.T) {
	var b book
	for i, area := range []string{"Bedrooms", "bedrooms ", "Kitchen", "bedrooms"} {
		where := fmt.Sprint("p", i)
		b.add(where, sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "2", Area: area, Order: []int{9, 1, 2, 3}[i], Location: where}, Type: "Alpha"})
		b.add(where, sootline.Addressed{Listed: 1 + i})
	}
	b.add("", sootline.Wish{Type: "Beta", Settings: map[string]string{"tone": "high"}})
	b.add("", sootline.Wish{Area: "bedrooms", Settings: map[string]string{"blink": "off"}, Reason: "people sleep there"})
	b.add("p0", sootline.Set{Found: map[string]string{"Blink": "on"}})
	b.add("p1", sootline.Set{Found: map[string]string{"blink": "OFF", "tone": "low"}})
	b.add("p2", sootline.Set{Wanted: map[string]string{"mode": "heat"}})
	b.add("p3", sootline.Wish{Settings: map[string]string{"blink": "on"}})
	r := sootline.Fold(b.entries, day.AddDate(1, 0, 0))
	var got []string
	loop := address.Loops(r, address.Rules{})[0]
	for _, d := range address.Differences(loop) {
		got = append(got, fmt.Sprintf("%s %s=%s of %s %q found %q", loop.Devices[d.Device].Location, d.Wish.Name, d.Wish.Choice, d.Wish.Of, d.Wish.Reason, d.Found))
	}
	want := []string{
		`p2 mode=heat of point "" found ""`,
		`p3 blink=on of point "" found ""`,
		`p0 blink=off of area "people sleep there" found "on"`,
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]string{"setting-differs warning p0", "setting-unlooked hint p3", "setting-unlooked hint p2"}, brief(address.Check(r))); diff != "" {
		t.Error(diff)
	}
}
