package address

import (
	"fmt"
	"slices"

	"sootline"
)

// HowSetting is the setting of a type sheet that says how a number is set.
const HowSetting = "address"

// HowUnsaid is the code of the finding that it is not written down, or cannot be
// read.
const HowUnsaid = "number-how"

// Setters lists every way of setting that can be written down.
func Setters() []Setter {
	var all []Setter
	for _, switches := range []int{7, 8} {
		for _, high := range []bool{false, true} {
			for _, zero := range []bool{false, true} {
				all = append(all, Setter{How: Switches, Switches: switches, HighFirst: high, OnIsZero: zero})
			}
		}
	}
	return append(all, Setter{How: Dials, TensTo: 9}, Setter{How: Dials, TensTo: 15}, Setter{How: Electronic}, Setter{How: CodedBase})
}

// Words says in words how a number is set.
func (s Setter) Words() string {
	switch s.How {
	case Switches:
		first, on := 1, "ON counts"
		if s.HighFirst {
			first = 1 << (s.Switches - 1)
		}
		if s.OnIsZero {
			on = "OFF counts"
		}
		return fmt.Sprintf("%d switches, the first counts %d, %s", s.Switches, first, on)
	case Dials:
		return fmt.Sprintf("dials of tens and units, tens to %d", s.TensTo)
	case Electronic:
		return "with a hand-held setter, or from the panel"
	case CodedBase:
		return "a coded part in the base"
	}
	return "not written down"
}

// SetterOf reads how the number of a type is set from its sheet; a sheet that does
// not say gives Unknown.
func SetterOf(sheet *sootline.TypeSheet) (Setter, error) {
	text, ok := "", false
	if sheet != nil {
		text, ok = sheet.Settings[HowSetting]
	}
	if !ok {
		return Setter{}, nil
	}
	s, err := ParseSetter(text)
	if err != nil {
		return Setter{}, sootline.Errorf(sootline.Invalid, "", "type sheet of %s: %w", sheet.Name, err)
	}
	return s, nil
}

// TypeHow is how the number of a type is set, and who is of it.
type TypeHow struct {
	Type   string
	Points []*sootline.Point
	Setter Setter
	Err    error  // the sheet says something that cannot be read
	Said   string // what it says
}

// Unsaid reports that nobody wrote down how the number is set, in words that can be
// read.
func (t *TypeHow) Unsaid() bool { return t.Setter.How == Unknown }

// TypeHows lists the types of the register's devices that take a number, in the
// order of their first devices.
func TypeHows(r *sootline.Register) []TypeHow {
	var all []TypeHow
	index := map[string]int{}
	for _, p := range r.Points() {
		key, sheet := sootline.TypeKey(p.Type), r.Sheet(p.Type)
		if key == "" || sheet != nil && sheet.Kind == sootline.Isolator && p.Number() == 0 {
			continue
		}
		i, known := index[key]
		if !known {
			i = len(all)
			index[key] = i
			setter, err := SetterOf(sheet)
			all = append(all, TypeHow{Type: p.Type, Setter: setter, Err: err, Said: saidHow(sheet)})
		}
		all[i].Points = append(all[i].Points, p)
	}
	return all
}

func saidHow(sheet *sootline.TypeSheet) string {
	if sheet == nil {
		return ""
	}
	return sheet.Settings[HowSetting]
}

// HowAsked lists the types of which it is to be asked how their number is set.
func HowAsked(r *sootline.Register) []TypeHow {
	return slices.DeleteFunc(TypeHows(r), func(t TypeHow) bool { return !t.Unsaid() })
}

// Ask says that it is not known how the number of the type is set, and what to do.
func (t *TypeHow) Ask() (reason string, ways sootline.Ways) {
	ways = sootline.Out("say how it is set").Do(sootline.SayHowSet, t.Type)
	if t.Err != nil {
		return t.Err.Error(), ways
	}
	return fmt.Sprintf("how a number is set on type %s is not written down, so its cards show no picture", t.Type), ways
}

// CheckHow finds the types whose sheet does not say how a number is set, one finding
// a type; a type without a sheet has another finding.
func CheckHow(r *sootline.Register) []sootline.Finding {
	var findings []sootline.Finding
	for _, t := range HowAsked(r) {
		if r.Sheet(t.Type) == nil {
			continue
		}
		reason, ways := t.Ask()
		findings = append(findings, sootline.Finding{Code: HowUnsaid, Weight: sootline.Hint, Points: t.Points, Reason: reason, WayOut: ways})
	}
	return findings
}
