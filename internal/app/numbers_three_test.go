package app

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"sootline"
)

// unsetLoop takes a list of devices that are all still at the unset number.
func unsetLoop(t *testing.T, a *App, n int) sootline.ID {
	t.Helper()
	site := addSite(t, a)
	var b strings.Builder
	b.WriteString("loop,address,type,location,serial\n")
	for i := range n {
		fmt.Fprintf(&b, "1,127,Larch,Room %d,S%d\n", i+1, i+1)
	}
	take(t, a, site, files(t, map[string]string{"s.csv": b.String()})+"/s.csv")
	return site
}

func steps(t *testing.T, a *App, site sootline.ID) NumberOrder {
	t.Helper()
	orders, err := a.OrderNumbers(t.Context(), site, "1.1")
	if err != nil {
		t.Fatal(err)
	}
	return orders[0]
}

func accept(t *testing.T, a *App, site sootline.ID) int {
	t.Helper()
	plans, err := a.PlanNumbers(t.Context(), site, "1.1", NumberStyle{By: "cable"})
	if err != nil {
		t.Fatal(err)
	}
	n, err := a.AcceptNumbers(t.Context(), site, plans)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// 120 devices listed at 127: accepting a plan never touches how they stand, the order
// is what is left to set, and one act takes the plan back.
func TestOrderIsWhatIsLeftToSet(t *testing.T) {
	const n = 120
	a := newApp(t, "laptop")
	site := unsetLoop(t, a, n)
	if p := register(t, a, site).Points()[0]; p.Stands.Number != 127 || p.Stands.As != sootline.AsListed || p.Wanted != 0 {
		t.Fatalf("as listed: %s", p.SayNumbers())
	}
	if got := accept(t, a, site); got != n {
		t.Fatalf("%d numbers accepted", got)
	}
	if o := steps(t, a, site); o.Moved != n || len(o.Steps) != n {
		t.Fatalf("%d devices, %d settings", o.Moved, len(o.Steps))
	}
	set := func(at int, note DeviceNote) {
		p := register(t, a, site).Points()[at]
		note.Point = p.Ref().String()
		if note.Set == 0 && note.Found == 0 {
			note.Set = p.Wanted
		}
		if _, err := a.NoteDevice(t.Context(), site, note); err != nil {
			t.Fatal(err)
		}
	}
	set(0, DeviceNote{How: sootline.BySetter})
	set(1, DeviceNote{Found: register(t, a, site).Points()[1].Wanted, How: sootline.ByPanel})
	if o := steps(t, a, site); len(o.Steps) != n-2 {
		t.Errorf("two were set, and %d settings are left", len(o.Steps))
	}
	plan, err := a.UndoPlan(t.Context(), site)
	if err != nil || len(plan.Entries) != n {
		t.Fatalf("%v of %v taken back", plan, err)
	}
	r := register(t, a, site)
	for _, p := range r.Points() {
		if p.Wanted != 0 {
			t.Fatalf("%s is wanted still", p.SayNumbers())
		}
	}
	if o := steps(t, a, site); len(o.Steps) != 0 {
		t.Errorf("nothing is wanted, and %d settings are left", len(o.Steps))
	}
	if _, err := a.UndoPlan(t.Context(), site); sootline.ErrorCode(err) != sootline.NotFound {
		t.Errorf("taken back twice: %v", err)
	}
}

// Whatever is listed, wanted, set, found and taken back in whatever order: the order of
// changes leads from how each device stands to what is wanted of it, and of no other.
func TestOrderIsTheDifference(t *testing.T) {
	sums(t)
	rapid.Check(t, func(rt *rapid.T) {
		a := newApp(t, "laptop")
		clock := today
		a.Now = func() time.Time { clock = clock.Add(time.Minute); return clock }
		site := unsetLoop(t, a, 5)
		for range rapid.IntRange(1, 10).Draw(rt, "acts") {
			points := register(t, a, site).Points()
			p := points[rapid.IntRange(0, 4).Draw(rt, "point")]
			number := rapid.IntRange(1, 9).Draw(rt, "number")
			switch rapid.IntRange(0, 4).Draw(rt, "act") {
			case 0:
				accept(t, a, site)
			case 1:
				if _, err := a.UndoPlan(t.Context(), site); err != nil && sootline.ErrorCode(err) != sootline.NotFound {
					rt.Fatal(err)
				}
			case 2:
				renumber(t, a, site, p.ID, number)
			case 3:
				number = 0
				fallthrough
			default:
				note := DeviceNote{Point: p.ID.String(), Set: number, Sure: true}
				if number == 0 {
					note.Set, note.Found = 0, p.Stands.Number
				}
				if _, err := a.NoteDevice(t.Context(), site, note); err != nil {
					rt.Fatal(err)
				}
			}
		}
		r := register(t, a, site)
		orders, err := a.OrderNumbers(t.Context(), site, "1.1")
		if err != nil {
			rt.Fatal(err)
		}
		held := map[sootline.ID]bool{}
		for _, h := range orders[0].Held { // two are to have one number: they stay, with the reason
			held[orders[0].Loop.Devices[h.Device].ID] = true
		}
		at := map[sootline.ID]int{}
		for _, p := range r.Points() {
			at[p.ID] = p.Stands.Number
		}
		for _, step := range orders[0].Steps {
			d := orders[0].Loop.Devices[step.Device]
			if step.From != at[d.ID] {
				rt.Fatalf("a step leads from %d, where the device stands at %d", step.From, at[d.ID])
			}
			at[d.ID] = step.To
		}
		for _, p := range r.Points() {
			want := p.Wanted
			if want == 0 || held[p.ID] {
				want = p.Stands.Number
			}
			if at[p.ID] != want {
				rt.Fatalf("%s ends at %d: %s", p.Ref(), at[p.ID], p.SayNumbers())
			}
		}
	})
}

// What a list says of numbers follows its words; what could be either is asked.
func TestListsSayHowNumbersAreMeant(t *testing.T) {
	for heading, want := range map[string]string{
		"address": "7/0", "now": "7/0", "wanted": "0/7", "new address": "0/7", "planned number": "0/7", "shall be": "0/7", "address set": "asked",
	} {
		a := newApp(t, "laptop")
		site := addSite(t, a)
		path := files(t, map[string]string{"s.csv": "loop," + heading + ",type,location\n1,7,Larch,Hall\n1,8,Larch,Stairs\n"}) + "/s.csv"
		in, err := a.Look(t.Context(), site, []string{path}, nil)
		if err != nil {
			t.Fatal(err)
		}
		defer in.Close() //nolint:errcheck // it is only read
		if len(in.Tables[0].Questions) > 0 {
			if want != "asked" || in.Tables[0].Questions[0].ID != "numbers" {
				t.Errorf("%s: %+v", heading, in.Tables[0].Questions)
				continue
			}
			if err := in.Tables[0].Answer("numbers", "wanted"); err != nil {
				t.Fatal(err)
			}
			want = "0/7"
		}
		if _, err := a.Take(t.Context(), site, in, TakeOptions{}); err != nil {
			t.Fatal(heading, err)
		}
		p := register(t, a, site).Points()[0]
		if got := fmt.Sprintf("%d/%d", p.Stands.Number, p.Wanted); got != want {
			t.Errorf("%s: listed and wanted %s, want %s", heading, got, want)
		}
	}
}

// A list of what is wanted finds the devices that are there, by serial or place, also
// when it is taken again after they were set; one with both columns tells both.
func TestWantedListFindsItsDevices(t *testing.T) {
	a := newApp(t, "laptop")
	site := unsetLoop(t, a, 3)
	folder := files(t, map[string]string{
		"serial.csv": "loop,wanted,serial\n1,3,S1\n1,2,S2\n1,1,S3\n",
		"place.csv":  "loop,new address,location\n1,11,Room 1\n1,12,Room 2\n1,13,Room 3\n",
		"both.csv":   "loop,old address,new address,type,location\n2,5,6,Larch,Left\n2,6,5,Larch,Right\n",
	})
	out := take(t, a, site, folder+"/serial.csv")
	if out.Added != 3 || len(register(t, a, site).Points()) != 3 {
		t.Fatalf("added %d: %v", out.Added, out.Tables[0].Troubles)
	}
	a.Now = func() time.Time { return today.Add(time.Hour) } // of one instant, chance would tell which came last
	if out := take(t, a, site, folder+"/place.csv"); out.Added != 3 {
		t.Errorf("by place: added %d", out.Added)
	}
	if out := take(t, a, site, folder+"/serial.csv"); out.Added != 0 || len(out.Tables[0].Remarks) != 1 {
		t.Errorf("the older list again: added %d, %v", out.Added, out.Tables[0].Remarks)
	}
	take(t, a, site, folder+"/both.csv")
	if out := take(t, a, site, folder+"/both.csv"); out.Added != 0 {
		t.Errorf("both columns again: added %d", out.Added)
	}
	orders, err := a.OrderNumbers(t.Context(), site, "1.2")
	if err != nil || orders[0].Moved != 2 {
		t.Fatalf("%d devices move: %v", orders[0].Moved, err)
	}
	done := []int{0, 1, 2}
	if _, err := a.NoteSteps(t.Context(), site, orders[0], done); err != nil {
		t.Fatal(err)
	}
	if out := take(t, a, site, folder+"/both.csv"); out.Added != 0 {
		t.Errorf("both columns after the exchange: added %d", out.Added)
	}
	for _, p := range register(t, a, site).Points() {
		if p.Place.Loop == "2" && p.Stands.Number != p.Wanted {
			t.Errorf("%s: %s", p.Location, p.SayNumbers())
		}
	}
}
