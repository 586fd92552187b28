package address_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"sootline"
	"sootline/internal/address"
)

func TestDifferences(t *testing.T) {
	l := line(span(1, 126), 1, 1, 1, 1)
	l.Devices[0].Order = 9 // last of the walk
	for i, area := range []string{"Bedrooms", "bedrooms ", "kitchen", "bedrooms"} {
		l.Devices[i].Area, l.Devices[i].Type = area, "Alpha"
	}
	l.Devices[0].Has = map[string]string{"Blink": "on"}
	l.Devices[1].Has = map[string]string{"blink": "OFF", "tone": "low"}
	l.Devices[2].Wants = map[string]string{"mode": "heat"}
	l.Devices[3].Wants = map[string]string{"blink": "on"} // of this very device: before the rule
	rules := []address.SettingRule{{Name: "tone", Choice: "high", Type: "beta"}, {Area: "bedrooms", Name: "blink", Choice: "off"}}
	got, err := address.Differences(l, rules)
	if err != nil {
		t.Fatal(err)
	}
	want := []address.Difference{
		{Device: 2, Name: "mode", Wanted: "heat"},
		{Device: 3, Name: "blink", Wanted: "on"},
		{Device: 0, Name: "blink", Wanted: "off", Found: "on", Rule: &rules[1]},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if _, err := address.Differences(l, []address.SettingRule{{Area: "hall"}}); sootline.ErrorCode(err) != sootline.Invalid {
		t.Errorf("a rule without a setting: %v", err)
	}
}
