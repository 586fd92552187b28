package sootline

import (
	"encoding/json"
	"time"
)

// CorrectedKind is the kind of [Corrected].
const CorrectedKind Kind = "corrected"

// Corrected puts another entry right: it says whole what that entry should have
// said. The entry that it names stays in the log and counts no more.
type Corrected struct {
	Entry ID        // the entry put right
	Why   string    // in words
	At    time.Time // when it happened, as it should have been written
	Day   bool      // only the day is known
	Point ID        // the point it is about, or zero
	Body  Body      // what it should have said
	Seen  []ID      // the amendments of that entry in sight of which this was written
}

type correctedJSON struct {
	Entry ID              `json:"entry"`
	Why   string          `json:"why,omitempty"`
	At    string          `json:"at"`
	Day   bool            `json:"day,omitempty"`
	Point ID              `json:"point,omitzero"`
	Kind  Kind            `json:"kind"`
	Body  json.RawMessage `json:"body"`
	Seen  []ID            `json:"seen,omitempty"`
}

// Kind is CorrectedKind.
func (Corrected) Kind() Kind { return CorrectedKind }

func (c Corrected) say() string {
	return Joined("puts another entry right", c.Why, "it should have said: "+c.Body.say())
}

func (c Corrected) check() error {
	if c.Entry.Zero() || c.Body == nil {
		return Errorf(Invalid, "the log shows the ids", "a correction names the entry that it puts right, and says what holds instead").Do(ReadLog)
	}
	if err := saidInstead(c.Body.Kind()); err != nil {
		return err
	}
	if err := checkAbout(c.Body, c.Point); err != nil {
		return err
	}
	return c.Body.check()
}

// saidInstead refuses a correction that would say an amendment.
func saidInstead(kind Kind) error {
	if kind == CorrectedKind || kind == WithdrawnKind {
		return Errorf(Invalid, "withdraw the first correction, then correct the entry itself", "a correction cannot say %q", kind)
	}
	return nil
}

// fold has nothing to do: corrections are applied before the fold.
func (Corrected) fold(*Register, *Entry) {}

// MarshalJSON writes the body beside the name of its kind.
func (c Corrected) MarshalJSON() ([]byte, error) {
	body, err := marshal(c.Body)
	if err != nil {
		return nil, err
	}
	return marshal(correctedJSON{
		Entry: c.Entry, Why: c.Why, At: string(appendTime(nil, c.At)), Day: c.Day,
		Point: c.Point, Kind: c.Body.Kind(), Body: body, Seen: c.Seen,
	})
}

func decodeCorrected(raw []byte) (Body, error) {
	var in correctedJSON
	if err := strictJSON(raw, &in); err != nil {
		return nil, err
	}
	at, err := parseTime([]byte(in.At))
	if err != nil {
		return nil, err
	}
	if err := saidInstead(in.Kind); err != nil { // before its body is read, which may hold another, and so on
		return nil, err
	}
	body, err := DecodeBody(in.Kind, in.Body)
	if err != nil {
		return nil, err
	}
	return Corrected{Entry: in.Entry, Why: in.Why, At: at, Day: in.Day, Point: in.Point, Body: body, Seen: in.Seen}, nil
}
