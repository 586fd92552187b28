package circuit

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"sootline"
)

// Draft is a loop with gaps, as a register knows it or as a what-if file says it. What is nil is not known, and
// [Draft.Loop] fills it from Default and says so. The file is this structure as JSON (docs/formats/loop.md).
type Draft struct {
	Name    string       `json:"name,omitempty"`
	Out     DraftEnd     `json:"out"`
	In      *DraftEnd    `json:"in,omitempty"` // nil: like Out
	Default Default      `json:"default"`
	Points  []DraftPoint `json:"points"`
	Return  DraftCable   `json:"return"`

	Rules        []string `json:"rules,omitempty"`          // names of [Rules] that the site goes by; nil: not known
	AlarmsAtOnce *int     `json:"alarms_at_once,omitempty"` // nil: all
	InAlarm      []string `json:"in_alarm,omitempty"`       // exactly these points, by name
}

// DraftEnd is a pair of the panel's terminals.
type DraftEnd struct {
	Volts     *float64 `json:"volts,omitempty"`
	LowVolts  *float64 `json:"low_volts,omitempty"`  // with the battery at its lowest
	HighVolts *float64 `json:"high_volts,omitempty"` // at the highest charge
	PlusOhms  *float64 `json:"plus_ohms,omitempty"`
	MinusOhms *float64 `json:"minus_ohms,omitempty"`
	LimitMA   float64  `json:"limit_ma,omitempty"`
}

// Default is what is taken where nothing is known. Without least working volts, a device that has none of its own is not
// judged.
type Default struct {
	Volts       float64  `json:"volts,omitempty"`
	Metres      float64  `json:"metres,omitempty"`
	MM2         float64  `json:"mm2,omitempty"`
	Celsius     *float64 `json:"celsius,omitempty"` // nil: not known
	RestMA      float64  `json:"rest_ma,omitempty"`
	AlarmMA     float64  `json:"alarm_ma,omitempty"`
	LeastVolts  float64  `json:"least_volts,omitempty"`
	IsolatorOhm float64  `json:"isolator_ohm,omitempty"`
	DraftBounds
}

// DraftBounds are what isolators are declared to do; nil: not known.
type DraftBounds struct {
	Holds   *float64 `json:"isolator_holds_volts,omitempty"`
	Opens   *float64 `json:"isolator_opens_volts,omitempty"`
	Closes  *float64 `json:"isolator_closes_volts,omitempty"`
	Carries *float64 `json:"isolator_carries_ma,omitempty"`
}

// DraftCable is a cable, from the point before or back to the panel.
type DraftCable struct {
	Metres    *float64 `json:"metres,omitempty"`
	MM2       *float64 `json:"mm2,omitempty"`
	AWG       int      `json:"awg,omitempty"`
	OhmsPerKm float64  `json:"ohms_per_km,omitempty"`
	Tinned    bool     `json:"tinned,omitempty"`
	Flexible  bool     `json:"flexible,omitempty"`
	Stranded  bool     `json:"stranded,omitempty"`
	Celsius   *float64 `json:"celsius,omitempty"`
	PlusOhms  float64  `json:"plus_ohms,omitempty"`  // as measured
	MinusOhms float64  `json:"minus_ohms,omitempty"` // as measured
}

// DraftPoint is a point with its cable and its isolator.
type DraftPoint struct {
	Name  string `json:"name"`
	After string `json:"after,omitempty"` // of a point that is added: the point that it comes after, or OUT
	Spur  string `json:"spur,omitempty"`
	DraftCable
	Junction    bool       `json:"junction,omitempty"`
	Rest        *DraftLoad `json:"rest,omitempty"`
	Alarm       *DraftLoad `json:"alarm,omitempty"`
	LeastVolts  *float64   `json:"least_volts,omitempty"`
	Isolator    string     `json:"isolator,omitempty"` // after, before, base, branch, none; empty: none, or as it was
	IsolatorOhm *float64   `json:"isolator_ohm,omitempty"`
	BothCores   bool       `json:"isolator_both_cores,omitempty"` // its resistance is in each core; else in plus only
	DraftBounds
	Zone    string  `json:"zone,omitempty"`
	Floor   string  `json:"floor,omitempty"`
	AreaM2  float64 `json:"area_m2,omitempty"`
	Counted bool    `json:"counted,omitempty"`
	NoArea  bool    `json:"no_area,omitempty"` // it protects no area, as a call point; else AreaM2 of 0 is not known
}

// DraftLoad is one of milliamps, ohms and watts.
type DraftLoad struct {
	MA   float64 `json:"ma,omitempty"`
	Ohms float64 `json:"ohms,omitempty"`
	W    float64 `json:"w,omitempty"`
}

// Gap is something that was not known, with what was taken instead.
type Gap struct {
	Where string // the point, or OUT, IN, the way back; empty: the loop as a whole
	What  string // such as "metres of cable are"
	Taken string // such as "10 m"
	Cable bool   // it is about a cable, so that places along it depend on it
}

// mostDraft bounds a what-if file.
const mostDraft = 4 << 20

// ReadDraft reads a what-if file.
func ReadDraft(r io.Reader) (*Draft, error) {
	text, err := io.ReadAll(io.LimitReader(r, mostDraft+1))
	if err != nil {
		return nil, fmt.Errorf("read the loop: %w", err)
	}
	if len(text) > mostDraft {
		return nil, invalid("a file for a loop has at most %d bytes", mostDraft)
	}
	var d Draft
	decoder := json.NewDecoder(bytes.NewReader(text))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&d); err != nil {
		return nil, draftError(text, decoder.InputOffset(), err)
	}
	if _, err := decoder.Token(); !errors.Is(err, io.EOF) {
		return nil, draftError(text, decoder.InputOffset(), errors.New("something follows the loop"))
	}
	return &d, d.contradiction(d.Default.Volts)
}

// draftError says in which line reading stopped.
func draftError(text []byte, at int64, err error) error {
	if e, ok := errors.AsType[*json.SyntaxError](err); ok {
		at = e.Offset
	}
	if e, ok := errors.AsType[*json.UnmarshalTypeError](err); ok {
		at = e.Offset
		err = fmt.Errorf("%s cannot be a %s", e.Field, e.Value)
	}
	line := 1 + bytes.Count(text[:min(at, int64(len(text)))], []byte("\n"))
	return sootline.Errorf(sootline.Invalid, "", "the loop, line %d: %s", line, strings.TrimPrefix(err.Error(), "json: "))
}
