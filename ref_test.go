package sootline

import "testing"

func TestParseRef(t *testing.T) {
	for in, want := range map[string]Ref{
		"1.2.073": {"1", "2", 73},
		"2.073":   {"", "2", 73},
		"01.b.7":  {"1", "B", 7},
		"1.2.0":   {}, "1.2": {"", "1", 2}, "1..3": {}, "": {}, "x": {}, "1.2.3.4": {}, "1.2.12A": {}, "1.2.-3": {},
	} {
		got, err := ParseRef(in)
		if got != want || (err == nil) != (want != Ref{}) {
			t.Errorf("ParseRef(%q) = %v, %v; want %v", in, got, err, want)
		}
	}
	if got := (Ref{"1", "2", 73}).String(); got != "1.2.073" {
		t.Errorf("written as %s", got)
	}
}

func TestIDText(t *testing.T) {
	id := pointID(7)
	if back, err := ParseID(id.String()); err != nil || back != id {
		t.Errorf("%s came back as %s, %v", id, back, err)
	}
	// RFC 9562, figure 11: version and variant bits; section 6.2 gives the example of appendix A.6.
	known, err := ParseID("017f22e2-79b0-7cc3-98c4-dc0c0c07398f")
	if err != nil {
		t.Fatal(err)
	}
	made := NewID(Instant(epoch.AddDate(-2, 0, 0)), [10]byte{})
	if made[6]>>4 != 7 || made[8]>>6 != 2 || known[6]>>4 != 7 || known[8]>>6 != 2 {
		t.Errorf("not a UUID of version 7: %s", made)
	}
}
