package app

import (
	"fmt"
	"strings"
	"testing"

	"sootline"
)

// thirty is a site with a loop of thirty devices of one type, each at its own number.
func thirty(t *testing.T, a *App) sootline.ID {
	t.Helper()
	site := addSite(t, a)
	var b strings.Builder
	b.WriteString("loop,address,type,location,serial\n")
	for i := 1; i <= 30; i++ {
		fmt.Fprintf(&b, "1,%d,Larch,Room %d,S%02d\n", i, i, i)
	}
	take(t, a, site, files(t, map[string]string{"s.csv": b.String()})+"/s.csv")
	return site
}

// foundList hands in a list of what answers, with serials or without; some stand elsewhere.
func foundList(t *testing.T, a *App, site sootline.ID, serials bool, at map[int]int, more ...string) *Found {
	t.Helper()
	var b strings.Builder
	b.WriteString("number,type,serial\n")
	heard := map[int]bool{}
	for i := 1; i <= 30; i++ {
		n, moved := at[i]
		if !moved {
			n = i
		}
		if n == 0 || heard[n] {
			continue
		}
		heard[n] = true
		serial := ""
		if serials {
			serial = fmt.Sprintf("S%02d", i)
		}
		fmt.Fprintf(&b, "%d,Larch,%s\n", n, serial)
	}
	for _, row := range more {
		b.WriteString(row + "\n")
	}
	f, err := a.ExplainFound(t.Context(), site, sootline.LoopID{Panel: "1", Name: "1"}, files(t, map[string]string{"f.csv": b.String()})+"/f.csv")
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func noteFound(t *testing.T, a *App, site sootline.ID, f *Found) int {
	t.Helper()
	n, err := a.NoteFound(t.Context(), site, f)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// An exchange that serials showed is not wiped by a list that cannot see it.
func TestABareListWipesNoExchange(t *testing.T) {
	a := newApp(t, "laptop")
	site := thirty(t, a)
	noteFound(t, a, site, foundList(t, a, site, true, map[int]int{3: 7, 7: 3}))
	bare := foundList(t, a, site, false, nil)
	if n := noteFound(t, a, site, bare); n != 0 {
		t.Errorf("%d numbers written", n)
	}
	if strings.Contains(bare.Agrees(), "as the register has them") || len(bare.Untold) != 1 || !strings.Contains(bare.Untold[0], "cannot tell") {
		t.Errorf("said: %s; %v", bare.Agrees(), bare.Untold)
	}
	if at := register(t, a, site).Points()[2].Stands; at.Number != 7 {
		t.Errorf("Room 3 stands at %d", at.Number)
	}
	if o := steps(t, a, site); len(o.Steps) != 3 {
		t.Errorf("%d settings are left", len(o.Steps))
	}
	if n := noteFound(t, a, site, foundList(t, a, site, true, nil)); n != 2 {
		t.Errorf("with serials %d are written", n)
	}
}

// The panel hears one of several unset devices: none is written down as found there
// unless its serial says that it is the one.
func TestUnsetDevicesAreNotAllFound(t *testing.T) {
	a := newApp(t, "laptop")
	site := thirty(t, a)
	unset := map[int]int{3: 127, 4: 127, 9: 127}
	noteFound(t, a, site, foundList(t, a, site, false, unset))
	for _, p := range register(t, a, site).Points() {
		if p.Stands.Number == 127 {
			t.Errorf("%s: %s", p.Location, p.SayNumbers())
		}
	}
	noteFound(t, a, site, foundList(t, a, site, true, unset))
	if p := register(t, a, site).Points(); p[2].Stands.Number != 127 || p[3].Stands.Number == 127 {
		t.Errorf("by serial: %s, %s", p[2].SayNumbers(), p[3].SayNumbers())
	}
}

// Every row of a list is used or named; a device written twice is no second device.
func TestRowsOfAListAreUsedOrNamed(t *testing.T) {
	a := newApp(t, "laptop")
	site := thirty(t, a)
	f := foundList(t, a, site, true, map[int]int{30: 0, 29: 0},
		"30,Larch,S30", "30,Larch,s-30", "29,Larch,S29", "-1,Larch,", "0,Larch,", "4x,Larch,", ",Larch,", "99999,Larch,", "seven,Larch,")
	if len(f.Traces) != 0 || len(f.Answers) != 30 {
		t.Errorf("%d answers, differences %v", len(f.Answers), f.Traces)
	}
	lines := map[int]bool{}
	for _, trouble := range f.Troubles {
		lines[trouble.Line] = true
	}
	for _, line := range []int{31, 33, 34, 35, 36, 37, 38} {
		if !lines[line] {
			t.Errorf("row %d is not named: %v", line, f.Troubles)
		}
	}
	f = foundList(t, a, site, true, map[int]int{2: 0}, "2,Larch,S05")
	if len(f.Troubles) != 1 || !strings.Contains(f.Troubles[0].Text, "S05") || !strings.Contains(f.Troubles[0].Text, "row 5") || len(f.Traces) != 0 {
		t.Errorf("one serial at two numbers: %v, %v", f.Troubles, f.Traces)
	}
}
