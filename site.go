package sootline

import (
	"strconv"
	"time"
)

// Site is what is known of a site as a whole.
type Site struct {
	ID     ID
	Name   string
	Zone   string // IANA time zone in which its people live; empty: UTC
	Remark string
	Rules  Rules
	SiteFacts
	// Service is what was chosen of how the site is looked after; without rules,
	// nobody chose any.
	Service Service
	// ZoneUnknown is a time zone that the log gives and that is not known; the site
	// is read in UTC. Empty: there is none.
	ZoneUnknown string
	zoneSaid    ID // the entry that gave the zone
}

// ZoneDoubt says in a sentence that the site is read in UTC for want of its zone;
// empty where its zone is known.
func (s *Site) ZoneDoubt() string {
	if s.ZoneUnknown == "" {
		return ""
	}
	return "the time zone " + strconv.Quote(clip(s.ZoneUnknown)) + " of the site is not known: its days and times are read in UTC"
}

// location is the time zone of the site; UTC where it is not known.
func (s *Site) location() *time.Location {
	zone, err := ZoneNamed(s.Zone)
	if err != nil {
		return time.UTC
	}
	return zone
}

// ZoneSaid names the entry that gave the zone; the zero ID: none did.
func (s *Site) ZoneSaid() ID { return s.zoneSaid }

// Rules are the site's own choices; a zero field means "not chosen", and
// [Rules.Filled] gives what then holds.
type Rules struct {
	// VisitMonths is the time from one visit to the next, in months.
	VisitMonths int `json:"visit_months,omitempty"`
	// ForgottenDays is how long a point may stay disabled before it counts as forgotten.
	ForgottenDays int `json:"forgotten_days,omitempty"`
	// PooledSD is the usual spread of a resting value about its trend, in the
	// value's own unit, where a type sheet says nothing of its own.
	PooledSD float64 `json:"pooled_sd,omitempty"`
	// Losses say what it costs to be wrong about a detector: what is done follows from them.
	Losses Losses `json:"losses,omitzero"`
}

// Filled puts the defaults where nothing was chosen: visits every six months
// (BS 5839-1:2017 45.3, the longest gap between service visits), a disablement
// forgotten after 7 days (a choice of ours, no source), and a spread of 1.04
// units (a true spread of 1 unit, plus the 1/12 that rounding to whole numbers
// adds to its square); and losses as [Losses.Filled] gives them.
func (r Rules) Filled() Rules {
	if r.VisitMonths == 0 {
		r.VisitMonths = 6
	}
	if r.ForgottenDays == 0 {
		r.ForgottenDays = 7
	}
	if r.PooledSD == 0 {
		r.PooledSD = 1.0408
	}
	r.Losses = r.Losses.Filled()
	return r
}

// LoopID names a loop within a site.
type LoopID struct{ Panel, Name string }

// String writes panel.loop.
func (l LoopID) String() string { return l.Panel + "." + l.Name }

// Loop is what is known of a loop: the numbers it allows.
type Loop struct {
	LoopID
	First, Last int   // the span: lowest and highest number that may be used
	Unset       int   // the number a device carries before anyone sets it; 0 when unknown
	Reserved    []int // numbers that are kept free
	Separate    bool  // detectors and the other devices have a range each: a clash is range and number
}

// The span of a loop that nobody described: 1 to 126, with 127 unset (common
// practice, no source: seven binary switches give 0 to 127).
const (
	DefaultFirst = 1
	DefaultLast  = 126
	DefaultUnset = 127
)
