package listings

import (
	"encoding/binary"
	"time"

	"sootline"
)

// handover is when the site was fitted.
var handover = time.Date(2020, 5, 4, 10, 0, 0, 0, time.UTC)

// write makes the log of the site.
func (s *site) write(p plan) {
	s.note(handover.AddDate(0, 0, -3), sootline.ID{}, sootline.Opened{Name: "Mill House", Zone: s.zone.String()})
	if p.filled != empty || s.rng.IntN(2) == 0 {
		for i := range s.types {
			s.note(handover.AddDate(0, 0, -2), sootline.ID{}, s.sheet(&s.types[i]))
		}
	}
	if p.filled != empty {
		for _, loop := range s.loops {
			s.note(handover.AddDate(0, 0, -2), sootline.ID{}, sootline.LoopFacts{
				Panel: loop.Panel, Loop: loop.Name, First: 1, Last: 126, Unset: 127, Separate: s.separate,
			})
		}
	}
	for i, d := range s.devices {
		d.id = s.id(handover, uint64(i)+1<<32)
		if d.known {
			s.fitDevice(d, i)
		}
	}
	s.history()
}

// fitDevice says that a device was there at the handover.
func (s *site) fitDevice(d *device, turn int) {
	place := sootline.Place{Panel: d.panel, Loop: d.loop, Order: turn + 1, Zone: d.zone, Location: d.place, Metres: &d.metres}
	s.note(handover, d.id, sootline.Fitted{Place: place, Type: d.typ.name, Unit: sootline.Unit{Serial: d.serial}})
	s.note(handover, d.id, sootline.Addressed{Wanted: d.number})
}

// history says what was read at the visits.
func (s *site) history() {
	for _, day := range s.visits {
		y, m, n := day.Time().Date()
		at := sootline.DayHour(y, m, n, 9, s.zone)
		for _, d := range s.detectors() {
			if d.known && s.rng.IntN(8) > 0 {
				s.note(at, d.id, sootline.Read{Samples: []float64{s.value(d)}})
			}
		}
	}
}

// sheet is the type sheet of a type at this site.
func (s *site) sheet(t *kindOfType) sootline.Sheet {
	sheet := sootline.TypeSheet{Name: t.name, Kind: t.device}
	if t.detector() {
		low, high := s.fit(t.low), s.fit(t.high)
		sheet.Unit = s.unit
		sheet.Bands = []sootline.Band{{Low: &low, High: &high}}
	}
	return sootline.Sheet{TypeSheet: sheet}
}

// note adds an entry.
func (s *site) note(at time.Time, point sootline.ID, body sootline.Body) {
	s.seq++
	s.entries = append(s.entries, sootline.Entry{
		ID: s.id(at, uint64(s.seq)), Site: s.id(handover, 1), At: sootline.Instant(at), Day: true, Noted: sootline.Instant(at),
		By: "N. Lead", Station: "office", Seq: s.seq, Point: point, Body: body,
	})
}

// id gives the same identity for the same thing of the same site.
func (s *site) id(at time.Time, n uint64) sootline.ID {
	return sootline.DerivedID(at, binary.BigEndian.AppendUint64(binary.BigEndian.AppendUint64(nil, s.salt), n))
}
