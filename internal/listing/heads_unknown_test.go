package listing

import (
	"strings"
	"testing"
)

// TestUnknownHeads: headings of which no word is known are headings all the same, and what they say is asked, so that the
// answer holds for the next listing with them.
func TestUnknownHeads(t *testing.T) {
	text := "Kennzahl;Termin;Pegelstand\n1.001;2025-09-16;31\n1.002;2025-09-16;29\n"
	var p Profile
	asked := ""
	for range 5 {
		u, _ := understood(t, "a.csv", text, p)
		if u.HeaderLine != 1 {
			t.Fatalf("the headings are in row %d", u.HeaderLine)
		}
		q, open := u.Blocking()
		if !open {
			break
		}
		asked += q.ID + " "
		if len(q.Choices) == 0 {
			t.Fatalf("%v has no answers", q)
		}
		if err := p.Answer(q.ID, q.Choices[0].Value); err != nil {
			t.Fatal(err)
		}
	}
	for _, id := range []string{AskPoint, AskValue, AskDate} {
		if !strings.Contains(asked, id) {
			t.Errorf("%s is not asked: %s", id, asked)
		}
	}
	u, readings := understood(t, "b.csv", strings.ReplaceAll(text, "2025-09-16", "2026-09-15"), p.OfSource())
	if len(u.Questions) > 0 || strings.Join(readings, " ") != "1 [31] 2 [29]" || !u.Peculiar() {
		t.Errorf("the next listing: %v %v", u.Questions, readings)
	}
	if u, _ := understood(t, "a.csv", "1.001;2025-09-16;31\n1.002;2025-09-16;29\n", Profile{}); u.HeaderLine != 0 {
		t.Errorf("a row of values is taken for headings")
	}
}
