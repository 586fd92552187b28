package count_test

import (
	"testing"

	"sootline"
	"sootline/internal/count"
)

// TestClassOfAFireSignal: what was said, else the cause, else the visit, else the
// words, in this order.
func TestClassOfAFireSignal(t *testing.T) {
	const asked = "asked"
	for name, c := range map[string]struct {
		when  string
		point int
		alarm sootline.Alarm
		open  bool // nobody closed the visit
		want  string
	}{
		"a point of the round, in the visit":   {"2025-06-01 10:00", smoke, sootline.Alarm{}, false, "test"},
		"at the instant of the opening":        {"2025-06-01 09:00", smoke, sootline.Alarm{}, false, "test"},
		"at the instant of the closing":        {"2025-06-01 12:00", smoke, sootline.Alarm{}, false, "test"},
		"a minute after":                       {"2025-06-01 12:01", smoke, sootline.Alarm{}, false, "not known"},
		"before the visit":                     {"2025-06-01 08:59", smoke, sootline.Alarm{}, false, "not known"},
		"a point that is not on the round":     {"2025-06-01 10:00", heat, sootline.Alarm{}, false, asked},
		"no point, in the visit":               {"2025-06-01 10:00", 0, sootline.Alarm{}, false, asked},
		"only the day is known":                {"2025-06-01", smoke, sootline.Alarm{}, false, asked},
		"only the day, another one":            {"2025-06-02", smoke, sootline.Alarm{}, false, "not known"},
		"somebody said unwanted":               {"2025-06-01 10:00", smoke, sootline.Alarm{Category: sootline.Unwanted}, false, "unwanted"},
		"its cause is cooking":                 {"2025-06-01 10:00", smoke, sootline.Alarm{Cause: "cooking"}, false, "unwanted"},
		"its cause is a fire":                  {"2025-06-01 10:00", heat, sootline.Alarm{Cause: "fire"}, false, "fire"},
		"its cause is a test, far away":        {"2025-03-01 10:00", smoke, sootline.Alarm{Cause: "test"}, false, "test"},
		"its words alone, in the visit":        {"2025-06-01 10:00", smoke, sootline.Alarm{Text: "steam"}, false, "test"},
		"its words alone, far away":            {"2025-03-01 10:00", smoke, sootline.Alarm{Text: "steam"}, false, "unwanted"},
		"words never make a fire":              {"2025-03-01 10:00", smoke, sootline.Alarm{Text: "fire"}, false, "not known"},
		"never closed, within a day":           {"2025-06-02 08:59", smoke, sootline.Alarm{}, true, "test"},
		"never closed, more than a day":        {"2025-06-02 09:01", smoke, sootline.Alarm{}, true, "not known"},
		"never closed, the point is elsewhere": {"2025-06-01 20:00", heat, sootline.Alarm{}, true, asked},
	} {
		b := newBook(t)
		to := "2025-06-01 12:00"
		if c.open {
			to = ""
		}
		b.visit("2025-06-01 09:00", to, smoke)
		id := b.add(c.when, c.point, c.alarm)
		for _, s := range b.signals("2025-07-01").All {
			got := string(s.Category)
			if s.Asked {
				got = asked
			}
			if s.Entry.ID == id && got != c.want {
				t.Errorf("%s: %s, want %s", name, got, c.want)
			}
		}
	}
}

// TestUnclosedVisitGoesOnWithItsSigns: work at the round's points keeps a visit of
// several days alive; the next opening and a silent day end it.
func TestUnclosedVisitGoesOnWithItsSigns(t *testing.T) {
	b := newBook(t)
	b.visit("2025-06-01 09:00", "", smoke)
	b.add("2025-06-02 08:00", smoke, sootline.Read{Samples: []float64{25}})
	b.add("2025-06-03 07:00", smoke, sootline.Alarm{}) // 23 hours later: a test, and a sign
	b.add("2025-06-04 06:00", smoke, sootline.Alarm{})
	b.add("2025-06-06 06:00", smoke, sootline.Alarm{}) // two days of silence
	if n := b.signals("2025-07-01").Year(b.day("2025-07-01"), b.zone); n.Tests != 2 || n.False != 1 {
		t.Errorf("%+v", n)
	}
	b.visit("2025-06-02 12:00", "2025-06-02 13:00") // no round
	if n := b.signals("2025-07-01").Year(b.day("2025-07-01"), b.zone); n.Tests != 0 || n.False != 3 {
		t.Errorf("with another visit: %+v", n)
	}
}

// TestFireSignalsOfAYear: counted by hand, with the days at both ends.
func TestFireSignalsOfAYear(t *testing.T) {
	b := newBook(t)
	b.add("2025-01-20 23:59", smoke, sootline.Alarm{})                                              // the same day a year ago: out
	b.add("2025-01-21 00:00", smoke, sootline.Alarm{Category: sootline.Unwanted})                   // incident 1
	b.add("2025-01-21 23:59", smoke2, sootline.Alarm{Category: sootline.Equipment, Attended: true}) // the same area, within a day: incident 1
	b.add("2025-01-22 00:00", smoke2, sootline.Alarm{})                                             // a day after the first: incident 2
	b.add("2025-03-01 10:00", press, sootline.Alarm{Cause: "malicious"})                            // no area, no zone: incident 3
	b.add("2025-03-01 11:00", press, sootline.Alarm{})                                              // incident 3
	b.add("2025-03-01 10:00", 0, sootline.Alarm{})                                                  // incident 4
	b.add("2025-03-01 10:30", 0, sootline.Alarm{})                                                  // incident 5
	b.add("2025-04-01 10:30", heat, sootline.Alarm{Cause: "fire", Attended: true})
	b.add("2025-04-02 10:30", heat, sootline.Alarm{Category: sootline.TestAlarm})
	b.visit("2025-06-01 09:00", "2025-06-01 12:00", smoke)
	b.add("2025-06-01 10:00", smoke, sootline.Alarm{Attended: true})
	b.add("2025-06-01 10:00", heat, sootline.Alarm{})
	b.add("2026-01-20 23:59", smoke, sootline.Alarm{}) // incident 6
	b.add("2026-01-21 00:00", smoke, sootline.Alarm{}) // after it
	n := b.signals("2026-01-20").Year(b.day("2026-01-20"), b.zone)
	if n.Signals != 12 || n.False != 8 || n.Incidents != 6 || n.Attended != 1 || n.Fires != 1 || n.Tests != 2 || n.Asked != 1 {
		t.Errorf("%+v", n)
	}
	if n.ByCategory[sootline.Unwanted] != 1 || n.ByCategory[count.Unknown] != 5 {
		t.Errorf("%v", n.ByCategory)
	}
	sum := 0
	for _, k := range n.ByCategory {
		sum += k
	}
	if sum != n.False {
		t.Errorf("the categories add up to %d of %d", sum, n.False)
	}
}

// TestRemovedPointsAlarmsStay: a point that is gone takes no alarm with it.
func TestRemovedPointsAlarmsStay(t *testing.T) {
	b := newBook(t)
	b.add("2025-03-01 10:00", smoke, sootline.Alarm{})
	b.add("2025-03-01 20:00", smoke2, sootline.Alarm{})
	b.add("2025-04-01", smoke, sootline.Removed{})
	if n := b.signals("2025-07-01").Year(b.day("2025-07-01"), b.zone); n.False != 2 || n.Incidents != 1 {
		t.Errorf("%+v", n)
	}
}
