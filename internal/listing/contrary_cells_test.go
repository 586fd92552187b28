package listing

import (
	"strings"
	"testing"
)

// takenOf gives the rows of a listing that are taken, and how many are refused.
func takenOf(t *testing.T, k *Known, text string) (taken, refused int) {
	t.Helper()
	f, err := Open("a.csv", strings.NewReader(text), int64(len(text)), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	u, err := k.Understand(f.All()[0], Profile{})
	if err != nil {
		t.Fatal(err)
	}
	for _, bad := range u.Records(f.All()[0]) {
		if bad != nil {
			refused++
			continue
		}
		taken++
	}
	return taken, refused
}

// TestCellsThatContradict: a row whose cells contradict each other, or could be of several things, is refused.
func TestCellsThatContradict(t *testing.T) {
	site := NewKnown()
	for n := 1; n <= 3; n++ {
		site.AddPoint(Ref{Panel: "1", Loop: "1", Address: n}, ScheduleRow{Type: "Juniper O"})
	}
	for _, place := range []string{"SPARE", "not fitted", "REMOVED", "to be fitted 2027", "reserve", "frei", "ausgebaut", "entfällt", "déposé", "libre", "retirado", "rimosso", "vrij", "verwijderd"} {
		if taken, refused := takenOf(t, nil, "Loop;Address;Type;Location\n1;20;Juniper H;Mezz\n1;21;Juniper H;"+place+"\n"); taken != 1 || refused != 1 {
			t.Errorf("place %s: %d taken, %d refused", place, taken, refused)
		}
	}
	for _, value := range []string{"31/44", "31/29", "31 29", `"31, 29"`, "1/31"} {
		if taken, refused := takenOf(t, nil, "Point;Date;Value\n1.001;2025-09-16;"+value+"\n1.002;2025-09-16;29\n1.003;2025-09-16;30\n"); taken != 2 || refused != 1 {
			t.Errorf("value %s: %d taken, %d refused", value, taken, refused)
		}
	}
	for _, loop := range []string{"1 or 2", "1 oder 2", "1/2", "1?", "I"} {
		if taken, refused := takenOf(t, site, "Loop;Address;Type;Location\n1;20;Juniper O;Mezz\n"+loop+";21;Juniper O;Ramp\n"); taken != 1 || refused != 1 {
			t.Errorf("loop %s: %d taken, %d refused", loop, taken, refused)
		}
	}
	for sheet, want := range map[string]int{"20,44,80,10": 1, "20,44,80,2030": 0, "20,44,10,10": 0, "20,44,30,10": 1} {
		if taken, _ := takenOf(t, nil, "name,kind,low,high,alarm,life\nBramble Y,smoke,"+sheet+"\nBramble X,smoke,20,44,80,10\n"); taken != 1+want {
			t.Errorf("sheet %s: %d taken", sheet, taken)
		}
	}
	if taken, refused := takenOf(t, site, "Loop;Address;Type;Location\n1;20.0;Juniper O;Mezz\n1;21.0;Juniper O;Ramp\n"); taken != 2 || refused != 0 {
		t.Errorf("addresses as fractions: %d taken, %d refused", taken, refused)
	}
	if taken, refused := takenOf(t, nil, "Point;Date;Value\n1.001;16 sett. 2025;31\n1.002;16 sett. 2025;29\n"); taken != 2 || refused != 0 {
		t.Errorf("sett.: %d taken, %d refused", taken, refused)
	}
}

// TestOneVisit: a wide table of one visit is read as one of two is.
func TestOneVisit(t *testing.T) {
	for _, head := range []string{"Loop;Address;16.09.2025", "Loop;Address;2025-09-16", "Linie;Adresse;16.09.2025", "Boucle;Adresse;16/09/2025", "Loop;Address;Location;16 Sep 2025"} {
		cells := "1;%;31\n"
		if strings.Contains(head, "Location") {
			cells = "1;%;Hall;31\n"
		}
		list := head + "\n" + strings.ReplaceAll(cells, "%", "1") + strings.ReplaceAll(cells, "%", "2") + strings.ReplaceAll(cells, "%", "13")
		if u, readings := understood(t, "a.csv", list, Profile{}); strings.Join(readings, " ") != "1 [31] 2 [31] 13 [31]" || len(u.Questions) > 0 {
			t.Errorf("%s: %s %v %v", head, u.Kind, u.Questions, readings)
		}
	}
	if u, readings := understood(t, "a.csv", "Point;16.09.2025\n1.001;31\n1.002;29\n", Profile{}); len(readings) != 2 || len(u.Questions) > 0 {
		t.Errorf("%s %v %v", u.Kind, u.Questions, readings)
	}
}
