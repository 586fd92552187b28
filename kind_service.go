package sootline

import "slices"

// ServiceKind is the kind of [Service].
const ServiceKind Kind = "service"

// Service states how a site is looked after: the rules that say what is due,
// how long work takes, and how its areas are reached and walked. A later one
// replaces it whole.
type Service struct {
	Rules   []ServiceRule  `json:"rules,omitempty"`
	Minutes map[string]int `json:"minutes,omitempty"` // for one point, by work: test, read, look, clean, replace
	Areas   []ServiceArea  `json:"areas,omitempty"`
	Order   []string       `json:"order,omitempty"` // the technician's own: areas in the order in which they are walked
}

// ServiceArea says what it takes to work in an area.
type ServiceArea struct {
	Area  string `json:"area"`
	Setup int    `json:"setup,omitempty"` // minutes before its first point: a ladder, a permit, tenants to warn
	Why   string `json:"why,omitempty"`
}

// ServiceRule is one rule that says what is due. Which fields it uses depends on
// its form; docs/formats/rules.md lists them.
type ServiceRule struct {
	Name    string       `json:"name"`
	Form    ServiceForm  `json:"form"`
	Edition string       `json:"edition,omitempty"` // the standard and its year
	Clause  string       `json:"clause,omitempty"`
	Known   string       `json:"known"` // how its figures are known: read, restated, remembered, own
	Devices []DeviceKind `json:"devices,omitempty"`
	Months  int          `json:"months,omitempty"`      // the term
	From    int          `json:"from_months,omitempty"` // a visit counts from so many months after the last
	To      int          `json:"to_months,omitempty"`   // and up to so many
	Days    int          `json:"days,omitempty"`        // the term, where it is short
	Visits  int          `json:"visits,omitempty"`      // over how many visits a term's work is spread evenly
	PerLoop int          `json:"per_loop,omitempty"`    // so many of each loop in any twelve months
	Then    int          `json:"then_months,omitempty"` // the term after the first
	Stretch int          `json:"stretch_months,omitempty"`
	Percent int          `json:"percent,omitempty"` // of the points not affected by a change
	Most    int          `json:"most,omitempty"`    // but at most so many
	Text    string       `json:"text,omitempty"`
}

// ServiceForm says what a rule asks for.
type ServiceForm string

// The forms of a rule.
const (
	VisitForm       ServiceForm = "visit"       // somebody attends
	EveryForm       ServiceForm = "every"       // every point is tested within a term
	ZoneForm        ServiceForm = "zone"        // one point of each zone at each visit
	RotationForm    ServiceForm = "rotation"    // one point a term, each time another one
	SensitivityForm ServiceForm = "sensitivity" // resting values or sensitivity looked at
	LifeForm        ServiceForm = "life"        // units replaced at the end of their service life
	RetestForm      ServiceForm = "retest"      // after a change of configuration
)

// How the figures of a rule are known.
const (
	KnownRead       = "read"       // in the standard's own text, or an official account of it
	KnownRestated   = "restated"   // in a summary by others
	KnownRemembered = "remembered" // from memory; check it against the edition in force
	KnownOwn        = "own"        // the user's, or ours, with no standard behind it
)

// SayKnown says in plain words how the figures of a rule are known.
func (r *ServiceRule) SayKnown() string {
	switch r.Known {
	case KnownRestated:
		return "as others restate it"
	case KnownRemembered:
		return "not checked"
	}
	return r.Known
}

// Kind is ServiceKind.
func (Service) Kind() Kind { return ServiceKind }

func (s Service) say() string {
	return Joined("rules of service", rest(s))
}

func (s Service) check() error {
	names := map[string]bool{}
	for _, rule := range s.Rules {
		if names[rule.Name] {
			return Errorf(Invalid, "give each rule a name of its own", "two rules are named %q", clip(rule.Name))
		}
		names[rule.Name] = true
		if err := rule.check(); err != nil {
			return err
		}
	}
	for work, minutes := range s.Minutes {
		if !slices.Contains([]string{"test", "read", "look", "clean", "replace"}, work) || minutes < 1 || minutes > mostMinutes {
			return Errorf(Invalid, "minutes are given for test, read, look, clean and replace, from 1 to 1440", "%d minutes for %q is not a time that work takes", minutes, clip(work))
		}
	}
	for _, area := range s.Areas {
		if area.Area == "" || area.Setup < 0 || area.Setup > mostMinutes {
			return Errorf(Invalid, "", "an area needs its name, and from 0 to %d minutes to set up", mostMinutes)
		}
	}
	return nil
}

// mostMinutes is a day.
const mostMinutes = 1440

func (r ServiceRule) check() error {
	bad := func(hint, format string, args ...any) error {
		return Errorf(Invalid, hint, "rule %q: "+format, append([]any{clip(r.Name)}, args...)...)
	}
	switch {
	case r.Name == "":
		return Errorf(Invalid, "", "a rule needs a name")
	case !slices.Contains([]string{KnownRead, KnownRestated, KnownRemembered, KnownOwn}, r.Known):
		return bad("say read, restated, remembered or own", "how it is known is missing")
	case min(r.Months, r.From, r.To, r.Days, r.Visits, r.PerLoop, r.Then, r.Stretch, r.Percent, r.Most) < 0,
		max(r.Months, r.From, r.To, r.Then, r.Stretch, r.Visits, r.PerLoop, r.Percent) > 1200 || max(r.Days, r.Most) > 10_000:
		return bad("terms are at most 1200 months or 10000 days", "a number is out of range")
	case r.To != 0 && r.From > r.To:
		return bad("", "its window ends before it begins")
	}
	return r.checkForm(bad)
}

func (r ServiceRule) checkForm(bad func(hint, format string, args ...any) error) error {
	switch r.Form {
	case VisitForm, EveryForm:
		if r.Months == 0 {
			return bad("give months", "it has no term")
		}
	case RotationForm:
		if r.Days == 0 && r.Months == 0 {
			return bad("give days or months", "it has no term")
		}
	case SensitivityForm:
		if r.Months == 0 || r.Then == 0 {
			return bad("give months for the first term and then_months for the later ones", "it has no term")
		}
	case ZoneForm, LifeForm, RetestForm:
	default:
		return bad("one of visit, every, zone, rotation, sensitivity, life, retest", "form %q is not known", clip(string(r.Form)))
	}
	return nil
}

func (s Service) fold(r *Register, _ *Entry) { r.Site.Service = s }

func (s Service) facts() []FactSaid { return oneFact("the rules of service", s) }
