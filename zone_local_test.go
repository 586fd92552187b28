package sootline

import (
	"testing"
	"time"
)

// The zone of the machine goes by its name; "Local" alone is none.
func TestZoneOfTheMachineHasItsName(t *testing.T) {
	was := time.Local
	t.Cleanup(func() { time.Local = was })
	for _, name := range []string{"UTC", "Europe/Paris"} {
		zone, err := time.LoadLocation(name)
		if err != nil {
			t.Fatal(err)
		}
		time.Local = zone
		if _, err := ZoneNamed(name); err != nil {
			t.Errorf("on a machine in %s: %v", name, err)
		}
	}
	if _, err := ZoneNamed("Local"); err == nil {
		t.Error("Local is taken for a zone")
	}
}
