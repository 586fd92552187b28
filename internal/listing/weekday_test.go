package listing

import (
	"strings"
	"testing"
)

// TestWeekdays: a day of the week beside a date is held against it, and settles its order where two are possible.
func TestWeekdays(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"wrong", "Point;Date;Value\n1.001;Mon 16 Sep 2025;31\n1.002;Tue 16 Sep 2025;29\n", "! 2 [29]"},
		{"falsch", "Punkt;Datum;Wert\n1.001;Mo, 16.09.2025;31\n1.002;Di, 16.09.2025;29\n", "! 2 [29]"},
		{"faux", "Point;Date;Valeur\n1.001;lun. 16/09/2025;31\n1.002;mar. 16/09/2025;29\n", "! 2 [29]"},
		{"errado", "Punto;Fecha;Valor\n1.001;sábado 16/09/2025;31\n1.002;martes 16/09/2025;29\n", "! 2 [29]"},
		{"sbagliato", "Punto;Data;Valore\n1.001;gio 16/09/2025;31\n1.002;martedì 16/09/2025;29\n", "! 2 [29]"},
		{"fout", "Punt;Datum;Waarde\n1.001;vr 16-09-2025;31\n1.002;di 16-09-2025;29\n", "! 2 [29]"},
		{"which settles the order", "Point;Date;Value\n1.001;Sat 01/02/2025;31\n1.002;Sat 01/02/2025;29\n", "1 [31] 2 [29]"},
		{"in a column", "Point;Day;Date;Value\n1.001;Monday;2025-09-16;31\n1.002;Tuesday;2025-09-16;29\n", "! 2 [29]"},
		{"in einer Spalte", "Punkt;Wochentag;Datum;Wert\n1.001;Mo;16.09.2025;31\n1.002;Di;16.09.2025;29\n", "! 2 [29]"},
		{"a month before its day", "Point;Date;Value\n1.001;Mar 16, 2025;31\n1.002;Mar 17, 2025;29\n", "1 [31] 2 [29]"},
	} {
		if u, readings := understood(t, "a.csv", c.text, Profile{}); strings.Join(readings, " ") != c.want || len(u.Questions) > 0 {
			t.Errorf("%s: %v %v", c.name, u.Questions, readings)
		}
	}
	if day, err := ParseDate("Sat 01/02/2025", ""); err != nil || day.Month != 2 {
		t.Errorf("Saturday 1 February 2025 is read as %v, %v", day, err)
	}
}

// TestRowsPutOut: a row with a mark before it that most others do not have is refused; a list that has it everywhere is read.
func TestRowsPutOut(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"Point;Date;Value\n#1.001;2025-09-16;31\n1.002;2025-09-16;29\n", "! 2 [29]"},
		{"Loop;Address;Date;Value\n#1;1;2025-09-16;31\n1;2;2025-09-16;29\n1;3;2025-09-16;29\n", "! 2 [29] 3 [29]"},
		{"Datum;Punkt;Wert\n// 16.09.2025;1.001;31\n16.09.2025;1.002;29\n16.09.2025;1.003;29\n", "! 2 [29] 3 [29]"},
		{"Point;Date;Value\n#1.001;2025-09-16;31\n#1.002;2025-09-16;29\n", "1 [31] 2 [29]"},
	} {
		if u, readings := understood(t, "a.csv", c.text, Profile{}); strings.Join(readings, " ") != c.want || len(u.Questions) > 0 {
			t.Errorf("%q: %v %v", c.text, u.Questions, readings)
		}
	}
}
