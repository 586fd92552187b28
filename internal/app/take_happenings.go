package app

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/listing"
	"sootline/internal/store"
)

// The hours given to what a listing dates by the day alone, so that the order of
// one visit comes out right: points are disabled, then read, tested, cleaned or
// replaced, then restored. A choice of ours; common practice, no source.
const (
	hourDisabled = 8
	hourRead     = 9
	hourHappened = 12
	hourCleaned  = 18
	hourRestored = 19
	hourLeft     = 20 // what was read after cleaning and restoring
	hourNight    = 23
)

// takeHappenings makes entries of rows that say what was read at a point, or
// what happened to it.
func (t *taker) takeHappenings(o *TableOutcome) error {
	return t.records(o, func(record listing.Record) error {
		h := t.happening(record)
		if h.why != "" {
			return t.refuse(o, record, h.why)
		}
		one, why := t.at(h.ref, h.at.At, h.body.Kind())
		if why == "" && record.Reading != nil {
			why = t.settle(o, one, record, &h)
		}
		if why == "" && record.Event != nil {
			var err error
			if why, err = t.retype(o, one.point, record, &h); err != nil {
				return err
			}
		}
		if why != "" {
			return t.refuse(o, record, why)
		}
		e, err := t.entry(h.at, one.id, t.person(h.by), h.body)
		if err != nil {
			return err
		}
		if row := record.Event; row != nil && row.Sure { // after its id was made, which is of the row's words alone
			e.Body = certain(e.Body)
		}
		v, err := t.say(o, e)
		o.count(v, 1)
		if read, ok := e.Body.(sootline.Read); ok && v == added {
			o.read(e.At.In(t.zone), len(read.Samples))
			t.remarkSecond(o, record.Line, one.point, &e, read)
		}
		o.repeat(v, e.ID, record.Line)
		if v == same && h.by != "" {
			o.remarkOther(record.Line, t.seen.book[e.ID], e.By)
		}
		return err
	})
}

// remarkOther tells of a row that says what the book has already by somebody else.
func (o *TableOutcome) remarkOther(line int, known, by string) {
	if !store.SameName(known, by) {
		o.remark(line, fmt.Sprintf("the book has this already, by %s; the row says by %s: where both did it, write the second one down with its time", cmp.Or(known, "nobody named"), by))
	}
}

type happening struct {
	ref  listing.Ref
	at   sootline.Moment
	why  string // why its time cannot be told; empty: it can
	by   string
	body sootline.Body
}

func (t *taker) happening(record listing.Record) happening {
	if row := record.Reading; row != nil {
		at, why := t.moment(row.When, hourApart(row.Apart))
		return happening{row.Ref, at, why, row.By, sootline.Read{Samples: slices.Clone(row.Samples), Quantity: sootline.QuantityLabel(row.Quantity, row.Unit), Remark: joined(string(row.Apart), row.Remark)}}
	}
	row := record.Event
	body, hour := event(row)
	at, why := t.moment(row.When, hour)
	return happening{row.Ref, at, why, row.By, body}
}

// hourApart orders the values of one visit that stand apart.
func hourApart(apart listing.Apart) int {
	switch apart {
	case listing.AsLeft:
		return hourLeft
	case listing.ByNight:
		return hourNight
	}
	return hourRead
}

func event(row *listing.EventRow) (body sootline.Body, hour int) {
	text := row.Text
	if row.Cause != "" && row.What != listing.Alarmed && row.What != listing.Faulty && row.What != listing.Disabled {
		text = strings.TrimSpace(row.Cause + " " + text)
	}
	if row.What != listing.Tested {
		text = joined(row.Told, text)
	}
	switch row.What {
	case listing.Tested:
		return tested(row, text), hourHappened
	case listing.Cleaned:
		return sootline.Cleaned{Text: text}, hourCleaned
	case listing.Replaced:
		return sootline.Replaced{Unit: sootline.Unit{Serial: row.Serial}, Text: text}, hourCleaned
	case listing.Alarmed:
		return sootline.Alarm{Category: sootline.AlarmCategory(row.Category), Cause: row.Cause, Text: row.Text, Attended: row.Attended}, hourHappened
	case listing.Faulty:
		return sootline.Fault{Cause: row.Cause, Text: joined(row.Told, row.Text)}, hourHappened
	case listing.Disabled:
		return sootline.Disabled{Cause: row.Cause, Text: row.Text}, hourDisabled
	case listing.Restored:
		return sootline.Restored{Text: text}, hourRestored
	}
	return sootline.Note{Text: strings.TrimSpace(row.Said + " " + text)}, hourHappened
}

// tested says how a test went; the listing's own words are kept with one that did not go well.
func tested(row *listing.EventRow, text string) sootline.Body {
	switch row.Outcome {
	case listing.Failed:
		return sootline.Tested{Failed: true, Text: joined(row.Told, text)}
	case listing.Missed:
		return sootline.Unreached{Text: joined(row.Told, text)}
	}
	return sootline.Tested{Text: text}
}

func joined(words ...string) string {
	return strings.Join(slices.DeleteFunc(words, func(w string) bool { return w == "" }), "; ")
}

// toldMoment is what was last asked of [taker.moment], and the answer: rows of one visit often have the same time.
type toldMoment struct {
	civil  listing.Civil
	hour   int
	zone   *time.Location
	moment sootline.Moment
	why    string
}

// moment places a date on the site's clock, or says why it cannot; a date without
// a time gets the hour, and is kept as a day.
func (t *taker) moment(c listing.Civil, hour int) (m sootline.Moment, why string) {
	if last := &t.told; last.civil != c || last.hour != hour || last.zone != t.zone {
		m, why = t.placed(c, hour)
		*last = toldMoment{c, hour, t.zone, m, why}
	}
	return t.told.moment, t.told.why
}

func (t *taker) placed(c listing.Civil, hour int) (m sootline.Moment, why string) {
	if !c.HasTime {
		return sootline.Moment{At: sootline.DayHour(c.Year, time.Month(c.Month), c.Day, hour, t.zone), Day: true}, ""
	}
	zone := t.zone
	if c.HasOffset {
		zone = time.FixedZone("", c.OffsetMinutes*60)
	}
	clock := sootline.Clock{Year: c.Year, Month: time.Month(c.Month), Day: c.Day, Hour: c.Hour, Minute: c.Minute, Second: c.Second, Nanosecond: c.Nanosecond}
	at, err := clock.In(zone)
	if err != nil {
		why = err.Error()
		if hint := sootline.ErrorHint(err); hint != "" {
			why += "; " + hint
		}
	}
	return sootline.Moment{At: at}, why
}

func (t *taker) day(at time.Time) string { return at.In(t.zone).Format(time.DateOnly) }
