package sootline

import (
	"fmt"
	"testing"
	"time"
)

// told is one entry of a story about a point, by its hour after the epoch.
type told struct {
	hour int
	day  bool // only the day is known, whatever its hour
	body Body
}

func registerOf(t *testing.T, story ...told) *Register {
	t.Helper()
	var log []Entry
	for i, one := range story {
		at := epoch.Truncate(24 * time.Hour).Add(time.Duration(one.hour) * time.Hour)
		e := Entry{ID: toldID(i), Site: pointID(9), At: at, Day: one.day, Noted: at.Add(time.Minute), Station: "laptop", Seq: int64(i + 1), Point: pointID(1), Body: one.body}
		if !Amends(one.body).Zero() || one.body.Kind() == VisitKind {
			e.Point = ID{}
		}
		if err := e.Check(); err != nil {
			t.Fatal(err)
		}
		log = append(log, e)
	}
	return Fold(log, epoch.AddDate(1, 0, 0))
}

func toldID(i int) ID { return DerivedID(epoch, fmt.Append(nil, "told", i)) }

func states(r *Register) string {
	text := ""
	for _, d := range r.Defects() {
		text += string(d.State) + " "
	}
	return text
}

func TestDefectsInUnknownOrder(t *testing.T) {
	failed, passed := Tested{Failed: true}, Tested{}
	cracked := Fault{Cause: "base cracked"}
	round := Visit{State: VisitOpened, Round: []ID{pointID(1)}}
	tests := []struct {
		name  string
		story []told
		want  string
	}{
		{"failed and passed at one instant", []told{{9, false, failed}, {9, false, passed}}, "open "},
		{"passed and failed at one instant", []told{{9, false, passed}, {9, false, failed}}, "open "},
		{"a day's pass and an hour's failure", []told{{9, false, failed}, {9, true, passed}}, "open "},
		{"an hour's pass and a day's failure", []told{{15, false, passed}, {9, true, failed}}, "open "},
		{"passed the day after", []told{{9, true, failed}, {33, true, passed}}, "closed "},
		{"failed on a day, and the day is passed at night", []told{{9, false, failed}, {20, false, passed}}, "closed "},
		{"a day's replacing mends no failure of the day", []told{{9, true, failed}, {9, true, Replaced{}}}, "open "},
		{"a day's replacing mends no fault of the day", []told{{9, true, cracked}, {9, true, Replaced{}}}, "open "},
		{"a day's replacing mends no damage of the day", []told{{9, true, Defect{Nature: Damage, Grade: MinorDefect, Text: "bent"}}, {9, true, Replaced{}}}, "open "},
		{"a day's replacing kept at another hour than noon", []told{{26, false, cracked}, {34, true, Replaced{}}}, "open "},
		{"the day is the site's own", []told{{0, false, Opened{Zone: "America/New_York"}}, {26, false, cracked}, {34, true, Replaced{}}}, "mended "},
		{"a pass that is not shown to follow a day's replacing", []told{{1, false, cracked}, {28, false, passed}, {37, true, Replaced{}}}, "mended "},
		{"a point removed on the day ends what was wrong there before", []told{{4, false, cracked}, {12, true, Removed{}}}, "closed "},
		{"retested at one instant", []told{{9, false, cracked}, {40, false, Retested{Defect: toldID(0), Failed: true}}, {40, false, Retested{Defect: toldID(0)}}}, "open "},
		{"failed again on a day, and in order at an hour of it", []told{{9, false, cracked}, {34, true, Retested{Defect: toldID(0), Failed: true}}, {40, false, Retested{Defect: toldID(0)}}}, "open "},
		{"failed again at an hour, and in order on its day", []told{{9, false, cracked}, {30, false, Retested{Defect: toldID(0), Failed: true}}, {36, true, Retested{Defect: toldID(0)}}}, "open "},
		{"failed again on a day, and in order the day after", []told{{9, false, cracked}, {34, true, Retested{Defect: toldID(0), Failed: true}}, {50, false, Retested{Defect: toldID(0)}}}, "closed "},
		{"failed again, then mended, and in order on the day", []told{{9, false, cracked}, {30, false, Retested{Defect: toldID(0), Failed: true}}, {31, false, Mended{Defect: toldID(0)}}, {36, true, Retested{Defect: toldID(0)}}}, "mended "},
		{"found, failed again and in order on one day", []told{{15, false, cracked}, {12, true, Retested{Defect: toldID(0), Failed: true}}, {12, true, Retested{Defect: toldID(0)}}}, "open "},
		{"what is named is followed at its hour too", []told{{9, true, failed}, {7, false, Mended{Defect: toldID(0)}}}, "mended "},
		{"what names it follows it", []told{{9, true, Mended{Defect: toldID(1)}}, {9, true, failed}}, "mended "},
		{"retested on the day", []told{{9, true, failed}, {9, true, Mended{Defect: toldID(0)}}, {9, true, Retested{Defect: toldID(0)}}}, "closed "},
		{"retested in order, and then failed at no known hour", []told{{9, false, failed}, {9, true, Retested{Defect: toldID(0)}}, {9, true, failed}}, "closed open "},
		{"a retest that fails opens what was closed", []told{{9, false, cracked}, {10, false, Retested{Defect: toldID(0)}}, {11, false, Retested{Defect: toldID(0), Failed: true}}}, "open "},
		{"but not at a point that is no more", []told{{9, false, cracked}, {10, false, Removed{}}, {11, false, Retested{Defect: toldID(0), Failed: true}}}, "closed "},
		{"a walk test ends a failed test", []told{{1, false, round}, {2, false, failed}, {3, false, Alarm{}}}, "closed "},
		{"a walk test ends nothing else", []told{{1, false, round}, {2, false, cracked}, {3, false, Mended{Defect: toldID(1)}}, {4, false, Alarm{}}}, "mended "},
		{"an alarm outside a visit ends nothing", []told{{1, false, round}, {2, false, failed}, {3, false, Visit{State: VisitClosed}}, {4, false, Alarm{}}}, "open "},
		{"an alarm of a cause is no test", []told{{1, false, round}, {2, false, failed}, {3, false, Alarm{Cause: "toast"}}}, "open "},
		{"a visit that was forgotten ends by itself", []told{{1, false, round}, {2, false, failed}, {30, false, Alarm{}}}, "open "},
		{"one that was closed late lasts until then", []told{{1, false, round}, {2, false, failed}, {30, false, Alarm{}}, {31, false, Visit{State: VisitClosed}}}, "closed "},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := states(registerOf(t, test.story...)); got != test.want {
				t.Errorf("got %q, want %q", got, test.want)
			}
		})
	}
}

