package sootline

import (
	"slices"
	"strings"
)

// AlarmKind is the kind of [Alarm].
const AlarmKind Kind = "alarm"

// Alarm says that a point, or the site, gave a fire alarm, wanted or not.
type Alarm struct {
	Category AlarmCategory `json:"category,omitempty"` // empty: nobody said; the cause may tell
	Cause    string        `json:"cause,omitempty"`
	Text     string        `json:"text,omitempty"`
	Attended bool          `json:"attended,omitempty"` // the fire service came
}

// AlarmCategory sorts alarms by why they were given.
type AlarmCategory string

// The categories of false alarms are the four of BS 5839-1 (from memory); beside
// them stand what was no false alarm at all.
const (
	Unwanted   AlarmCategory = "unwanted"    // the surroundings acted as a fire does: cooking, steam, dust, insects
	Equipment  AlarmCategory = "equipment"   // a fault of the system
	Malicious  AlarmCategory = "malicious"   // somebody who knew better
	GoodIntent AlarmCategory = "good intent" // somebody who believed there was a fire
	RealFire   AlarmCategory = "fire"
	TestAlarm  AlarmCategory = "test"
)

// AlarmCategories lists the categories.
func AlarmCategories() []AlarmCategory {
	return []AlarmCategory{Unwanted, Equipment, Malicious, GoodIntent, RealFire, TestAlarm}
}

// Kind is AlarmKind.
func (Alarm) Kind() Kind { return AlarmKind }

func (x Alarm) check() error {
	if x.Category == "" || slices.Contains(AlarmCategories(), x.Category) {
		return nil
	}
	var names []string
	for _, c := range AlarmCategories() {
		names = append(names, string(c))
	}
	return Errorf(Invalid, "say one of: "+strings.Join(names, ", "), "%q is not a category of alarm", clip(string(x.Category)))
}

func (x Alarm) fold(r *Register, e *Entry) {
	r.happened(e, Event{At: e.At, Kind: AlarmKind, Cause: x.Cause, Text: x.Text, Entry: e})
}
