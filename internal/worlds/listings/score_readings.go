package listings

import (
	"fmt"
	"strings"

	"sootline"
)

// statement is one thing stated about readings, once or several times.
type statement struct {
	fact    ReadingFact
	subject sootline.ID
	rows    map[string]int // how often by row
	entries []*sootline.Entry
}

// need is how often it must be written: rows that say the same may be one.
func (s *statement) need() (least, most int) {
	for _, n := range s.rows {
		least, most = max(least, n), most+n
	}
	return least, most
}

// compareReadings compares what was written as read with what is stated.
func (s *scorer) compareReadings() {
	all := s.statements()
	for _, e := range s.fresh {
		if _, ok := e.Body.(sootline.Read); ok {
			s.compareRead(e, all)
		}
	}
	for _, st := range all {
		least, most := st.need()
		switch n := len(st.entries); {
		case n < least:
			s.lacks(st.fact.Stated, fmt.Sprintf("%g read at %s on %s", st.fact.Value, st.fact.Ref, st.fact.From))
		case n > most:
			s.misread(st.fact.Stated, fmt.Sprintf("%g read %d times", st.fact.Value, most), fmt.Sprint(n, " times"))
		}
	}
	s.compareApart(all)
}

// statements gathers the facts that say the same.
func (s *scorer) statements() []*statement {
	type key struct {
		subject  sootline.ID
		ref      string
		from, to string
		value    float64
		apart    string
	}
	byKey, all := map[key]*statement{}, []*statement{}
	for _, f := range s.truth.Readings {
		k := key{s.subject(f.Stated), "", f.From, f.To, f.Value, f.Apart}
		if k.subject.Zero() {
			k.ref = f.Ref
		}
		if byKey[k] == nil {
			byKey[k] = &statement{fact: f, subject: k.subject, rows: map[string]int{}}
			all = append(all, byKey[k])
		}
		byKey[k].rows[rowOfCell(f.Cell)]++
	}
	return all
}

// compareRead finds what states each sample of a reading.
func (s *scorer) compareRead(e *sootline.Entry, all []*statement) {
	reading, at := s.settled(e)
	day := sootline.DayOf(e.At, s.zone).String()
	for _, sample := range reading.Samples {
		st := s.stating(e, day, sample, all)
		if st == nil {
			s.misread(at, "no such reading", fmt.Sprintf("%g read at %s on %s", sample, at.Ref, day))
			continue
		}
		st.entries = append(st.entries, e)
		s.compareQuantity(st, reading, e)
	}
}

// settled gives a reading as the register has it, and where it is.
func (s *scorer) settled(e *sootline.Entry) (sootline.Reading, Stated) {
	p := s.after.Point(e.Point)
	if p != nil {
		for _, r := range p.Readings {
			if r.Entry == e || r.Entry.ID == e.ID {
				return r, Stated{Ref: p.Ref().String()}
			}
		}
	}
	read := e.Body.(sootline.Read)
	return sootline.Reading{At: e.At, Samples: read.Samples, Quantity: read.Quantity}, Stated{}
}

// stating finds what states a sample of a point, first what is not yet written as often as it is stated, and of those what
// is as sure as what was written: "found >50, left 50" states 50 once as a bound, and once as a value.
func (s *scorer) stating(e *sootline.Entry, day string, sample float64, all []*statement) *statement {
	var found, open *statement
	bound := saysBeyond(e.Body.(sootline.Read).Remark)
	for _, st := range all {
		if st.subject.Zero() || st.subject != e.Point || !near(st.fact.Value, sample) || day < st.fact.From || day > st.fact.last() {
			continue
		}
		switch _, most := st.need(); {
		case len(st.entries) >= most:
			found = st
		case st.fact.Beyond == bound:
			return st
		case open == nil:
			open = st
		}
	}
	if open != nil {
		return open
	}
	return found
}

// compareQuantity compares of what a value was read.
func (s *scorer) compareQuantity(st *statement, reading sootline.Reading, e *sootline.Entry) {
	right := reading.Quantity == ""
	for _, q := range st.fact.Quantity {
		right = right || folded(q) == folded(reading.Quantity)
	}
	if len(st.fact.Quantity) > 0 && reading.Quantity == "" {
		right = false
	}
	if !right {
		s.misread(st.fact.Stated, "a value of the quantity "+quantities(st.fact.Quantity), fmt.Sprintf("%q", reading.Quantity))
	}
	if st.fact.Beyond && !saysBeyond(e.Body.(sootline.Read).Remark) {
		s.misread(st.fact.Stated, fmt.Sprintf("more than %g, which is no value", st.fact.Value), fmt.Sprintf("%g", st.fact.Value))
	}
}

func quantities(names []string) string {
	if len(names) == 0 {
		return "of the type itself"
	}
	return strings.Join(names, " or ")
}

// saysBeyond reports a remark that says that the value is only a bound.
func saysBeyond(remark string) bool {
	for _, word := range []string{">", "more", "over", "above", "beyond", "at least", "off the scale"} {
		if strings.Contains(strings.ToLower(remark), word) {
			return true
		}
	}
	return false
}

// compareApart sees that values which are no samples of one look are not written as such, and that what was found
// comes before what was left, with a cleaning of the day between.
func (s *scorer) compareApart(all []*statement) {
	for _, first := range all {
		for _, second := range all {
			if first == second || first.fact.Apart == "" || second.fact.Apart == "" || first.fact.Apart == second.fact.Apart ||
				first.subject != second.subject || first.fact.From != second.fact.From {
				continue
			}
			s.compareTwo(first, second)
		}
	}
}

func (s *scorer) compareTwo(first, second *statement) {
	for _, a := range first.entries {
		for _, b := range second.entries {
			ordered := first.fact.Apart == "found" && second.fact.Apart == "left"
			switch {
			case a.ID == b.ID:
				s.misread(second.fact.Stated, first.fact.Apart+" and "+second.fact.Apart+" apart", "samples of one look")
			case ordered && !a.At.Before(b.At):
				s.misread(second.fact.Stated, "what was left after what was found", "it comes first")
			case ordered:
				s.compareBetween(first.subject, a, b, second.fact.Stated)
			}
		}
	}
}

// compareBetween sees that a cleaning of the day stands between the two values.
func (s *scorer) compareBetween(subject sootline.ID, found, left *sootline.Entry, at Stated) {
	for _, e := range s.fresh {
		if _, ok := e.Body.(sootline.Cleaned); !ok || e.Point != subject || sootline.DayOf(e.At, s.zone) != sootline.DayOf(found.At, s.zone) {
			continue
		}
		if e.At.Before(found.At) || e.At.After(left.At) {
			s.misread(at, "the cleaning between the two values", "it is not between them")
		}
	}
}
