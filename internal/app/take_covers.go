package app

import (
	"slices"

	"sootline/internal/listing"
)

// leaveCovers leaves the sheets of a workbook alone that speak for no listing at all, beside others that are listings: a
// cover asks nothing. What its answers fixed is asked as before.
func (in *Intake) leaveCovers() {
	for _, t := range in.Tables {
		beside := slices.ContainsFunc(in.Tables, func(other *IntakeTable) bool {
			return other != t && other.Path == t.Path && other.Kind != listing.KindUnknown
		})
		if t.Bare && beside {
			t.Questions = nil
			t.KindWhy = "no heading and no column of numbers, days or points speaks for a listing, as on a cover"
		}
	}
}
