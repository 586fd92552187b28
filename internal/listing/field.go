package listing

// Kind is what the rows of a table are.
type Kind string

// The kinds of listing.
const (
	KindUnknown  Kind = ""
	KindTypes    Kind = "types"    // type sheets: what is known of a type of device
	KindSchedule Kind = "schedule" // the points of a loop and what is fitted there
	KindReadings Kind = "readings" // resting values
	KindEvents   Kind = "events"   // tests, cleaning, alarms, faults
	KindNumbers  Kind = "numbers"  // at which number each device was found
)

// Field is what a column holds; the names are those of a [Profile].
type Field string

// The fields. Which of them a row of each kind has is said by [Kind.Fields].
const (
	Unused       Field = "unused"
	Point        Field = "point"
	Panel        Field = "panel"
	Loop         Field = "loop"
	Address      Field = "address"
	Wanted       Field = "wanted number"
	Type         Field = "type"
	Zone         Field = "zone"
	Area         Field = "area"
	Floor        Field = "floor"
	Location     Field = "location"
	Serial       Field = "serial"
	NewSerial    Field = "new serial" // of the unit that replaced another
	Fitted       Field = "fitted"
	Metres       Field = "metres"
	Spur         Field = "spur"
	Settings     Field = "settings"
	Date         Field = "date"
	Time         Field = "time"
	Value        Field = "value"
	By           Field = "by"
	Remark       Field = "remark"
	Quantity     Field = "quantity"
	Unit         Field = "unit"
	What         Field = "what"
	Result       Field = "result"
	Cause        Field = "cause"
	Text         Field = "text"
	Name         Field = "name"
	Device       Field = "device"
	Width        Field = "width"
	Low          Field = "low"
	High         Field = "high"
	Alarm        Field = "alarm"
	Compensated  Field = "compensated"
	Standby      Field = "standby"
	AlarmCurrent Field = "alarm current"
	LeastVolts   Field = "least volts"
	Life         Field = "life"
	Worse        Field = "worse"
	UsualNoise   Field = "usual noise"
	SpreadLimit  Field = "spread limit"
	CleanRest    Field = "clean rest"
	BandSetting  Field = "band setting"
	Trouble      Field = "trouble"
	Setting      Field = "setting" // one setting, by the name that is its heading
	Found        Field = "number found"
	Category     Field = "category" // of an alarm
	Attended     Field = "attended" // whether the fire service came
	Ticked       Field = "ticked"   // whether what its heading says happened
	Cleansed     Field = "cleaned"  // whether it was cleaned at this visit
	Exchanged    Field = "replaced" // whether it was replaced at this visit
	Band         Field = "band"     // both limits in one cell, "20-40"
	Day          Field = "day"      // a day, month and year in columns of their own
	Month        Field = "month"
	Year         Field = "year"
	// words that only the kind of the table gives a meaning
	description Field = "description"
	number      Field = "number"
	standing    Field = "number as it stands"
	setNumber   Field = "set number" // as it stands, or as it shall be
)

// Fields gives the fields that a row of the kind can have, the telling ones first.
func (k Kind) Fields() []Field {
	ref := []Field{Point, Panel, Loop, Address}
	switch k {
	case KindTypes:
		return []Field{
			Name, Device, Width, Quantity, Unit, Low, High, Band, Alarm, Worse, UsualNoise, SpreadLimit, CleanRest, Compensated, Standby, AlarmCurrent, LeastVolts, Life, Settings, BandSetting,
		}
	case KindSchedule:
		return append(ref, Wanted, Type, Zone, Area, Floor, Location, Serial, Fitted, Metres, Spur, Settings, Setting)
	case KindReadings:
		return append(ref, Serial, Date, Time, Day, Month, Year, Value, Cleansed, Exchanged, By, Remark, Quantity, Unit)
	case KindEvents:
		return append(ref, Serial, NewSerial, Date, Time, Day, Month, Year, What, Result, Ticked, Type, Category, Attended, Cause, Text, By)
	case KindNumbers:
		return append(ref, Serial, Date, Time, Found, By, Remark)
	}
	return nil
}

// adapt gives the field that a heading means in a table of this kind.
func (k Kind) adapt(f Field) Field {
	switch {
	case k == KindNumbers && (f == Wanted || f == standing || f == setNumber):
		return Unused
	case k == KindEvents && f == Found:
		return Unused
	case f == number, f == standing, f == setNumber, f == Wanted && k != KindSchedule:
		return Address
	case k == KindTypes && (f == Type || f == description):
		return Name
	case k == KindSchedule && f == Date:
		return Fitted
	case k == KindSchedule && (f == description || f == Text || f == Name):
		return Location
	case k == KindEvents && (f == description || f == Remark):
		return Text
	case k == KindEvents && (f == Type || f == Device):
		return What
	case k == KindReadings && (f == description || f == Text || f == Result):
		return Remark
	}
	return f
}

// isNumeric: the cells of the field must be numbers.
func (f Field) isNumeric() bool {
	switch f {
	case Value, Width, Low, High, Alarm, UsualNoise, SpreadLimit, CleanRest, Standby, AlarmCurrent, LeastVolts, Life, Metres:
		return true
	}
	return false
}

// yesTexts name fields whose cells are a yes or a no, that of both limits, and that of a new unit.
var yesTexts = map[Field]string{
	Attended: "whether the fire service came", Ticked: "whether that happened", Cleansed: "whether it was cleaned", Exchanged: "whether it was replaced",
	Band: "the low and the high limit", NewSerial: "the serial number of the new unit",
}

