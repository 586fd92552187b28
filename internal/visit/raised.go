package visit

import "sootline"

// Raised tells, by their entries, which alarms were raised while somebody was on
// site, as package count sorts them. Tests are tests of their points; of those that
// are asked nobody knows yet.
type Raised struct {
	Tests map[sootline.ID]bool
	Asked map[sootline.ID]string // why it is not certain, as the end of a sentence
}
