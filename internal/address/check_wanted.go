package address

import (
	"fmt"
	"slices"

	"sootline"
)

// meant finds numbers that several devices should have, and do not all have yet.
func (l *census) meant() []sootline.Finding {
	var findings []sootline.Finding
	for _, r := range shared(l.goals) {
		if !slices.ContainsFunc(r.takers, func(d taker) bool { return d.first != d.Wanted }) {
			continue // told as taken twice
		}
		findings = append(findings, l.finding(Meant, sootline.Serious, r.takers,
			fmt.Sprintf("%s on loop %s is wanted for %d devices, %s, and only one can have it", sootline.Capital(numbers(r.first, r.last)), l.LoopID, len(r.takers), names(r.takers)),
			l.wantAnother("one of them", r.takers[len(r.takers)-1].width)))
	}
	return findings
}

// wantAnother tells to want another number, as far as there is one.
func (l *census) wantAnother(who string, width int) sootline.Ways {
	number, ok := l.free(width)
	if !ok {
		return l.full()
	}
	return sootline.Out(fmt.Sprintf("want another number for %s, the lowest free is %d", who, number)).Do(sootline.AddEntry, string(sootline.AddressedKind)).
		Or("or plan the numbers of the loop").Do(sootline.PlanNumbers, l.LoopID.String())
}

// unable finds devices that should have a number, or stand at one, that cannot be: their
// switches or dials do not show it, or the loop does not allow it to be wanted.
func (l *census) unable() []sootline.Finding {
	span := Span{First: l.First, Last: l.Last, Unset: l.Unset, Reserved: l.Reserved}
	var findings []sootline.Finding
	add := func(code string, d taker, reason string) {
		findings = append(findings, l.finding(code, sootline.Serious, []taker{d}, reason,
			l.wantAnother("it", d.width)))
	}
	for _, d := range byNumber(l.devices) {
		most := d.setter.Most()
		switch last := d.Wanted + d.width - 1; {
		case d.Wanted == 0:
		case d.Wanted > most:
			add(Unable, d, fmt.Sprintf("%s should have number %d, and type %s can be set up to %d", name(d), d.Wanted, d.Type, most))
		case d.Wanted < d.setter.Least():
			add(Unable, d, fmt.Sprintf("%s should have number %d, and type %s can be set from %d on", name(d), d.Wanted, d.Type, d.setter.Least()))
		case d.Wanted == d.first && (d.Wanted < l.First || last > l.Last || l.isUnset(d)): // told already
		default:
			if err := span.Refuse(d.Wanted, d.width); err != nil {
				add(Outside, d, fmt.Sprintf("%s should have number %d: %v", name(d), d.Wanted, err))
			}
		}
		if n := d.Stands.Number; n != 0 && n != d.Wanted && n > d.setter.Shows() && !l.isUnset(d) {
			add(Unable, d, fmt.Sprintf("%s %s %d, and type %s can be set up to %d: another device answers there, or its type is another", name(d), standing(d), n, d.Type, d.setter.Shows()))
		}
	}
	return findings
}