// text names the field in a sentence.
func (f Field) text() string {
	if text := yesTexts[f]; text != "" {
		return text
	}
	switch f {
	case What:
		return "what happened"
	case Result:
		return "how the test went"
	case By:
		return "by whom"
	case Found:
		return "the number at which it was found"
	case Category:
		return "why the alarm was given"
	case Setting:
		return "a setting of that name"
	case Device:
		return "the kind of device"
	case Fitted:
		return "the date of fitting"
	case Width:
		return "how many addresses it takes"
	case Quantity:
		return "what the value is"
	case Unit:
		return "the unit of the value"
	case Worse:
		return "where dirt moves the value"
	case UsualNoise:
		return "the usual noise of a visit's value"
	case SpreadLimit:
		return "the largest normal spread of the samples of a visit"
	case CleanRest:
		return "where a clean unit rests"
	case Low, High:
		return "the " + string(f) + " limit"
	case Metres:
		return "metres of cable"
	case Spur:
		return "where its spur hangs from"
	case Serial:
		return "the serial number"
	case Alarm:
		return "the alarm level"
	case Compensated:
		return "whether drift is compensated"
	case Standby:
		return "the standby current"
	case Life:
		return "the service life"
	case BandSetting:
		return "the setting that the band applies to"
	case number:
		return "a running number or an address"
	case Wanted:
		return "the number that it shall have"
	}
	return "the " + string(f)
}

func (f Field) isDate() bool { return f == Date || f == Fitted }

func (f Field) isRef() bool { return f == Point || f == Panel || f == Loop || f == Address }

// mayCarry: a merged cell of these fields speaks for every row that it covers.
func (f Field) mayCarry() bool {
	switch f {
	case Panel, Loop, Zone, Area, Floor, Location, Type, Fitted, Date, By, Quantity, Unit, Name, Device, Settings:
		return true
	}
	return false
}

// Happening is what happened to a point.
type Happening string

// The events.
const (
	Tested   Happening = "tested"
	Cleaned  Happening = "cleaned"
	Replaced Happening = "replaced"
	Alarmed  Happening = "alarm"
	Faulty   Happening = "fault"
	Disabled Happening = "disabled"
	Restored Happening = "restored"
)

// TypeRow is one type sheet, or one band of it. Currents are in milliamperes, volts in volts, the
// service life in years; Low, High and Alarm are in the type's own unit.
type TypeRow struct {
	Name, Device, DeviceText string // Device is one of the small set in words.go, DeviceText as written
	Quantity, Unit           string
	Worse                    string // up, down, or empty: not said
	Noise, Spread, Rest      Figure // usual noise, spread limit, where a clean unit rests
	Width                    Figure
	Low, High, Alarm         Figure
	Compensated, SaidSo      bool // SaidSo: the listing says whether it is compensated
	Standby, AlarmCurrent    Figure
	LeastVolts, Life         Figure
	Settings, BandSetting    string
}

// isNumber: the field names a point by its number.
func (f Field) isNumber() bool {
	return f == Address || f == Wanted || f == number || f == standing || f == setNumber
}

// ScheduleRow is one point and what is fitted there. Wanted is the number that it
// shall have, 0 where the row does not say; Ref has no address where the row says
// that alone. Metres is the cable from the point before; Spur is the
// address of the point on the ring that its spur hangs from, 0 on the ring.
type ScheduleRow struct {
	Ref                        Ref
	Type, Zone, Area, Location string
	Floor                      string
	Serial, Settings           string
	Wanted                     int
	Fitted                     Civil
	Metres                     Figure
	Spur                       int
	Vacant                     string // the words that say that nothing is fitted, where the register has a device; the rest is empty
}

// ReadingRow is one look at a resting value. Samples is reused by the next step.
type ReadingRow struct {
	Ref            Ref
	When           Civil
	Samples        []float64
	By, Remark     string
	Quantity, Unit string // as the listing names them, either perhaps empty
	UnitInCell     bool   // the unit stands beside the number, not in a heading or a column
	Apart          Apart  // which of two values of one visit it is
}

// Outcome is how a test went.
type Outcome string

// The outcomes.
const (
	Passed  Outcome = "passed"
	Failed  Outcome = "failed"
	Missed  Outcome = "could not be tested" // somebody came and could not get at it
	NoTrial Outcome = ""                    // it was no test
)

// EventRow is one thing that happened to a point. Said is the word that the listing has for it; Told are the
// words, perhaps of several cells, that say how it went, where those are more than that.
type EventRow struct {
	Ref             Ref
	When            Civil
	What            Happening
	Outcome         Outcome
	Sure            bool // a person said how it went, whatever the words sound like
	Said, Told      string
	Type            string // of what is fitted there; of a replacement, from then on
	Serial          string // of the unit that a replacement put there
	Cause, Text, By string
	Category        string // of an alarm, as [sootline.AlarmCategory] has it
	Attended        bool   // the fire service came
}

// FoundRow says at which number a device was found. When may be left out.
type FoundRow struct {
	Ref        Ref
	When       Civil
	Number     int
	By, Remark string
}

// Apart tells two values of one visit apart that are no samples of one look; empty: the only one.
type Apart string

// The values that stand apart.
const (
	AsFound Apart = "as found"
	AsLeft  Apart = "as left" // after cleaning or mending
	ByDay   Apart = "by day"
	ByNight Apart = "by night"
)
