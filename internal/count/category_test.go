package count

import (
	"testing"
	"time"

	"sootline"
)

func TestCategories(t *testing.T) {
	for _, c := range []struct {
		alarm sootline.Alarm
		want  sootline.AlarmCategory
		told  Told
	}{
		{sootline.Alarm{Cause: "Cooking"}, sootline.Unwanted, ByCause},
		{sootline.Alarm{Cause: "steam from the shower"}, sootline.Unwanted, ByCause},
		{sootline.Alarm{Cause: "x", Text: "toast under the detector"}, sootline.Unwanted, ByText},
		{sootline.Alarm{Cause: "Wasser im Sockel"}, sootline.Equipment, ByCause},
		{sootline.Alarm{Cause: "poussière"}, sootline.Unwanted, ByCause},
		{sootline.Alarm{Cause: "thought it was a fire"}, sootline.GoodIntent, ByCause},
		{sootline.Alarm{Cause: "fire"}, sootline.RealFire, ByCause},
		{sootline.Alarm{Cause: "fire door"}, Unknown, ByNobody},
		{sootline.Alarm{Text: "fire"}, Unknown, ByNobody}, // a text alone never takes an alarm off the count
		{sootline.Alarm{Cause: "test"}, sootline.TestAlarm, ByCause},
		{sootline.Alarm{Cause: "test kitchen, frying"}, sootline.Unwanted, ByCause},
		{sootline.Alarm{Cause: "dust", Category: sootline.Malicious}, sootline.Malicious, BySaying},
		{sootline.Alarm{}, Unknown, ByNobody},
	} {
		if got, told := newSorter().sort(&c.alarm); got != c.want || told != c.told {
			t.Errorf("%+v is %s by %q, want %s by %q", c.alarm, got, told, c.want, c.told)
		}
	}
}

// Every category of the table is one of the vocabulary.
func TestCausesTable(t *testing.T) {
	for _, p := range newSorter().phrases {
		a := sootline.Entry{ID: sootline.ID{1}, Site: sootline.ID{2}, At: time.Date(2026, 1, 1, 10, 0, 0, 0, time.UTC), Body: sootline.Alarm{Category: p.category}}
		if err := a.Check(); err != nil || len(p.words) == 0 {
			t.Errorf("%v: %v", p, err)
		}
	}
}
