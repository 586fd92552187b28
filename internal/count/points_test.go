package count_test

import (
	"testing"

	"sootline"
	"sootline/internal/count"
)

// TestPointsAreCountedByTheirKind: one whose kind is not known counts as a
// detector, and call points are under test and no detectors.
func TestPointsAreCountedByTheirKind(t *testing.T) {
	b := newBook(t)
	b.add("2021-01-01", smoke2, sootline.Disabled{})
	n := count.PointsOf(b.fold("2022-01-01"))
	if n.All != 7 || n.Detectors != 5 || n.KindUnknown != 2 || n.UnderTest != 6 {
		t.Errorf("%+v", n)
	}
	if n.ByKind[sootline.Smoke] != 2 || n.ByKind[sootline.Heat] != 1 || n.ByKind[""] != 2 {
		t.Errorf("%v", n.ByKind)
	}
	b.add("2022-02-01", heat, sootline.Removed{})
	if n := count.PointsOf(b.fold("2022-03-01")); n.All != 6 || n.Detectors != 4 {
		t.Errorf("with one removed: %+v", n)
	}
}

// TestDefectsAreCountedByTheirState: a fault of the panel's list stays open until
// somebody says what was done.
func TestDefectsAreCountedByTheirState(t *testing.T) {
	b := newBook(t)
	b.add("2025-01-01 10:00", heat, sootline.Fault{Cause: "no answer"})
	b.add("2025-01-02 10:00", smoke, sootline.Tested{Failed: true})
	b.add("2025-01-03 10:00", smoke2, sootline.Tested{Failed: true})
	b.add("2025-01-04 10:00", smoke, sootline.Replaced{})
	b.add("2025-01-05 10:00", smoke2, sootline.Tested{})
	if n := count.DefectsOf(b.fold("2025-02-01")); n != (count.Defects{Open: 1, Mended: 1, Closed: 1}) || n.NotClosed() != 2 {
		t.Errorf("%+v", n)
	}
}