func TestWithdrawnSightings(t *testing.T) {
	failed := Tested{Failed: true}
	r := registerOf(t, told{9, false, failed}, told{10, false, failed}, told{11, false, Mended{Defect: toldID(0)}}, told{12, false, Withdrawn{Entry: toldID(0)}})
	if states(r) != "open " || r.Defects()[0].ID != toldID(1) || !r.Defects()[0].Since.Equal(epoch.Truncate(24*time.Hour).Add(10*time.Hour)) {
		t.Errorf("the next sighting should open it: %s%+v", states(r), r.Defects()[0])
	}
	if len(r.StraySteps()) != 1 || r.StraySteps()[0].ID != toldID(2) {
		t.Errorf("the mending names no defect any more: %v", r.StraySteps())
	}
	if r := registerOf(t, told{9, false, failed}, told{10, false, Withdrawn{Entry: toldID(0)}}); len(r.Defects()) != 0 {
		t.Errorf("a withdrawn failure is none: %s", states(r))
	}
	if r := registerOf(t, told{9, false, Mended{Defect: toldID(1)}}, told{10, false, failed}); states(r) != "open " || len(r.StraySteps()) != 1 {
		t.Errorf("nothing is mended before it was seen: %s, %v", states(r), r.StraySteps())
	}
}

func TestStateAt(t *testing.T) {
	d := registerOf(t, told{9, false, Tested{Failed: true}}, told{33, false, Replaced{}}, told{57, false, Tested{}}).Defects()[0]
	day := epoch.Truncate(24 * time.Hour)
	for hour, want := range map[int]DefectState{8: "", 9: DefectOpen, 32: DefectOpen, 33: DefectMended, 57: DefectClosed, 900: DefectClosed} {
		if got := d.StateAt(day.Add(time.Duration(hour) * time.Hour)); got != want {
			t.Errorf("hour %d: got %q, want %q", hour, got, want)
		}
	}
}

func TestDefectCalled(t *testing.T) {
	r := registerOf(t, told{9, false, Tested{Failed: true}}, told{10, false, Fault{Cause: "a"}}, told{11, false, Fault{Cause: "b"}})
	for _, d := range r.Defects() {
		if got, err := r.DefectCalled(d.Name); err != nil || got != d {
			t.Errorf("%s: got %v, %v", d.Name, got, err)
		}
	}
	if _, err := r.DefectCalled(r.Defects()[0].ID.String()[:8]); ErrorCode(err) != Conflict {
		t.Errorf("ids of one instant begin alike: %v", err)
	}
	for _, name := range []string{"", "zz"} {
		if _, err := r.DefectCalled(name); ErrorCode(err) != NotFound {
			t.Errorf("%q: %v", name, err)
		}
	}
}
