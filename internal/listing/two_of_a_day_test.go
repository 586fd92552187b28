package listing

import (
	"strings"
	"testing"
)

// TestTwoOfADay: two values of one day, without a word that says how they differ, are asked about; answered, they are read.
func TestTwoOfADay(t *testing.T) {
	wide := "Loop;Address;2025-09-16;2025-09-16\n1;1;31;30\n1;2;29;28\n"
	for _, c := range []struct{ name, text, answer, want string }{
		{"columns of one day", wide, "", ""},
		{"samples", wide, "3,4", "1 [31 30] 2 [29 28]"},
		{"the first", wide, "3", "1 [31] 2 [29]"},
		{"one of three days", "Point;16.09.2025;16.09.2025;13.11.2025\n1.001;31;30;32\n1.002;29;28;30\n", "3,4", "1 [30] 1 [32] 2 [28] 2 [30]"},
		{"columns under one word", "Point;Date;Value;Value\n1.001;2025-09-16;31;30\n1.002;2025-09-16;29;28\n", "", ""},
		{"Spalten unter einem Wort", "Punkt;Datum;Wert;Wert\n1.001;2025-09-16;31;30\n1.002;2025-09-16;29;28\n", "3", "1 [31] 2 [29]"},
		{"two in most cells", "Point;Date;Value\n1.001;2025-09-16;31/29\n1.002;2025-09-16;29/28\n", "", ""},
		{"deux par cellule", "Point;Date;Valeur\n1.001;2025-09-16;31/29\n1.002;2025-09-16;29/28\n", "3", "1 [31 29] 2 [29 28]"},
	} {
		u, readings := understood(t, "a.csv", c.text, Profile{})
		if q, open := u.Blocking(); !open || q.ID != AskValue {
			t.Errorf("%s: not asked: %v %v", c.name, u.Questions, readings)
			continue
		}
		if c.answer == "" {
			continue
		}
		var p Profile
		if err := p.Answer(AskValue, c.answer); err != nil {
			t.Fatal(err)
		}
		if u, readings = understood(t, "a.csv", c.text, p); strings.Join(readings, " ") != c.want || len(u.Questions) > 0 {
			t.Errorf("%s: answered, %v %v", c.name, u.Questions, readings)
		}
	}
	for _, text := range []string{
		"Point;Date;Value 1;Value 2\n1.001;2025-09-16;31;30\n", "Point;Date;Values\n1.001;2025-09-16;31/29\n1.002;2025-09-16;29/28\n", "Punkt;Datum;Messwerte\n1.001;2025-09-16;31 29\n1.002;2025-09-16;29 28\n",
		"Point;Date;Value\n1.001;2025-09-16;31 29 30\n1.002;2025-09-16;29 28 29\n", "Point;v1 16.09.2025;v2 16.09.2025\n1.001;31;30\n1.002;29;28\n",
	} {
		if u, readings := understood(t, "a.csv", text, Profile{}); len(u.Questions) > 0 || len(readings) == 0 {
			t.Errorf("asked: %s %v", text, u.Questions)
		}
	}
}
