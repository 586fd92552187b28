package app

import (
	"strings"
	"testing"
)

const deskPoints = "loop,address,type,serial,location,fitted on\n1,1,Larch,S1,Hall,2021-02-03\n1,2,Larch,S2,Stair,2021-02-03\n1,3,Larch,S3,Attic,2021-02-03\n"

// TestReplacedByAnotherType: a replacement that names another type changes the type of its point, with a yes of its own.
func TestReplacedByAnotherType(t *testing.T) {
	for _, text := range []string{
		"point,date,event,type\n1.001,2024-11-10,replaced,Elder\n1.002,2024-11-10,replaced,\n1.003,2024-11-10,replaced,Larch\n",
		"Punkt,Datum,Ereignis,Typ\n1.001,2024-11-10,ausgetauscht,Elder\n1.002,2024-11-10,ausgetauscht,\n1.003,2024-11-10,ausgetauscht,Larch\n",
		"point,date,event,old type,new type\n1.001,2024-11-10,replaced,Larch,Elder\n1.002,2024-11-10,replaced,,\n1.003,2024-11-10,replaced,Larch,Larch\n",
	} {
		d := newDesk(t, deskPoints)
		out := d.take("work.csv", text, TakeOptions{})
		if u := out.Undone(EffectRetype); u.Rows != 1 || u.Held != 1 || out.Added != 2 {
			t.Errorf("%s: %+v, added %d: %s", text, u, out.Added, saidOfRows(out))
		}
		d.take("work.csv", text, TakeOptions{Allow: []Effect{EffectRetype}})
		if p := register(t, d.app, d.site).Points()[0]; p.Type != "Elder" {
			t.Errorf("%s: 1.001 has %s", text, p.Type)
		}
		again := d.take("work.csv", text, TakeOptions{})
		if again.Added != 0 || again.Tables[0].Same != 3 {
			t.Errorf("%s: taken again, added %d: %s", text, again.Added, saidOfRows(again))
		}
	}
}

// TestOtherDayOfFitting: a schedule that has a device fitted on another day than the register is not called known.
func TestOtherDayOfFitting(t *testing.T) {
	d := newDesk(t, deskPoints)
	out := d.take("later.csv", strings.ReplaceAll(deskPoints, "2021-02-03", "2022-05-06"), TakeOptions{})
	if o := out.Tables[0]; o.Same != 0 || o.Left != 3 || !strings.Contains(saidOfRows(out), "fitted on 2021-02-03, and the row on 2022-05-06") {
		t.Errorf("%d known, %d left: %s", o.Same, o.Left, saidOfRows(out))
	}
	out = d.take("same.csv", deskPoints, TakeOptions{})
	if o := out.Tables[0]; o.Same != 3 || o.Left != 0 {
		t.Errorf("the same list: %d known, %s", o.Same, saidOfRows(out))
	}
	undated := newDesk(t, "loop,address,type\n1,1,Larch\n")
	if out := undated.take("dated.csv", "loop,address,type,fitted on\n1,1,Larch,2021-02-03\n", TakeOptions{}); !strings.Contains(saidOfRows(out), "does not say when") {
		t.Errorf("of an unknown day: %s", saidOfRows(out))
	}
}

// TestOddRowsAreToldOf: what is taken and odd is told of by its row.
func TestOddRowsAreToldOf(t *testing.T) {
	readings := func(rows string) string { return "point,date,value\n" + rows }
	points := func(rows string) string { return "loop,address,type,serial,location\n" + rows }
	for _, c := range []struct{ name, text, want string }{
		{"a value of a day that the book has", readings("1.002,2024-10-10,36\n"), "has [26] on 2024-10-10 as well as [36]"},
		{"a lost mark", readings("1.001,2024-11-10,2.6\n"), "2.6 at 1.1.001 is far outside"},
		{"nothing read", readings("1.001,2024-11-10,0\n"), "0 at 1.1.001 is far outside"},
		{"a serial of the register", points("1,26,Larch,S2,Room 126\n"), "the register has the serial number S2 at 1.1.002"},
		{"a serial twice", points("1,26,Larch,S9,Room 126\n1,27,Larch,S9,Room 127\n"), "row 2 has the serial number S9 too"},
		{"a number of two devices", points("1,26,Larch,,Room 126\n1,26,Elder,,Room 127\n"), "another device has the number 1.1.026 too"},
		{"a number beyond the loop", points("1,999,Larch,,Room 126\n"), "number 999 is none of loop"},
		{"no number", points("1,0,Larch,,Room 126\n"), "no number from 1 on"},
	} {
		d := newDesk(t, deskPoints)
		d.take("before.csv", readings("1.002,2024-10-10,26\n"), TakeOptions{})
		out := d.take("odd.csv", c.text, TakeOptions{})
		if out.Added == 0 || !strings.Contains(saidOfRows(out), c.want) {
			t.Errorf("%s: added %d, said %q", c.name, out.Added, saidOfRows(out))
		}
	}
	d := newDesk(t, deskPoints)
	if out := d.take("even.csv", readings("1.001,2024-11-10,26\n1.001,2024-11-11,36\n1.002,2024-11-10,21\n"), TakeOptions{}); saidOfRows(out) != "" {
		t.Errorf("of nothing odd it says %q", saidOfRows(out))
	}
}

