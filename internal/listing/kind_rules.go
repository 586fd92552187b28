package listing

// signs is what headings and cells of a table speak for, whatever it lists.
type signs struct {
	ref, date bool // points are named; a day is
	what      bool // a column says what happened, and when
	value     bool // a column holds values
	result    bool // a column says how tests went, and when
	wide      bool // a column for each visit
	fitted    bool // serial numbers or lengths of cable
	bare      bool // numbers that may be values, in a table without headings
}

func (s *study) signs() signs {
	var e signs
	e.ref = len(s.inDoubt(Point, Address)) > 0 || s.found(Point, Address, number, Wanted, standing, setNumber) || s.byContent(Point) || s.weakRef() >= 0 ||
		s.found(Serial) && s.known.hasPoints() && (s.found(Date, Value, Found, Day) || s.u.said[Date] != "")
	e.date = s.found(Date) || s.found(Year) && s.found(Month) || s.byContent(Date) || s.u.profile.Constants[Date] != "" || s.u.said[Date] != ""
	e.what = s.happenings() >= 0 && (e.date || s.found(What))
	e.value = s.found(Value) && s.numericValue() || s.bareValue(e.ref, e.date)
	e.result = e.ref && e.date && s.result()
	e.wide = e.ref && s.isWide()
	e.fitted = s.found(Metres) || s.found(Serial)
	e.bare = e.ref && !e.date && s.looseNumbers()
	return e
}

// kindRule says which kinds fit a table with some signs; several are a question.
type kindRule struct {
	fits  func(s *study, e signs) bool
	kinds []Kind
	why   string
}

// kindRules are looked at in their order: what is said of visits and in so many words comes before what a table may be.
var kindRules = []kindRule{
	{func(s *study, e signs) bool { return e.ref && s.found(Ticked) }, []Kind{KindEvents}, "it has a column to tick for each thing that may happen to a point"},
	{func(s *study, e signs) bool { return e.wide && s.trials }, []Kind{KindEvents}, "it has a column for each visit that says how its tests went"},
	{func(_ *study, e signs) bool { return e.wide }, []Kind{KindReadings}, "it has a column of values for each visit"},
	{func(s *study, e signs) bool { return !e.ref && s.namesTypes() }, []Kind{KindTypes}, "it names types and their figures, and no points"},
	{func(s *study, e signs) bool { return e.ref && s.found(Found) }, []Kind{KindNumbers}, "it says at which number each device was found"},
	{func(s *study, e signs) bool { return e.ref && e.date && !e.value && s.tellsOfAlarms() }, []Kind{KindEvents}, "it says why alarms were given, or who came"},
	{func(_ *study, e signs) bool { return (e.what || e.result) && e.value }, []Kind{KindReadings, KindEvents}, "It has both a value and what happened."},
	{func(_ *study, e signs) bool { return e.what }, []Kind{KindEvents}, "it says what happened to each point, and when"},
	{func(_ *study, e signs) bool { return e.result && e.fitted }, []Kind{KindEvents, KindSchedule}, "It has both how a test went and what is fitted."},
	{func(_ *study, e signs) bool { return e.result }, []Kind{KindEvents}, "it says of each point how its test went, and when"},
	{func(s *study, e signs) bool { return e.value && e.ref && s.mayBeFitted(e) }, []Kind{KindReadings, KindSchedule}, "It has both values and what is fitted."},
	{func(_ *study, e signs) bool { return e.value && (e.ref || e.date) }, []Kind{KindReadings}, "it has a value for each point"},
	{func(s *study, e signs) bool { return e.ref && e.date && s.happened.what != "" }, []Kind{KindEvents}, "one of its headings tells of what happened to each point"},
	{func(s *study, e signs) bool { return e.ref && !e.date && s.testedLast() }, []Kind{KindEvents}, "it says of each point how its last test went"},
	{func(s *study, e signs) bool { return e.ref && e.date && s.found(What) }, []Kind{KindEvents}, "it has a column for what happened"},
	{func(s *study, e signs) bool { return e.ref && e.date && len(s.inDoubt(Result, What, Ticked)) > 0 }, []Kind{KindEvents}, "it may say of each point how its test went, and when"},
	{func(_ *study, e signs) bool { return e.bare }, []Kind{KindReadings, KindSchedule}, "It has no headings, and numbers that may be values beside what may be fitted."},
	{func(s *study, e signs) bool { return e.ref && s.saysOfDevices() }, []Kind{KindSchedule}, "it says for each point what is fitted or where it is"},
	{func(s *study, e signs) bool { return e.ref && s.u.HeaderLine == 0 && s.texts() > 0 }, []Kind{KindSchedule}, "each point stands beside text, without values or events"},
	{func(_ *study, e signs) bool { return e.ref }, []Kind{KindSchedule, KindReadings, KindEvents}, "It names points, but not what is said of them."},
	{func(s *study, _ signs) bool { return s.bareSchedule() }, []Kind{KindSchedule}, "types of the register stand beside numbers"},
	{func(_ *study, _ signs) bool { return true }, allKinds, "No column names a point, and none of the limits of a type."},
}

// kinds gives the kinds that fit, with the reason.
func (s *study) kinds() ([]Kind, string) {
	e := s.signs()
	for _, rule := range kindRules {
		if rule.fits(s, e) {
			return rule.kinds, rule.why
		}
	}
	return allKinds, ""
}

func (s *study) namesTypes() bool {
	return s.found(Low, High, Band, Alarm, Compensated, Standby, AlarmCurrent, LeastVolts, Life) && s.found(Name, Type, Device, description)
}

func (s *study) tellsOfAlarms() bool {
	return s.found(Category, Attended) && s.happenings() < 0 && !s.found(What)
}

// mayBeFitted: beside its values a table has what schedules have.
func (s *study) mayBeFitted(e signs) bool {
	return s.found(Metres) || s.found(Serial) && (!e.date || s.found(Type) && !s.known.hasPoints())
}

func (s *study) saysOfDevices() bool {
	return s.found(Type, Device, Zone, Area, Floor, Location, Serial, Fitted, Metres, Settings, description)
}

// looseNumbers: a table without headings has numbers that neither count on nor come again and again, as zones do.
func (s *study) looseNumbers() bool {
	if s.u.HeaderLine > 0 {
		return false
	}
	for _, i := range s.bareNumbers() {
		if c := &s.content[i]; c.running+c.again < c.numbers && !c.few() {
			return true
		}
	}
	return false
}
