package sootline

import (
	"fmt"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// storyOf folds a story told in order, an hour a step, and gives the state of
// each defect in the order in which they were seen.
func storyOf(t *testing.T, steps ...Body) []*DefectFacts {
	t.Helper()
	var log []Entry
	for i, body := range steps {
		at := epoch.Add(time.Duration(i) * time.Hour)
		e := Entry{ID: stepID(i), Site: DerivedID(epoch, []byte("s")), At: at, Noted: at, Station: "laptop", Point: pointID(1), Body: body}
		if err := e.Check(); err != nil {
			t.Fatal(err)
		}
		log = append(log, e)
	}
	return Fold(log, epoch.AddDate(1, 0, 0)).Defects()
}

func stepID(i int) ID { return DerivedID(epoch.Add(time.Duration(i)*time.Hour), fmt.Append(nil, i)) }

func TestDefectStates(t *testing.T) {
	failed, passed := Tested{Failed: true}, Tested{}
	cracked := Fault{Cause: "base cracked"}
	painted := Defect{Nature: Damage, Grade: MinorDefect, Text: "painted over"}
	tests := []struct {
		name  string
		steps []Body
		want  []DefectState
	}{
		{"a failed test is open", []Body{failed}, []DefectState{DefectOpen}},
		{"failed twice is one defect", []Body{failed, failed}, []DefectState{DefectOpen}},
		{"a pass ends a failed test", []Body{failed, passed}, []DefectState{DefectClosed}},
		{"failed again after a pass is another", []Body{failed, passed, failed}, []DefectState{DefectClosed, DefectOpen}},
		{"replaced waits for its retest", []Body{failed, Replaced{}}, []DefectState{DefectMended}},
		{"replaced and passed", []Body{failed, Replaced{}, passed}, []DefectState{DefectClosed}},
		{"replaced and failed", []Body{failed, Replaced{}, failed}, []DefectState{DefectOpen}},
		{"a pass does not end a fault that nobody mended", []Body{cracked, passed}, []DefectState{DefectOpen}},
		{"a fault mended and passed", []Body{cracked, Mended{Defect: stepID(0)}, passed}, []DefectState{DefectClosed}},
		{"the same fault again", []Body{cracked, Fault{Cause: "Base  Cracked"}}, []DefectState{DefectOpen}},
		{"another fault", []Body{cracked, Fault{Cause: "no answer"}}, []DefectState{DefectOpen, DefectOpen}},
		{"damage mended", []Body{painted, Mended{Defect: stepID(0)}}, []DefectState{DefectMended}},
		{"retested in order", []Body{painted, Mended{Defect: stepID(0)}, Retested{Defect: stepID(0)}}, []DefectState{DefectClosed}},
		{"retested and not in order", []Body{painted, Mended{Defect: stepID(0)}, Retested{Defect: stepID(0), Failed: true}}, []DefectState{DefectOpen}},
		{"a device replaced before is no mending", []Body{Replaced{}, painted}, []DefectState{DefectOpen}},
		{"cleaning mends nothing", []Body{failed, Cleaned{}}, []DefectState{DefectOpen}},
		{"the point was removed", []Body{painted, Removed{}}, []DefectState{DefectClosed}},
		{"passed tests tell of none", []Body{passed, passed}, nil},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			var got []DefectState
			for _, d := range storyOf(t, test.steps...) {
				got = append(got, d.State)
			}
			if fmt.Sprint(got) != fmt.Sprint(test.want) {
				t.Errorf("got %v, want %v", got, test.want)
			}
		})
	}
}

func TestDefectTellsItsStory(t *testing.T) {
	d := storyOf(
		t, Defect{Nature: Obstruction, Grade: SeriousDefect, Text: "racking in the beam", Needs: "racking moved"},
		Followed{Defect: stepID(0), Told: "site office", ByDay: "2024-05-01", Grade: CriticalDefect},
		Mended{Defect: stepID(0), Text: "moved by the site's people"}, Retested{Defect: stepID(0)},
	)[0]
	if d.Grade != CriticalDefect || d.Told != "site office" || d.Needs != "racking moved" || d.ByDay != "2024-05-01" || len(d.Story) != 4 || len(d.Seen) != 1 {
		t.Errorf("got %+v", d)
	}
	if d.MendedBy == nil || d.ClosedBy == nil || d.MendedBy.ID != stepID(2) || d.ClosedBy.ID != stepID(3) {
		t.Errorf("mended by %v, closed by %v", d.MendedBy, d.ClosedBy)
	}
}

// A log that grows bit by bit is the log made of all at once.
func TestLogWith(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var all []Entry
		log := NewLog(nil)
		var before []*Log
		var wrote []string
		for step := range rapid.IntRange(1, 8).Draw(t, "steps") {
			var more []Entry
			for i := range rapid.IntRange(0, 4).Draw(t, "more") {
				at := epoch.Add(time.Duration(rapid.IntRange(0, 20).Draw(t, "hour")) * time.Hour)
				e := Entry{ID: DerivedID(at, fmt.Append(nil, step, i)), Site: pointID(9), At: at, Noted: at, Station: "laptop", Seq: int64(len(all)), Point: pointID(i), Body: Read{Samples: []float64{float64(step)}}}
				if len(all) > 0 && rapid.Bool().Draw(t, "amends") {
					target := all[rapid.IntRange(0, len(all)-1).Draw(t, "target")]
					e.Body = Withdrawn{Entry: target.ID}
					if rapid.Bool().Draw(t, "corrects") && Amends(target.Body).Zero() {
						e.Body = Corrected{Entry: target.ID, At: epoch.Add(time.Hour), Point: pointID(7), Body: Read{Samples: []float64{99}}}
					}
				}
				more = append(more, e)
				all = append(all, e)
			}
			before, wrote = append(before, log), append(wrote, written(log.Entries())+written(log.Holding()))
			log = log.With(more)
			if rapid.Bool().Draw(t, "branches") {
				log.With(more[:len(more)/2]).With(more[len(more)/2:])
				before[len(before)-1].With(all)
			}
		}
		for i, old := range before {
			if now := written(old.Entries()) + written(old.Holding()); now != wrote[i] {
				t.Fatalf("a log changed: %s\nwas %s", now, wrote[i])
			}
		}
		whole := NewLog(all)
		if a, b := written(log.Entries()), written(whole.Entries()); a != b {
			t.Fatalf("as written: %s\nwant %s", a, b)
		}
		if a, b := written(log.Holding()), written(whole.Holding()); a != b {
			t.Fatalf("as it holds: %s\nwant %s", a, b)
		}
	})
}

func written(entries []*Entry) (text string) {
	for _, e := range entries {
		text += fmt.Sprintln(e.At, e.ID, e.Seq, e.Point, e.Body)
	}
	return text
}
