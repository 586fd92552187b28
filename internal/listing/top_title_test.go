package listing

import (
	"fmt"
	"strings"
	"testing"
)

// partsOf gives the readings of each part of a listing with their loop and day, and its questions.
func partsOf(t *testing.T, text string) (readings string, asked []string) {
	t.Helper()
	f, err := Open("a.csv", strings.NewReader(text), int64(len(text)), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	parts, err := NewKnown().Parts(f.All()[0], Profile{})
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, p := range parts {
		for _, q := range p.Questions {
			asked = append(asked, q.ID)
		}
		for r, bad := range p.Records(p.Table) {
			if bad != nil {
				out = append(out, "!")
				continue
			}
			out = append(out, fmt.Sprintf("%s.%d:%s:%v", r.Reading.Ref.Loop, r.Reading.Ref.Address, r.Reading.When.text(), r.Reading.Samples))
		}
	}
	return strings.Join(out, " "), asked
}

// TestTitleOfAllParts: what a title of the sheet says above those of its first part holds for the other parts too.
func TestTitleOfAllParts(t *testing.T) {
	parts := func(top, loop1, loop2 string) string {
		return top + "\n" + loop1 + "\nAddress;Value\n1;31\n2;29\n\n" + loop2 + "\nAddress;Value\n1;33\n"
	}
	want := "1.1:2025-09-16:[31] 1.2:2025-09-16:[29] 2.1:2025-09-16:[33]"
	for _, text := range []string{parts("Test 16.09.2025", "Loop 1", "Loop 2"), parts("Prüfung 16.09.2025", "Schleife 1", "Schleife 2"), parts("Visite 16/09/2025", "Boucle 1", "Boucle 2")} {
		if got, asked := partsOf(t, text); got != want || len(asked) > 0 {
			t.Errorf("%q: %s %v", text, got, asked)
		}
	}
	if _, asked := partsOf(t, parts("Expected values 16.09.2025", "Loop 1", "Loop 2")); strings.Count(strings.Join(asked, " "), AskTitle) != 2 {
		t.Errorf("a title that turns all parts: %v", asked)
	}
	if got, asked := partsOf(t, parts("Test 16.09.2025", "Loop 1", "Loop 2, 18.09.2025")); !strings.Contains(got, "2.1:2025-09-18:[33]") {
		t.Errorf("a part with a day of its own: %s %v", got, asked)
	}
	if got, _ := partsOf(t, parts("Values", "Loop 1, 16.09.2025", "Loop 2")); strings.Contains(got, "2.1:2025-09-16") {
		t.Errorf("the day of the first part alone: %s", got)
	}
}
