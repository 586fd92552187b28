package app

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/ear"
)

// shownScale is what values of a point can be; an end that is not known is nil.
type shownScale struct{ least, most *float64 }

// What a type's scale can show, as far as nothing better is known: ten times the upper end of its band either side of zero, for an
// alarm is a few times a resting value, and a thousand of a share without a band. Chosen here, no source.
const (
	timesBand = 10
	mostShare = 1000
)

// scaleAt gives what the values of a place can be: as the mapping says; else from the type's band and unit. A share is not below
// zero, unless its band is.
func scaleAt(r *sootline.Register, p *sootline.Point, place *ear.Place) shownScale {
	s := shownScale{place.Least, place.Most}
	sheet := r.Sheet(p.Type)
	if sheet == nil || !typesUnit(sheet, place.Unit) {
		return s
	}
	most, share := math.Inf(1), strings.HasPrefix(strings.TrimSpace(sheet.Unit), "%")
	low := 0.0
	if share {
		most = mostShare
	}
	if band := sheet.Band(p.Settings()); band != nil {
		if band.High != nil && *band.High != 0 {
			most = timesBand * math.Abs(*band.High)
		}
		if band.Low != nil {
			low = *band.Low
		}
	}
	if math.IsInf(most, 1) {
		return s
	}
	least := -most
	if share && low >= 0 {
		least = 0
	}
	if s.least == nil {
		s.least = &least
	}
	if s.most == nil {
		s.most = &most
	}
	return s
}

// typesUnit reports whether a mapping's unit is the type's; one that is left out is.
func typesUnit(sheet *sootline.TypeSheet, unit string) bool {
	return unit == "" || sheet == nil || sheet.Unit == "" || strings.EqualFold(strings.TrimSpace(unit), strings.TrimSpace(sheet.Unit))
}

// shows reports whether a value can be.
func (s shownScale) shows(v float64) bool {
	return (s.least == nil || v >= *s.least) && (s.most == nil || v <= *s.most)
}

// beyond tells of values that their scale cannot show, each point once until it shows one again. It is called with the lock held, and
// gives what is to be said; empty: nothing new.
func (h *ValueHearer) beyond(point string, v float64, shown bool) string {
	i := slices.IndexFunc(h.off, func(o string) bool { return strings.HasPrefix(o, point+" ") })
	if shown {
		if i >= 0 {
			h.off = slices.Delete(h.off, i, i+1)
		}
		return ""
	}
	if i >= 0 {
		return ""
	}
	h.off = append(h.off, fmt.Sprintf("%s (%g)", point, v))
	said := strings.Join(h.off[:min(len(h.off), beyondMost)], ", ")
	if more := len(h.off) - beyondMost; more > 0 {
		said += fmt.Sprintf(" and %d more", more)
	}
	return h.kept.Name + ": more or less than the type's scale can show, and not kept: " + said
}

// beyondMost is how many points are named.
const beyondMost = 5
