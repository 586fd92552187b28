package app

import (
	"fmt"
	"strings"

	"sootline"
	"sootline/internal/listing"
)

// takeFound notes at which number each device was found. A list without a day is of today.
func (t *taker) takeFound(o *TableOutcome) error {
	undated := false
	err := t.records(o, func(record listing.Record) error {
		row := record.Found
		at := sootline.Moment{At: t.now}
		if row.When.Year != 0 {
			var why string
			if at, why = t.moment(row.When, hourHappened); why != "" {
				return t.refuse(o, record, why)
			}
		} else {
			undated = true
		}
		one, why := t.at(row.Ref, at.At, sootline.AddressedKind)
		if why != "" {
			return t.refuse(o, record, why)
		}
		p := one.point
		if p.Stands.As == sootline.AsFound && p.Stands.Number == row.Number {
			o.Same++
			return nil
		}
		said := asFound(t.r, p, row.Number)
		if row.Remark != "" {
			said.Text = joined(said.Text, row.Remark)
		}
		e, err := t.entry(at, p.ID, strings.TrimSpace(row.By), said)
		if err != nil {
			return err
		}
		v, err := t.say(o, e)
		o.count(v, 1)
		return err
	})
	if undated {
		o.remark(0, fmt.Sprintf("no day is given: the numbers are noted as found on %s", t.day(t.now)))
	}
	return err
}
