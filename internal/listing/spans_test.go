package listing

import (
	"strings"
	"testing"
)

// TestRangesOfNumbers: a row of a range of numbers is of several devices, and no answer has it fitted at the first alone.
func TestRangesOfNumbers(t *testing.T) {
	for _, c := range []struct{ list, from string }{
		{"Loop,From,To,Type,Area\n1,21,25,Larch,Store\n1,26,28,Larch,Loft\n", "From"},
		{"Schleife;Von;Bis;Typ\n1;21;25;Larch\n1;26;28;Larch\n", "Von"},
		{"Boucle;Adresse de début;Adresse de fin;Type\n1;21;25;Larch\n1;26;28;Larch\n", "Adresse de début"},
		{"Lazo;Desde;Hasta;Tipo\n1;21;25;Larch\n", "Desde"},
		{"Anello;Da indirizzo;A indirizzo;Tipo\n1;21;25;Larch\n", "Da indirizzo"},
		{"Lus;Van;Tot;Type\n1;21;25;Larch\n", "Van"},
		{"Loop,First address,Last address,Type\n1,21,25,Larch\n", "First address"},
	} {
		for _, p := range []Profile{{}, {Columns: map[string]Field{c.from: Address}}, {Kind: KindSchedule, Columns: map[string]Field{c.from: Address}}} {
			u, err := eightPoints().Understand(openBytes(t, "x.csv", []byte(c.list)).All()[0], p)
			must(t, err)
			if !u.Refused || !strings.Contains(u.KindWhy, "range of numbers") {
				t.Errorf("%q with %v: refused %t, %s", c.list, p.Columns, u.Refused, u.KindWhy)
			}
		}
	}
}

// TestRangesInCells: nor where the range stands in one cell. What can be a reference is one.
func TestRangesInCells(t *testing.T) {
	for _, c := range []struct{ head, cell, rows string }{
		{"Point", "1.021-1.025", "! 9"},
		{"Point", "1.021 – 1.025", "! 9"},
		{"Point", "1/21-25", "! 9"},
		{"Point", "1.021 to 1.025", "! 9"},
		{"Punto", "1.021 hasta 1.025", "! 9"},
		{"Punt", "1.021 t/m 1.025", "! 9"},
		{"Melder", "1.021 bis 1.025", "! 9"},
		{"Address", "21-25", "! 9"},
		{"Point", "1-21", "21 9"},
		{"Point", "1-021", "21 9"},
	} {
		list := c.head + ";Type;Location\n" + c.cell + ";Larch;Store\n1.009;Larch;Attic\n"
		asked, rows := against(t, eightPoints(), "x.csv", list, Profile{})
		for i, row := range rows {
			if strings.Contains(row, "range of numbers") {
				rows[i] = "!"
			}
		}
		if got := strings.Join(rows, " "); asked != "" || got != c.rows {
			t.Errorf("%s %s: asked %q, %s, expected %s", c.head, c.cell, asked, got, c.rows)
		}
	}
}

// TestEverySpanWordIsSeen: whatever may stand between two numbers is told by the look that passes over long lists quickly.
func TestEverySpanWordIsSeen(t *testing.T) {
	for _, word := range spanWords {
		if cell := "5" + word + "9"; !mayBeSpan(cell) {
			t.Errorf("%q is passed over", cell)
		}
	}
	for _, cell := range []string{"", "73", "1.1.073", "1/73", "."} {
		if mayBeSpan(cell) {
			t.Errorf("%q is looked at", cell)
		}
	}
}