// TestTakenAgainAfterUndo: entries that hold again are told of.
func TestTakenAgainAfterUndo(t *testing.T) {
	d := newDesk(t, deskPoints)
	text := "point,date,value\n1.001,2024-11-10,26\n1.002,2024-11-10,27\n"
	out := d.take("a.csv", text, TakeOptions{})
	undo(t, d.app, d.site, out.Act.ID.String(), true)
	again := d.take("a.csv", text, TakeOptions{})
	if again.Tables[0].Revived != 2 || !strings.Contains(saidOfRows(again), "2 entries of it were taken back before, and hold again") {
		t.Errorf("%d hold again: %s", again.Tables[0].Revived, saidOfRows(again))
	}
}

// TestCoverAsksNothing: a sheet that speaks for no listing is left alone beside sheets that are listings, and asks alone.
func TestCoverAsksNothing(t *testing.T) {
	cover := "<table><tr><td>Saltern fire system</td><td></td></tr><tr><td>surveyed</td><td>C. Tech</td></tr></table>"
	readings := "<table><tr><th>point</th><th>date</th><th>value</th></tr><tr><td>1.001</td><td>2024-11-10</td><td>26</td></tr><tr><td>1.002</td><td>2024-11-10</td><td>27</td></tr></table>"
	d := newDesk(t, deskPoints)
	out := d.take("book.html", "<html><body>"+cover+"<p>x</p>"+readings+"</body></html>", TakeOptions{})
	if out.Added != 2 || out.Ending() != EndDone || len(out.Skipped) != 1 {
		t.Errorf("added %d, %d skipped, open %v", out.Added, len(out.Skipped), out.Open)
	}
	alone := d.take("cover.html", "<html><body>"+cover+"</body></html>", TakeOptions{})
	if alone.Ending() == EndDone && len(alone.Open) == 0 && len(alone.Skipped) == 0 {
		t.Error("a cover alone is passed over in silence")
	}
}

// TestOtherChoiceNeedsItsYes: another choice of a setting that is wanted of a known point is not taken for --yes alone; a setting that is
// new is.
func TestOtherChoiceNeedsItsYes(t *testing.T) {
	for _, heads := range []string{"Loop,Address,Type,Mode", "Schleife,Adresse,Typ,Betriebsart", "Boucle,Adresse,Type,Sensibilité"} {
		list := func(choice string) string { return heads + "\n1,1,Larch," + choice + "\n1,2,Larch,A\n" }
		d := newDesk(t, "loop,address,type\n1,1,Larch\n1,2,Larch\n")
		if out := d.take("first.csv", list("A"), TakeOptions{}); out.Added != 2 {
			t.Fatalf("%s: a new setting: added %d: %s", heads, out.Added, saidOfRows(out))
		}
		out := d.take("second.csv", list("B"), TakeOptions{})
		if u := out.Undone(EffectSet); u.Rows != 1 || u.Held != 1 || out.Added != 0 {
			t.Errorf("%s: %+v, added %d: %s", heads, u, out.Added, saidOfRows(out))
		}
		if out = d.take("second.csv", list("B"), TakeOptions{Allow: []Effect{EffectSet}}); out.Added != 1 {
			t.Errorf("%s: with its yes: added %d: %s", heads, out.Added, saidOfRows(out))
		}
	}
}

// TestSerialOfTheNewUnit: a replacement keeps the serial number of the unit that came, and taken again adds nothing.
func TestSerialOfTheNewUnit(t *testing.T) {
	d := newDesk(t, deskPoints)
	text := "point,date,event,new serial\n1.001,2024-11-10,replaced,K999\n1.002,2024-11-10,replaced,\n"
	d.take("work.csv", text, TakeOptions{})
	if p := register(t, d.app, d.site).Points()[0]; p.Unit.Serial != "K999" {
		t.Errorf("1.001 has %q", p.Unit.Serial)
	}
	if again := d.take("work.csv", text, TakeOptions{}); again.Added != 0 || again.Tables[0].Same != 2 {
		t.Errorf("taken again, added %d: %s", again.Added, saidOfRows(again))
	}
}
