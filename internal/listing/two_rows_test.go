package listing

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// TestTwoRowsOfADay: rows with two values of one point and day are asked about, and put aside until that is answered.
func TestTwoRowsOfADay(t *testing.T) {
	for _, c := range []struct{ name, list string }{
		{"English", "Point,Date,Value\n1.001,2026-05-12,27\n1.002,2026-05-12,30\n1.002,2026-05-12,33\n"},
		{"another spelling of the point", "Point,Date,Value\n1.001,2026-05-12,27\n1.002,2026-05-12,30\n1.2,2026-05-12,33\n"},
		{"deutsch", "Schleife;Adresse;Datum;Messwert\n1;1;12.05.2026;27\n1;2;12.05.2026;30\n1;2;12.05.2026;33\n"},
		{"français", "Repère;Date;Valeur\n1.001;13/05/2026;27\n1.002;13/05/2026;30\n1.002;13/05/2026;33\n"},
		{"español", "Punto;Fecha;Lectura\n1.001;13/05/2026;27\n1.002;13/05/2026;30\n1.002;13/05/2026;33\n"},
		{"italiano", "Punto;Data;Lettura\n1.001;13/05/2026;27\n1.002;13/05/2026;30\n1.002;13/05/2026;33\n"},
		{"Nederlands", "Punt;Datum;Meetwaarde\n1.001;13-05-2026;27\n1.002;13-05-2026;30\n1.002;13-05-2026;33\n"},
		{"wide", "Point;12.05.2026\n1.001;27\n1.002;30\n1.002;33\n"},
	} {
		for answer, want := range map[SecondMeant]string{"": "1 [27]", SecondFirst: "1 [27] 2 [30]", SecondLast: "1 [27] 2 [33]", SecondAll: "1 [27] 2 [30] 2 [33]", SecondLeft: "1 [27]"} {
			var p Profile
			if answer != "" {
				must(t, p.Answer(AskSecond, string(answer)))
			}
			u, readings := understood(t, "a.csv", c.list, p)
			if got := taken(readings); got != want || (answer == "") != (len(u.Questions) == 1 && u.Questions[0].ID == AskSecond) {
				t.Errorf("%s, answered %q: %s, %v", c.name, answer, got, u.Questions)
			}
		}
	}
}

// taken leaves out the rows that are refused.
func taken(readings []string) string {
	return strings.Join(slices.DeleteFunc(readings, func(row string) bool { return row == "!" }), " ")
}

// TestOneOfADay: a row that is said twice, values of other times, of other quantities or of loops that stand above are no such rows.
func TestOneOfADay(t *testing.T) {
	for _, list := range []string{
		"Point,Date,Value\n1.001,2026-05-12,27\n1.001,2026-05-12,27\n1.001,2026-05-12,27.0\n",
		"Point,Date,Time,Value\n1.001,2026-05-12,10:00,27\n1.001,2026-05-12,16:00,29\n",
		"Point,Date,Value,Quantity\n1.001,2026-05-12,27,rest\n1.001,2026-05-12,60,sensitivity\n",
		"Loop,Address,Date,Value\n1,1,2026-05-12,27\n,2,2026-05-12,28\n2,1,2026-05-12,30\n,2,2026-05-12,31\n",
	} {
		if u, readings := understood(t, "a.csv", list, Profile{}); len(u.Questions) > 0 || len(readings) < 2 {
			t.Errorf("%q: %v %v", list, u.Questions, readings)
		}
	}
}

// TestRepeatsOfTwoRows: with three rows of which two agree, the answer counts for each that says the value.
func TestRepeatsOfTwoRows(t *testing.T) {
	const list = "Point,Date,Value\n1.001,2026-05-12,30\n1.001,2026-05-12,30\n1.001,2026-05-12,33\n1.001,2026-05-12,33\n"
	for answer, want := range map[SecondMeant]string{SecondFirst: "1 [30] 1 [30]", SecondLast: "1 [33] 1 [33]"} {
		if _, readings := understood(t, "a.csv", list, Profile{Second: answer}); taken(readings) != want {
			t.Errorf("%s: %v", answer, readings)
		}
	}
}

// TestTwoRowsFarApart: rows of a long list are held against the visits before them, and memory is bounded by that.
func TestTwoRowsFarApart(t *testing.T) {
	var list strings.Builder
	list.WriteString("Point,Date,Value\n")
	for day := range 20 {
		for n := range 5000 {
			fmt.Fprintf(&list, "1.%d,2026-05-%02d,27\n", n+1, day+1)
		}
	}
	list.WriteString("1.4999,2026-05-20,33\n")
	u, _ := understood(t, "a.csv", list.String(), Profile{})
	if len(u.Questions) != 1 || u.Questions[0].ID != AskSecond || len(u.seconds.recent) > mostSeconds || len(u.seconds.before) > mostSeconds {
		t.Errorf("%v, kept %d and %d", u.Questions, len(u.seconds.recent), len(u.seconds.before))
	}
}
