package sootline

import (
	"fmt"
	"math"
	"strings"
)

// TypeSheet is what is known of a type of device. Numbers that are not known
// are nil; a width of zero counts as one.
type TypeSheet struct {
	Name        string            `json:"name"`
	Kind        DeviceKind        `json:"device,omitempty"`
	Width       int               `json:"width,omitempty"` // how many numbers it takes, from its first one
	Quantity    string            `json:"quantity,omitempty"`
	Unit        string            `json:"unit,omitempty"`
	Bands       []Band            `json:"bands,omitempty"`
	Worse       Direction         `json:"worse,omitempty"`       // where dirt moves the value; empty: as the kind says
	Others      []Quantity        `json:"others,omitempty"`      // what else is read at devices of the type
	Compensated bool              `json:"compensated,omitempty"` // the device or panel corrects its drift
	FactoryRest *float64          `json:"factory_rest,omitempty"`
	SpreadLimit *float64          `json:"spread_limit,omitempty"` // largest normal spread of the samples of one visit, as a standard deviation
	PooledSD    *float64          `json:"pooled_sd,omitempty"`    // usual spread of a visit's value about its trend
	StandbyMA   *float64          `json:"standby_ma,omitempty"`
	AlarmMA     *float64          `json:"alarm_ma,omitempty"`
	MinVolts    *float64          `json:"min_volts,omitempty"`
	LifeYears   *float64          `json:"life_years,omitempty"`
	Settings    map[string]string `json:"settings,omitempty"` // setting name to its choices, as the listing wrote them
}

// DeviceKind sorts types by what they do.
type DeviceKind string

// The kinds of device.
const (
	Smoke     DeviceKind = "smoke"
	Heat      DeviceKind = "heat"
	Multi     DeviceKind = "multi" // several principles in one head
	Gas       DeviceKind = "gas"   // carbon monoxide
	Flame     DeviceKind = "flame"
	CallPoint DeviceKind = "call point"
	Sounder   DeviceKind = "sounder"
	Beacon    DeviceKind = "beacon"
	Module    DeviceKind = "module"
	Isolator  DeviceKind = "isolator"
	Other     DeviceKind = "other"
)

// Judged reports whether devices of this kind have a resting value that is
// worth judging: detectors do, call points, sounders, modules and isolators do
// not. An unknown kind does.
func (k DeviceKind) Judged() bool {
	switch k {
	case CallPoint, Sounder, Beacon, Module, Isolator, Other:
		return false
	}
	return true
}

// Band is the normal interval of a resting value, inclusive at both ends, for
// one setting of a type (empty: any setting).
type Band struct {
	Setting string   `json:"setting,omitempty"` // as "name=choice"
	Low     *float64 `json:"low,omitempty"`
	High    *float64 `json:"high,omitempty"`
	Alarm   *float64 `json:"alarm,omitempty"`
}

// Numbers gives how many addresses a device of this type takes, at least one.
func (s *TypeSheet) Numbers() int {
	if s == nil || s.Width < 1 {
		return 1
	}
	return s.Width
}

// Band finds the band that holds for a point's settings: the one that names a
// setting the point has, else the one that names none. It is nil when the
// sheet has neither.
func (s *TypeSheet) Band(settings map[string]string) *Band {
	var general *Band
	for i := range s.Bands {
		band := &s.Bands[i]
		if band.Setting == "" {
			general = band
			continue
		}
		name, choice, _ := strings.Cut(band.Setting, "=")
		if have, ok := settings[strings.TrimSpace(name)]; ok && strings.EqualFold(have, strings.TrimSpace(choice)) {
			return band
		}
	}
	return general
}

// Complete reports whether both ends of the band are known.
func (b *Band) Complete() bool { return b != nil && b.Low != nil && b.High != nil }

// TypeKey is the spelling by which types are matched: case and the spaces
// around and within a name do not distinguish them.
func TypeKey(name string) string { return strings.ToLower(strings.Join(strings.Fields(name), " ")) }

// Check reports what makes a sheet impossible.
func (s *TypeSheet) Check() error {
	if TypeKey(s.Name) == "" {
		return Errorf(Invalid, "", "a type sheet needs the name of its type")
	}
	if s.Width < 0 || s.Width > 64 {
		return Errorf(Invalid, "", "type %s: a device takes from 1 to 64 numbers, found %d", s.Name, s.Width)
	}
	for name, value := range map[string]*float64{
		"standby mA": s.StandbyMA, "alarm mA": s.AlarmMA, "least volts": s.MinVolts, "service life": s.LifeYears,
		"factory rest": s.FactoryRest, "spread limit": s.SpreadLimit, "pooled sd": s.PooledSD,
	} {
		if value != nil && (!finite(*value) || *value < 0) {
			return Errorf(Invalid, "", "type %s: %s is a number from 0, found %v", s.Name, name, *value)
		}
	}
	if err := checkBands(s.Bands, s.Worse); err != nil {
		return fmt.Errorf("type %s: %w", s.Name, err)
	}
	return s.checkOthers()
}

func checkBands(bands []Band, worse Direction) error {
	if worse != AsKind && worse != Upwards && worse != Downwards {
		return Errorf(Invalid, "", "dirt moves a value up or down, found %q", worse)
	}
	for _, band := range bands {
		if err := band.check(); err != nil {
			return err
		}
	}
	return nil
}

func (b *Band) check() error {
	for _, value := range []*float64{b.Low, b.High, b.Alarm} {
		if value != nil && !finite(*value) {
			return Errorf(Invalid, "", "a limit of a band is to be a number, and %v is none", *value)
		}
	}
	if b.Complete() && *b.Low >= *b.High {
		return Errorf(Invalid, "perhaps the two columns are exchanged", "the low limit %v is not below the high limit %v", *b.Low, *b.High)
	}
	return nil
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
