package listing

import (
	"fmt"
	"strings"
	"testing"
)

// eightPoints is a register of one loop with eight points, each in a room of its own.
func eightPoints() *Known {
	known := NewKnown()
	known.AddLoop("1", "1")
	known.AddType("Elder")
	for n := 1; n <= 8; n++ {
		known.AddPoint(Ref{Panel: "1", Loop: "1", Address: n}, ScheduleRow{
			Type: "Larch", Zone: fmt.Sprint(1 + n/5), Location: fmt.Sprintf("Room 10%d", n), Serial: fmt.Sprintf("SN100%d", n),
		})
	}
	return known
}

// against understands a list with a register and gives what is asked, and how each row ends.
func against(t *testing.T, known *Known, name, list string, p Profile) (asked string, rows []string) {
	t.Helper()
	table := openBytes(t, name, []byte(list)).All()[0]
	u, err := known.Understand(table, p)
	must(t, err)
	if q, open := u.Blocking(); open {
		asked = q.ID
	}
	for r, bad := range u.Records(table) {
		switch {
		case bad != nil:
			rows = append(rows, bad.Trouble())
		case r.Reading != nil:
			rows = append(rows, fmt.Sprint(r.Reading.Ref.Address))
		case r.Event != nil:
			rows = append(rows, fmt.Sprint(r.Event.Ref.Address))
		case r.Schedule != nil:
			rows = append(rows, fmt.Sprint(r.Schedule.Ref.Address))
		}
	}
	return asked, rows
}

// TestRegisterContradicts: what a column says otherwise than the register in most rows is asked about, and in one row
// refuses that row; the answer is heeded.
func TestRegisterContradicts(t *testing.T) {
	for _, c := range []struct{ name, list, asked, rows string }{
		{"places one row off", "point,location,date,value\n1.001,Room 102,2026-11-10,26\n1.002,Room 103,2026-11-10,27\n1.003,Room 104,2026-11-10,28\n", AskContrary, ""},
		{"places one row off, of events", "Melder;Ort;Datum;Ereignis\n1.001;Room 102;10.11.2026;abgeschaltet\n1.002;Room 103;10.11.2026;ersetzt\n", AskContrary, ""},
		{"zones", "point,zone,date,event,result\n1.001,4,2026-11-10,tested,ok\n1.002,4,2026-11-10,tested,ok\n", AskContrary, ""},
		{"one place", "repère,emplacement,date,valeur\n1.001,Room 101,10/11/2026,26\n1.002,Room 105,10/11/2026,27\n1.003,Room 103,13/11/2026,28\n", "", "1 ! 3"},
		{"one type", "point,type,date,value\n1.001,Elder,2026-11-10,26\n1.002,Larch,2026-11-10,27\n", "", "! 2"},
		{"one zone", "punto,zona,fecha,valor\n1.001,1,10/11/2026,26\n1.002,2,10/11/2026,27\n1.003,1,13/11/2026,27\n", "", "1 ! 3"},
		{"serials", "point,serial,date,value\n1.001,SN1002,2026-11-10,26\n1.002,SN1001,2026-11-10,27\n", "", "! !"},
		{"the type of a new device", "point,date,event,type\n1.001,2026-11-10,replaced,Elder\n1.002,2026-11-10,replaced,Elder\n1.003,2026-11-10,cleaned,Larch\n", "", "1 2 3"},
		{"places that the register does not know", "point,location,date,value\n1.001,Kitchen,2026-11-10,26\n1.002,Cellar,2026-11-10,27\n", AskContrary, ""},
		{"all as the register has it", "point,location,zone,type,date,value\n1.001,room 101,1,LARCH,2026-11-10,26\n1.006,Room 106,2,Larch,2026-11-10,27\n", "", "1 6"},
		{"a loop that the title contradicts", "Loop 2,,,\nloop,address,date,value\n1,1,2026-11-10,26\n1,2,2026-11-10,27\n", AskContrary, ""},
	} {
		asked, rows := against(t, eightPoints(), "x.csv", c.list, Profile{})
		for i, row := range rows {
			if strings.Contains(row, " ") {
				rows[i] = "!"
			}
		}
		if got := strings.Join(rows, " "); asked != c.asked || asked == "" && got != c.rows {
			t.Errorf("%s: asked %q, rows %s", c.name, asked, got)
		}
		if asked == "" {
			continue
		}
		for _, answer := range []ContraryMeant{ContraryByPoint, ContraryLeft} {
			var p Profile
			must(t, p.Answer(AskContrary, string(answer)))
			asked, rows := against(t, eightPoints(), "x.csv", c.list, p)
			if taken := !strings.Contains(strings.Join(rows, ""), " "); asked != "" || len(rows) == 0 || taken != (answer == ContraryByPoint) {
				t.Errorf("%s, answered %q: asked %q, %v", c.name, answer, asked, rows)
			}
		}
	}
	var p Profile
	if err := p.Answer(AskContrary, "perhaps"); err == nil {
		t.Error("any answer is taken")
	}
}

// TestCountBesidePlaces: numbers that count the rows are no addresses, where the register has the places beside them elsewhere.
func TestCountBesidePlaces(t *testing.T) {
	for _, c := range []struct{ list, asked string }{
		{"No.,Location,Date,Value\n1,Room 104,2026-11-13,29\n2,Room 103,2026-11-13,28\n3,Room 101,2026-11-13,26\n", AskPoint},
		{"No.;Ort;Datum;Ereignis\n1;Room 106;10.11.2026;gereinigt\n2;Room 107;10.11.2026;gereinigt\n3;Room 108;10.11.2026;gereinigt\n", AskPoint},
		{"No.,Location,Date,Value\n1,Room 101,2026-11-13,29\n2,Room 102,2026-11-13,28\n3,Room 103,2026-11-13,26\n", ""},
	} {
		if asked, rows := against(t, eightPoints(), "x.csv", c.list, Profile{}); asked != c.asked || asked == "" && len(rows) != 3 {
			t.Errorf("%s: asked %q, %v", c.list, asked, rows)
		}
	}
}
