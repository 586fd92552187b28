package app

import (
	"errors"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sootline"
)

// TestLeadFault begins from each thing that a panel says: there is a step or a verdict, and what was told is taken.
func TestLeadFault(t *testing.T) {
	a, site, loop := ledLoop(t)
	for _, panel := range []string{
		"", "says open", "says short; silent 4-5", "says earth", "says double; silent 4; twice 2", "says missing; silent 4-5",
		"says current; out 40; in 22", "says ohms", "says nothing; all",
	} {
		lead, err := a.LeadFault(t.Context(), site, loop, FaultTold{Panel: panel})
		if err != nil || lead.Next == nil || len(lead.Likely) == 0 || lead.Next.Minutes < 1 {
			t.Errorf("%q: %+v, %v", panel, lead, err)
		}
	}
}

// TestLeadToTheEnd: a break between 4 and 5, told as it is, is found, and written down where it is; the same search with an
// answer that cannot be names that answer.
func TestLeadToTheEnd(t *testing.T) {
	a, site, loop := ledLoop(t)
	told := FaultTold{Panel: "says open; all", Told: []string{"out/list: answers 1-4; says nothing", "in/list: answers 5-8; says nothing"}}
	lead, err := a.LeadFault(t.Context(), site, loop, told)
	if err != nil {
		t.Fatal(err)
	}
	if best := lead.Likely[0]; best.Kind != "a break" || best.Where != "between 1.1.004 and 1.1.005" || best.Share < 0.9 {
		t.Errorf("%+v", best)
	}
	for range 4 { // whatever it still asks for is answered as a break there would
		if lead.Next == nil {
			break
		}
		told.Told = append(told.Told, lead.Next.Code+": "+map[string]string{"volts": "24", "list": "says nothing", "seen": "break", "ohms": "over"}[lead.Next.Look])
		if lead, err = a.LeadFault(t.Context(), site, loop, told); err != nil {
			t.Fatal(err)
		}
	}
	e, err := a.NoteFault(t.Context(), site, loop, told, sootline.SeriousDefect, Note{})
	if err != nil {
		t.Fatal(err)
	}
	if d, ok := e.Body.(sootline.Defect); !ok || !strings.Contains(d.Place, "between 1.1.004 and 1.1.005") || !e.Point.Zero() {
		t.Errorf("%+v", e)
	}
	if _, err := a.NoteFault(t.Context(), site, loop, told, sootline.SeriousDefect, Note{}); sootline.ErrorCode(err) != sootline.Conflict {
		t.Errorf("one fault is written down twice: %v", err)
	}
	told.Told = append(told.Told[:2:2], "out/list: answers 1-7; says nothing")
	if lead, err = a.LeadFault(t.Context(), site, loop, told); err != nil {
		t.Fatal(err)
	}
	if !slices.ContainsFunc(lead.Doubts, func(s string) bool { return strings.Contains(s, "1-7") }) || lead.Doubt() == "" {
		t.Errorf("what contradicts all else is not doubted: %q", lead.Doubts)
	}
}

// TestLeadContradicted: a short that no meter sees, and that takes what no isolator bounds, is asked again; if it stands there
// is no verdict, and nothing is written down.
func TestLeadContradicted(t *testing.T) {
	a, site, loop := ledLoop(t)
	told := FaultTold{Panel: "says short; silent 2-4"}
	for range 30 {
		lead, err := a.LeadFault(t.Context(), site, loop, told)
		if err != nil {
			t.Fatal(err)
		}
		if lead.Next == nil {
			if _, err := a.NoteFault(t.Context(), site, loop, told, sootline.SeriousDefect, Note{}); !lead.Against || err == nil {
				t.Errorf("what fits nothing ends with: %s (%v)", lead.Conclusion(), err)
			}
			return
		}
		answer := map[string]string{"volts": "24", "list": "says short; silent 2-4", "seen": "nothing", "ohms": "over"}[lead.Next.Look]
		told.Told = append(told.Told, lead.Next.Code+": "+answer)
	}
	t.Error("it does not end")
}

