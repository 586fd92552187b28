package listings

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"sootline"
)

// happening is what an entry says that happened to a point.
type happening struct {
	kind        sootline.Kind
	failed      bool
	cause, text string
	category    sootline.AlarmCategory
	attended    bool
	serial      string
}

// happened reads an entry as something that happened; ok is false for other entries.
func happened(e *sootline.Entry) (h happening, ok bool) {
	h.kind = e.Body.Kind()
	switch b := e.Body.(type) {
	case sootline.Tested:
		h.failed, h.text = b.Failed, b.Text
	case sootline.Cleaned:
		h.text = b.Text
	case sootline.Rebased:
		h.text = b.Text
	case sootline.Restored:
		h.text = b.Text
	case sootline.Removed:
		h.text = b.Text
	case sootline.Replaced:
		h.text, h.serial = b.Text, b.Serial
	case sootline.Fault:
		h.cause, h.text = b.Cause, b.Text
	case sootline.Disabled:
		h.cause, h.text = b.Cause, b.Text
	case sootline.Alarm:
		h.cause, h.text, h.category, h.attended = b.Cause, b.Text, b.Category, b.Attended
	default:
		return h, false
	}
	return h, true
}

// compareEvents compares what was written as having happened with what is stated.
func (s *scorer) compareEvents() {
	written := make([]int, len(s.truth.Events))
	for _, e := range s.fresh {
		h, ok := happened(e)
		if !ok {
			s.compareOther(e)
			continue
		}
		day := sootline.DayOf(e.At, s.zone).String()
		at := s.eventFact(e, h, day, written)
		if at < 0 {
			s.misread(Stated{Ref: s.refOf(e)}, "no such event", fmt.Sprintf("%s at %s on %s", h.kind, s.refOf(e), day))
			continue
		}
		written[at]++
		s.compareEvent(s.truth.Events[at], h)
	}
	for i, f := range s.truth.Events {
		if written[i] == 0 && !s.sameWritten(i, written) {
			s.lacks(f.Stated, fmt.Sprintf("%s at %s on %s", f.Kind, f.Ref, f.Day))
		}
	}
}

// eventFact finds what states an entry, of those not yet written.
func (s *scorer) eventFact(e *sootline.Entry, h happening, day string, written []int) int {
	fits := func(f EventFact) bool {
		return f.Kind == h.kind && f.Day == day && !e.Point.Zero() && s.subject(f.Stated) == e.Point
	}
	best := -1
	for i, f := range s.truth.Events {
		if written[i] > 0 || !fits(f) {
			continue
		}
		if best < 0 || f.Failed == h.failed && s.truth.Events[best].Failed != h.failed {
			best = i
		}
	}
	return best
}

// sameWritten reports whether another fact that says the same was written: two channels of a point are tested once.
func (s *scorer) sameWritten(i int, written []int) bool {
	want := s.truth.Events[i]
	for j, f := range s.truth.Events {
		f.Cell, f.Stated = want.Cell, want.Stated
		if written[j] > 0 && s.subject(s.truth.Events[j].Stated) == s.subject(want.Stated) && f == want {
			return true
		}
	}
	return false
}

func (s *scorer) refOf(e *sootline.Entry) string {
	if p := s.after.Point(e.Point); p != nil {
		return p.Ref().String()
	}
	return "the site"
}

// compareEvent compares what is stated of an event.
func (s *scorer) compareEvent(f EventFact, h happening) {
	switch {
	case f.Failed != h.failed:
		s.misread(f.Stated, outcome(f.Failed), outcome(h.failed))
	case f.Category != h.category && h.category != "":
		s.misread(f.Stated, fmt.Sprintf("category %q", f.Category), fmt.Sprintf("%q", h.category))
	case f.Category != h.category:
		s.lacks(f.Stated, fmt.Sprintf("category %q", f.Category))
	case h.attended && !f.Attended:
		s.misread(f.Stated, "the fire service did not come", "it came")
	case f.Attended && !h.attended:
		s.lacks(f.Stated, "the fire service came")
	case f.Serial != "" && h.serial == "":
		s.lacks(f.Stated, "serial "+f.Serial)
	case f.Serial != h.serial:
		s.misread(f.Stated, "serial "+f.Serial, h.serial)
	case f.Cause != "" && h.cause+h.text == "":
		s.lacks(f.Stated, "cause "+f.Cause)
	case f.Cause != "" && !sameCause(f.Cause, h.cause) && !sameCause(f.Cause, h.text):
		s.misread(f.Stated, "cause "+f.Cause, h.cause+h.text)
	}
}

func outcome(failed bool) string {
	if failed {
		return "a failed test"
	}
	return "a passed test"
}

