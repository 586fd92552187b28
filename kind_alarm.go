package sootline

// AlarmKind is the kind of [Alarm].
const AlarmKind Kind = "alarm"

// Alarm says that a point, or the site, gave a fire alarm, wanted or not.
type Alarm struct {
	Category AlarmCategory `json:"category,omitempty" form:"why it was given"` // empty: nobody said; the cause may tell
	Cause    string        `json:"cause,omitempty" form:"cause"`
	Text     string        `json:"text,omitempty" form:"in words"`
	Attended bool          `json:"attended,omitempty" form:"the fire service came"` // the fire service came
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

func (AlarmCategory) choices() []Choice {
	return []Choice{
		{string(Unwanted), "unwanted: cooking, steam, dust, insects"},
		{string(Equipment), "equipment: a fault of the system"},
		{string(Malicious), "malicious: somebody who knew better"},
		{string(GoodIntent), "good intent: somebody believed there was a fire"},
		{string(RealFire), "a real fire"},
		{string(TestAlarm), "a test"},
	}
}

// Kind is AlarmKind.
func (Alarm) Kind() Kind { return AlarmKind }

func (x Alarm) say() string {
	came := ""
	if x.Attended {
		came = "the fire service came"
	}
	return Joined("alarm", string(x.Category), x.Cause, x.Text, came)
}

func (x Alarm) check() error {
	if x.Category == "" {
		return nil
	}
	return checkChoice("category of alarm", string(x.Category), x.Category.choices())
}

func (x Alarm) fold(r *Register, e *Entry) {
	r.happened(e, Event{At: e.At, Kind: AlarmKind, Cause: x.Cause, Text: x.Text, Entry: e})
	r.step(e)
}
