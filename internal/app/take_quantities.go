package app

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/listing"
)

// quantityOf gives the name and unit of the quantity that a row is about; the
// unit may stand in the same cell, "sensitivity (%/ft)".
func quantityOf(row *listing.TypeRow) (name, unit string) {
	name, unit = sootline.SplitQuantity(row.Quantity)
	return name, cmp.Or(strings.TrimSpace(row.Unit), unit)
}

// begin gives the sheet that the first row of its type in a listing adds to. A row
// about another quantity than the known sheet's own adds to that sheet; any other
// begins a new one, which keeps the other quantities.
func begin(known *sootline.TypeSheet, row *listing.TypeRow) *sootline.TypeSheet {
	if known == nil {
		return &sootline.TypeSheet{Name: strings.TrimSpace(row.Name)}
	}
	if name, _ := quantityOf(row); !isOwn(known, name) {
		return known
	}
	return &sootline.TypeSheet{Name: strings.TrimSpace(row.Name), Others: known.Others}
}

// without gives a copy of a sheet that forgets what it says of a quantity which a
// listing is about to give anew.
func without(sheet *sootline.TypeSheet, name string) *sootline.TypeSheet {
	clone := *sheet
	if isOwn(sheet, name) {
		clone.Bands, clone.Worse, clone.PooledSD, clone.SpreadLimit, clone.FactoryRest = nil, "", nil, nil, nil
		return &clone
	}
	clone.Others = slices.Clone(sheet.Others)
	if q := clone.Other(name); q != nil {
		*q = sootline.Quantity{Name: q.Name} // it keeps its place
	}
	return &clone
}

// isOwn reports whether a name is that of the sheet's own quantity. The first
// quantity of a sheet is its own, and so is one that a row leaves unnamed.
func isOwn(sheet *sootline.TypeSheet, name string) bool {
	switch {
	case name == "" || sootline.TypeKey(name) == sootline.TypeKey(sheet.Quantity):
		return true
	case sootline.TypeKey(name) == sootline.TypeKey(sootline.CompensationUsed):
		return false
	}
	return sheet.Quantity == "" && len(sheet.Bands) == 0
}

// addQuantity adds what a row says of the value of its type: to the sheet's own
// quantity, or to another by its name.
func addQuantity(sheet *sootline.TypeSheet, row *listing.TypeRow) (err error) {
	name, unit := quantityOf(row)
	worse := sootline.Direction(row.Worse)
	if isOwn(sheet, name) {
		sheet.Quantity, sheet.Unit = cmp.Or(name, sheet.Quantity), cmp.Or(unit, sheet.Unit)
		sheet.Worse = cmp.Or(worse, sheet.Worse)
		figure(&sheet.PooledSD, row.Noise)
		figure(&sheet.SpreadLimit, row.Spread)
		figure(&sheet.FactoryRest, row.Rest)
		sheet.Bands, err = withBand(sheet.Bands, row)
		return err
	}
	q := sheet.Other(name)
	if q == nil {
		sheet.Others = append(sheet.Others, sootline.Quantity{Name: name})
		q = &sheet.Others[len(sheet.Others)-1]
	}
	q.Unit, q.Worse = cmp.Or(unit, q.Unit), cmp.Or(worse, q.Worse)
	figure(&q.PooledSD, row.Noise)
	figure(&q.SpreadLimit, row.Spread)
	figure(&q.Rest, row.Rest)
	q.Bands, err = withBand(slices.Clone(q.Bands), row)
	return err
}

// figure sets a figure that a row gives.
func figure(field *(*float64), given listing.Figure) {
	if given.Known {
		*field = &given.Value
	}
}

// settle puts a reading under the name that the sheet of its type has for what was
// read. One in another unit keeps its label, since a log book says what was
// read; the register turns it into the unit of the sheet. It says why a value of
// the type's own quantity looks mistyped.
func (t *taker) settle(o *TableOutcome, one *answering, record listing.Record, h *happening) string {
	read := h.body.(sootline.Read)
	settled := sootline.Reading{Samples: read.Samples, Quantity: read.Quantity}
	p, f := one.point, t.factsOf(one)
	switch sheet := f.sheet; {
	case sheet.Settle(&settled):
		if settled.Quantity != read.Quantity && slices.Equal(settled.Samples, read.Samples) {
			read.Quantity = settled.Quantity
			h.body = read
		}
	case record.Reading.UnitInCell && record.Reading.Quantity == "" && sheet != nil:
		return fmt.Sprintf("%v %s is no value of %s, which is read in %s; mend it, or write what it is beside it", read.Samples[0], record.Reading.Unit, p.Type, cmp.Or(sheet.Unit, "plain numbers"))
	case !t.unknown[p.Type+"\x00"+read.Quantity]:
		t.unknown[p.Type+"\x00"+read.Quantity] = true
		o.remark(record.Line, fmt.Sprintf("the sheet of type %s does not know the quantity %q: its readings are kept, and judged once a list of types has a row for it", cmp.Or(p.Type, "unknown"), read.Quantity))
	}
	if settled.Quantity != "" {
		return ""
	}
	if t.opts.AsIs {
		far(o, record.Line, p, f.band, settled.Samples)
		return ""
	}
	why := t.slip(p, f, settled.Samples)
	if why != "" {
		o.Doubted++
	} else {
		t.weighReading(o, record.Line, p, f, settled.Samples)
	}
	return why
}