// sameCause lets a cause stand in another language, or within more words.
func sameCause(want, have string) bool {
	if have == "" {
		return false
	}
	if strings.Contains(folded(have), folded(want)) {
		return true
	}
	for _, concept := range []string{"cooking", "steam", "dust"} {
		all := strings.FieldsFunc(folded(concepts[concept]), func(c rune) bool { return c == '|' || c == ',' })
		if slices.Contains(all, folded(want)) && slices.Contains(all, folded(have)) {
			return true
		}
	}
	return false
}

// compareOther looks at entries that are neither readings nor events: those that state more than a listing can are
// misreadings.
func (s *scorer) compareOther(e *sootline.Entry) {
	switch b := e.Body.(type) {
	case sootline.Read, sootline.Fitted, sootline.Moved, sootline.Addressed, sootline.Set, sootline.Note:
		// compared by what the register became; a note changes nothing
	case sootline.Sheet:
		s.compareSheet(b.TypeSheet)
	case sootline.LoopFacts:
		s.compareLoop(b)
	case sootline.AreaFacts:
		if b.M2 != 0 {
			s.misread(Stated{}, "no size of an area", b.Area)
		}
	default:
		s.misread(Stated{Ref: s.refOf(e)}, "no entry of kind "+string(e.Body.Kind()), "one")
	}
}

// compareSheet compares a type sheet: one that the site has may not change, and a new one states no more than the listing.
func (s *scorer) compareSheet(sheet sootline.TypeSheet) {
	old := s.before.Sheet(sheet.Name)
	for _, f := range s.truth.Types {
		if folded(f.Name) == folded(sheet.Name) {
			s.compareType(f, &sheet)
			return
		}
	}
	if old != nil {
		if !reflect.DeepEqual(*old, sheet) {
			s.misread(Stated{}, "the type sheet "+sheet.Name+" as it was", "another")
		}
		return
	}
	named := slices.ContainsFunc(s.truth.Points, func(f PointFact) bool { return hasType(f.Types, sheet.Name) })
	if !named || len(sheet.Bands) > 0 || sheet.StandbyMA != nil || sheet.LifeYears != nil {
		s.misread(Stated{}, "no such type sheet", sheet.Name)
	}
}

// compareType compares a type with what a list of types states.
func (s *scorer) compareType(f TypeFact, sheet *sootline.TypeSheet) {
	at := Stated{Cell: f.Cell, Ref: f.Name}
	switch {
	case sheet.Kind == "" && f.Device != "":
		s.lacks(at, "kind "+string(f.Device)+" of type "+f.Name)
	case sheet.Kind != f.Device:
		s.misread(at, "kind "+string(f.Device)+" of type "+f.Name, string(sheet.Kind))
	}
	var band sootline.Band
	if b := sheet.Band(nil); b != nil {
		band = *b
	}
	for _, limit := range []struct {
		name       string
		want, have *float64
	}{{"low limit", f.Low, band.Low}, {"high limit", f.High, band.High}, {"alarm level", f.Alarm, band.Alarm}} {
		switch {
		case limit.want == nil && limit.have == nil:
		case limit.have == nil:
			s.lacks(at, fmt.Sprintf("%s %g of type %s", limit.name, *limit.want, f.Name))
		case limit.want == nil || !near(*limit.want, *limit.have):
			s.misread(at, limit.name+" of type "+f.Name+" as listed", fmt.Sprint(*limit.have))
		}
	}
}

// compareLoop compares what is said of a loop: one that is described may not change, and a new one must be stated.
func (s *scorer) compareLoop(b sootline.LoopFacts) {
	id := sootline.LoopID{Panel: sootline.CleanName(b.Panel), Name: sootline.CleanName(b.Loop)}
	if s.before.Described(id) {
		if !reflect.DeepEqual(s.before.Loop(id), s.after.Loop(id)) {
			s.misread(Stated{}, "loop "+id.String()+" as it was", "another span")
		}
		return
	}
	stated := slices.ContainsFunc(s.truth.Points, func(f PointFact) bool {
		ref, err := sootline.ParseRef(f.Ref)
		return err == nil && ref.Loop == id.Name && (ref.Panel == "" || ref.Panel == id.Panel)
	})
	if !stated {
		s.misread(Stated{}, "no loop "+id.String(), "one")
	}
}

// compareFacts compares numbers found and types.
func (s *scorer) compareFacts() {
	for _, f := range s.truth.Numbers {
		p := s.after.Point(s.subject(f.Stated))
		if p == nil || p.Found != f.Found {
			s.lacks(f.Stated, fmt.Sprintf("found at %d", f.Found))
		}
	}
	for _, f := range s.truth.Types {
		if s.after.Sheet(f.Name) == nil {
			s.lacks(Stated{Cell: f.Cell, Ref: f.Name}, "type "+f.Name)
		}
	}
}

// countEvents counts how often the listing states an event of a point.
func (s *scorer) countEvents(id sootline.ID, kind sootline.Kind) int {
	n := 0
	for _, f := range s.truth.Events {
		if f.Kind == kind && s.subject(f.Stated) == id {
			n++
		}
	}
	return n
}
