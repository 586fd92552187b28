package app

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"sootline"
)

// After a renumbering, the schedule of before says nothing new, and moves nothing:
// with serials and without, half way through an exchange of numbers and after it.
func TestOldScheduleAfterRenumbering(t *testing.T) {
	const bare = "loop,address,type,location,fitted on\n1,1,Larch,Front door,2023-01-10\n1,2,Larch,Back door,2023-01-10\n1,3,Larch,Stairs,\n"
	for name, listing := range map[string]string{"with serials": schedule, "without": bare} {
		for _, both := range []bool{false, true} {
			a := newApp(t, "laptop")
			site := addSite(t, a)
			path := files(t, map[string]string{"s.csv": listing})
			take(t, a, site, path+"/s.csv")
			points := register(t, a, site).Points()
			a.Now = func() time.Time { return today.Add(time.Hour) }
			renumber(t, a, site, points[0].ID, 2)
			if both {
				renumber(t, a, site, points[1].ID, 1)
			}
			before := whereAll(register(t, a, site))
			out := take(t, a, site, path+"/s.csv")
			if out.Added != 0 || out.Tables[0].Same != 3 || out.Tables[0].Left != 0 {
				t.Errorf("%s, both exchanged %v: added %d, same %d, left %d: %v", name, both, out.Added, out.Tables[0].Same, out.Tables[0].Left, out.Tables[0].Troubles)
			}
			if after := whereAll(register(t, a, site)); after != before {
				t.Errorf("%s, both exchanged %v: points moved from\n%s to\n%s", name, both, before, after)
			}
			// The schedule of now is taken by what it says.
			if both {
				now := strings.NewReplacer("1,1,Larch", "1,2,Larch", "1,2,Larch", "1,1,Larch").Replace(listing)
				out := take(t, a, site, files(t, map[string]string{"now.csv": now})+"/now.csv")
				if out.Added != 0 || out.Tables[0].Same != 3 {
					t.Errorf("%s: the schedule of now: added %d, same %d: %v", name, out.Added, out.Tables[0].Same, out.Tables[0].Troubles)
				}
			}
			// What else the old number is told of is left, with the reason.
			other := strings.Replace(listing, "Front door", "Side door", 1)
			if !both {
				continue
			}
			out = take(t, a, site, files(t, map[string]string{"other.csv": other})+"/other.csv")
			if trouble := out.Tables[0].Troubles; out.Added != 0 || len(trouble) != 1 || !strings.Contains(trouble[0].Text, "by now") {
				t.Errorf("%s: another location by the old number: added %d, %v", name, out.Added, trouble)
			}
		}
	}
}

func renumber(t *testing.T, a *App, site, point sootline.ID, wanted int) {
	t.Helper()
	if _, err := a.AddEntry(t.Context(), site, Note{Point: point.String(), Body: sootline.Addressed{Wanted: wanted}, Sure: true}); err != nil {
		t.Fatal(err)
	}
}

func whereAll(r *sootline.Register) string {
	var lines []string
	for _, p := range r.Points() {
		lines = append(lines, p.ID.String()+" "+p.Ref().String()+" "+p.Location+" "+p.Since.Format(time.DateOnly))
	}
	return strings.Join(lines, "\n")
}

// A loop that only a schedule tells of is assumed to have the usual numbers, and the
// intake says so, once.
func TestNewLoopIsSaidToBeAssumed(t *testing.T) {
	a := newApp(t, "laptop")
	site, err := a.AddSite(t.Context(), NewSite{Name: "Works", Loops: []sootline.LoopFacts{{Panel: "1", Loop: "1", First: 1, Last: 126, Unset: 127}}})
	if err != nil {
		t.Fatal(err)
	}
	path := files(t, map[string]string{"s.csv": "loop,address,type,location\n1,1,Larch,Hall\n9,1,Larch,North\n"}) + "/s.csv"
	said := func() (n int) {
		for _, r := range take(t, a, site, path).Tables[0].Remarks {
			if strings.HasPrefix(r.Text, "loop 1.9 is new, and nobody described it") {
				n++
			} else if strings.HasPrefix(r.Text, "loop ") {
				t.Error(r.Text)
			}
		}
		return n
	}
	if first, again := said(), said(); first != 1 || again != 0 {
		t.Errorf("said %d times, and %d when it is taken again", first, again)
	}
}

// Many new loops are told of in one sentence.
func TestNewLoopsAreSaidInOneSentence(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	var list strings.Builder
	list.WriteString("loop,address,type,location\n")
	for loop := 2; loop <= 11; loop++ {
		fmt.Fprintf(&list, "%d,1,Larch,Hall %[1]d\n", loop)
	}
	var said []string
	for _, r := range take(t, a, site, files(t, map[string]string{"s.csv": list.String()})+"/s.csv").Tables[0].Remarks {
		if strings.HasPrefix(r.Text, "loop") {
			said = append(said, r.Text)
		}
	}
	if len(said) != 1 || !strings.HasPrefix(said[0], "loops 1.2, 1.3, 1.4, 1.5, 1.6, 1.7 and 4 more are new, and nobody described them: ") {
		t.Errorf("%q", said)
	}
}

// What a row says by another hand than the book has it is the same entry, and said.
func TestSameByAnotherHandIsSaid(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	folder := files(t, map[string]string{
		"schedule.csv": schedule,
		"own.csv":      "point,date,event\n1.1.001,2026-01-19,tested ok\n",
		"ann.csv":      "point,date,event,by\n1.1.001,2026-01-19,tested ok,Ann\n1.1.002,2026-01-19,tested ok,Ann\n",
	})
	take(t, a, site, folder+"/schedule.csv")
	take(t, a, site, folder+"/own.csv")
	said := take(t, a, site, folder+"/ann.csv").Tables[0].Remarks
	if len(said) != 1 || !strings.Contains(said[0].Text, "by A. Tech; the row says by Ann") {
		t.Errorf("said: %v", said)
	}
	if again := take(t, a, site, folder+"/own.csv").Tables[0].Remarks; len(again) != 0 {
		t.Errorf("a row that names nobody says: %v", again)
	}
}