// TestLeadIsNoSurer: what is not there now, and two faults at once, end without a defect, and say so.
func TestLeadIsNoSurer(t *testing.T) {
	a, site, loop := ledLoop(t)
	for _, c := range []struct {
		told FaultTold
		says string
	}{
		{FaultTold{Panel: "says open; all", Told: []string{"out/list: says nothing; all", "in/list: says nothing; all", "both/list: says nothing; all"}}, "Nothing that was told is wrong now"},
		{FaultTold{Panel: "says open; silent 3-6", Told: []string{"out/list: silent 3-8", "in/list: silent 1-6", "both/list: says open; silent 3-6"}}, "as one of at least two"},
	} {
		lead, err := a.LeadFault(t.Context(), site, loop, c.told)
		if err != nil {
			t.Fatal(err)
		}
		if lead.Next != nil || lead.Writable() || !strings.Contains(lead.Conclusion(), c.says) {
			t.Errorf("%q: %s, beyond %.2f, next %+v", c.told.Panel, lead.Conclusion(), lead.Beyond, lead.Next)
		}
		if _, err := a.NoteFault(t.Context(), site, loop, c.told, sootline.SeriousDefect, Note{}); err == nil {
			t.Errorf("%q is written down", c.told.Panel)
		}
	}
}

// TestLeadRefuses: what cannot be read is refused with its reason, and nothing is written before the end.
func TestLeadRefuses(t *testing.T) {
	a, site, loop := ledLoop(t)
	for _, told := range []FaultTold{
		{Panel: "says perhaps"},
		{Panel: "silent 99"},
		{Panel: "out many"},
		{Panel: "out -3"},
		{Told: []string{"out/list"}},
		{Told: []string{"both/ohms-in: 12"}},
		{Told: []string{"off/ohms-in: NaN"}},
		{Told: []string{"off/list: all"}},
		{Told: []string{"both/look=1.1.004: rust"}},
		{Told: []string{"both/volts-in=1.1.009: 24"}}, // on a spur
	} {
		var wrong *sootline.Error
		if _, err := a.LeadFault(t.Context(), site, loop, told); !errors.As(err, &wrong) {
			t.Errorf("%+v: %v", told, err)
		}
	}
	if _, err := a.NoteFault(t.Context(), site, loop, FaultTold{Panel: "says open"}, sootline.SeriousDefect, Note{}); err == nil {
		t.Error("the beginning of a search is written down")
	}
}

// ledLoop is a loop of eight devices on the ring, two of them isolators, and two on a spur.
func ledLoop(t *testing.T) (*App, sootline.ID, sootline.LoopID) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	folder := files(t, map[string]string{
		"types.csv": "name,kind,low,high,standby mA,alarm mA,least volts\nLarch,optical smoke,20,40,0.3,3,17\nFenn,sounder,,,0.4,16,18\nGate,isolator,,,0.1,0.1,\n",
		"schedule.csv": "loop,address,type,metres,spur\n1,1,Larch,20,\n1,2,Fenn,5,\n1,3,Gate,30,\n1,4,Larch,60,\n1,5,Fenn,10,\n" +
			"1,6,Gate,80,\n1,7,Larch,120,\n1,8,Fenn,15,\n1,9,Larch,25,5\n1,10,Larch,12,5\n",
	})
	take(t, a, site, filepath.Join(folder, "types.csv"), filepath.Join(folder, "schedule.csv"))
	return a, site, sootline.LoopID{Panel: "1", Name: "1"}
}

// TestLeadAtRest: the search is at the volts that the panel gives now, and not at those of its low battery; a reading of any
// volts between the lowest and the highest fits. What comes before the next step is said.
func TestLeadAtRest(t *testing.T) {
	a, site, loop := ledLoop(t)
	if err := a.SetSupply(t.Context(), site, sootline.Supply{Panel: "1", Loop: "1", Volts: 24, LowVolts: 19, HighVolts: 28, MM2: 1.5}); err != nil {
		t.Fatal(err)
	}
	for _, volts := range []string{"23.9", "27.3"} {
		lead, err := a.LeadFault(t.Context(), site, loop, FaultTold{Panel: "says missing; silent 2,9", Told: []string{"both/volts-in=1.1.002: " + volts}})
		if err != nil || len(lead.Doubts) > 0 || !strings.Contains(strings.Join(lead.Warned, ""), "1.1.009 (on the spur at 1.1.005)") {
			t.Errorf("%s V: %+v, %v", volts, lead, err)
		}
	}
	lead, err := a.LeadFault(t.Context(), site, loop, FaultTold{Panel: "says missing; silent 2", Told: []string{"both/volts-in=1.1.002: -23.9"}})
	if err != nil || len(lead.Warned) != 1 || lead.Likely[0].Kind != "a device joined the wrong way round" {
		t.Errorf("%+v, %v", lead, err)
	}
}
