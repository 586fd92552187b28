package shape

import "testing"

// TestValuesAreNotTaught: a source of values is known by its kind, before a value of it was heard; one of text is none.
func TestValuesAreNotTaught(t *testing.T) {
	for via, want := range map[string]bool{"modbus": true, "mqtt": true, "tcp": false, "": false} {
		if s := (Source{Via: via}); s.GivesValues() != want {
			t.Errorf("%q gives values: %t", via, s.GivesValues())
		}
	}
}
