package listings

import (
	"cmp"
	"fmt"
	"testing"
	"time"

	"sootline"
)

// clerk writes down exactly what a truth states, in one of the shapes that entries may have.
type clerk struct {
	l    Listing
	zone *time.Location
	reg  *sootline.Register
	ids  map[string]sootline.ID
	out  Outcome
}

func perfect(l Listing) Outcome {
	c := &clerk{l: l, reg: sootline.Fold(append([]sootline.Entry{}, l.Site...), farFuture), ids: map[string]sootline.ID{}}
	zone, err := sootline.ZoneNamed(c.reg.Site.Zone)
	if err != nil {
		panic(err)
	}
	c.zone = zone
	c.points()
	c.readings()
	c.events()
	for _, o := range l.Truth.Open {
		c.out.Questions = append(c.out.Questions, o.Says)
	}
	if len(l.Truth.Hidden) > 0 {
		c.out.Told = append(c.out.Told, fmt.Sprintf("%s and others are hidden, and were left out", l.Truth.Hidden[0]))
	}
	return c.out
}

// note writes an entry, at an hour of a day; no day: nobody knows when.
func (c *clerk) note(day string, hour int, point sootline.ID, body sootline.Body) {
	at := sootline.LongAgo
	if day != "" {
		y, m, d := parseDay(day).Time().Date()
		at = sootline.DayHour(y, m, d, hour, c.zone)
	}
	n := len(c.out.Written)
	c.out.Written = append(c.out.Written, sootline.Entry{
		ID: sootline.DerivedID(at, fmt.Append(nil, "clerk", n)), Site: c.l.Site[0].Site, At: sootline.Instant(at), Day: true, Noted: sootline.Instant(at),
		By: "A. Clerk", Station: "desk", Seq: int64(n + 1), Point: point, Body: body,
	})
}

func (c *clerk) subject(at Stated) sootline.ID {
	if !at.ID.Zero() {
		return at.ID
	}
	if id, ok := c.ids[at.Ref]; ok {
		return id
	}
	ref, err := sootline.ParseRef(at.Ref)
	if err != nil {
		panic(err)
	}
	if named := c.reg.Named(ref, c.reg.AsOf); len(named) == 1 {
		return named[0].ID
	}
	return sootline.ID{}
}

func (c *clerk) points() {
	for _, f := range c.l.Truth.Types {
		sheet := sootline.TypeSheet{Name: f.Name, Kind: f.Device}
		if f.Low != nil || f.Alarm != nil {
			sheet.Bands = []sootline.Band{{Low: f.Low, High: f.High, Alarm: f.Alarm}}
		}
		c.note("2024-01-02", 9, sootline.ID{}, sootline.Sheet{TypeSheet: sheet})
	}
	for _, f := range c.l.Truth.Points {
		id := c.subject(f.Stated)
		if id.Zero() {
			id = c.fit(f)
		}
		if len(f.Settings) > 0 {
			c.note("2024-01-02", 10, id, sootline.Set{Found: f.Settings})
		}
	}
	for _, f := range c.l.Truth.Numbers {
		c.note("2024-01-02", 11, c.subject(f.Stated), sootline.Addressed{Found: f.Found})
	}
}

func (c *clerk) fit(f PointFact) sootline.ID {
	id := sootline.DerivedID(sootline.LongAgo, []byte(f.Ref))
	c.ids[f.Ref] = id
	ref, err := sootline.ParseRef(f.Ref)
	if err != nil {
		panic(err)
	}
	fitted := sootline.Fitted{
		Place: sootline.Place{Panel: cmp.Or(ref.Panel, "1"), Loop: ref.Loop, Zone: f.Zone, Location: f.Place, Metres: f.Metres},
		Unit:  sootline.Unit{Serial: f.Serial},
	}
	if len(f.Types) > 0 {
		fitted.Type = f.Types[len(f.Types)-1]
	}
	c.note("", 0, id, fitted)
	c.note("", 0, id, sootline.Addressed{Wanted: ref.Number})
	return id
}

func (c *clerk) readings() {
	hours := map[string]int{"": 9, "found": 9, "left": 20, "day": 10, "night": 21}
	for _, f := range c.l.Truth.Readings {
		read := sootline.Read{Samples: []float64{f.Value}}
		if len(f.Quantity) > 0 {
			read.Quantity = f.Quantity[0]
		}
		if f.Beyond {
			read.Remark = ">"
		}
		c.note(f.From, hours[f.Apart], c.subject(f.Stated), read)
	}
}

func (c *clerk) events() {
	for _, f := range c.l.Truth.Events {
		var body sootline.Body
		switch f.Kind {
		case sootline.TestedKind:
			body = sootline.Tested{Failed: f.Failed}
		case sootline.CleanedKind:
			body = sootline.Cleaned{}
		case sootline.FaultKind:
			body = sootline.Fault{Cause: f.Cause}
		case sootline.DisabledKind:
			body = sootline.Disabled{Cause: f.Cause}
		case sootline.RestoredKind:
			body = sootline.Restored{}
		case sootline.ReplacedKind:
			body = sootline.Replaced{Unit: sootline.Unit{Serial: f.Serial}}
		case sootline.RemovedKind:
			body = sootline.Removed{}
		case sootline.AlarmKind:
			body = sootline.Alarm{Category: f.Category, Cause: f.Cause, Attended: f.Attended}
		default:
			panic("no body of kind " + f.Kind)
		}
		c.note(f.Day, 15, c.subject(f.Stated), body)
	}
}

// A clerk who writes the truth and asks what is open is never told to have misread or lost anything.
func TestPerfectClerk(t *testing.T) {
	var all []Verdict
	for seed := range uint64(600) {
		l := Make(seed)
		if l.Truth.Empty() {
			t.Fatalf("seed %d, %s: the listing states nothing", seed, l.Layout)
		}
		v := Score(l, perfect(l))
		all = append(all, v)
		want := Right
		if len(l.Truth.Open) > 0 {
			want = Asked
		}
		if v.Class != want {
			t.Errorf("seed %d, %s %s %v: %s, expected %s", seed, l.Layout, l.Format, l.Spoilings, v, want)
		}
	}
	t.Log(Report(all))
}

// A clerk who does nothing has lost what the listing states, unless the site knew it already.
func TestIdleClerk(t *testing.T) {
	lost := 0
	for seed := range uint64(300) {
		l := Make(seed)
		switch v := Score(l, Outcome{}); v.Class {
		case Lost:
			lost++
		case Right:
			if len(l.Truth.Readings)+len(l.Truth.Events)+len(l.Truth.Numbers) > 0 {
				t.Errorf("seed %d: nothing was written, and that is right", seed)
			}
		default:
			t.Errorf("seed %d: %s", seed, v)
		}
	}
	if lost < 250 {
		t.Errorf("only %d of 300 are lost", lost)
	}
}
