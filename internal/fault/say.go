package fault

import (
	"fmt"
	"strings"
)

// Where names where a fault is.
func (r *Ring) Where(kind Kind, at int) string {
	if kind.Gone() {
		return ""
	}
	if !kind.OfCable() {
		return "at " + r.Devices[at].Name
	}
	return r.Between(at)
}

// Between names a stretch.
func (r *Ring) Between(stretch int) string {
	from := "OUT"
	if stretch > 0 {
		from = r.Devices[stretch-1].Name
	}
	return "between " + from + " and " + r.endOf(stretch)
}

// Sure says a chance in words.
func Sure(share float64) string {
	switch {
	case share >= 0.97:
		return "almost certain"
	case share >= 0.9:
		return "very likely"
	case share >= 0.6:
		return "likely"
	case share >= 0.3:
		return "possible"
	}
	return "a guess among many"
}

// Say says a verdict in a sentence, with how sure it is in words and in per cent.
func (r *Ring) Say(v Verdict) string {
	what := strings.TrimSpace(v.Kind.String() + " " + r.Where(v.Kind, v.At))
	if v.Kind == Double && v.Other != None {
		what = fmt.Sprintf("the device at %s carries the number of %s", r.Devices[v.At].Name, r.Devices[v.Other].Name)
	}
	return fmt.Sprintf("%s: %s (%s)", what, Sure(v.Sure), percent(v.Sure))
}

// percent never says all or nothing of what is only likely.
func percent(share float64) string {
	switch p := 100 * share; {
	case p > 99:
		return "over 99 %"
	case p < 1:
		return "under 1 %"
	default:
		return fmt.Sprintf("%.0f %%", p)
	}
}

// Beyond says the share of two faults at once, or of one not thought of here.
func Beyond(share float64) string {
	return fmt.Sprintf("two faults or more, or one that is not thought of here: %s (%s)", Sure(share), percent(share))
}

// Restore says what is to be plugged in again where the search is left as it stands now; nothing where nothing is unplugged.
func (s *Search) Restore() []string {
	lines := s.plugIn(None)
	if s.stands.feed != Both {
		lines = append(lines, "Plug both ends of the loop in again at the panel.")
	}
	return lines
}

// plugIn says what is plugged in again before the cable behind another device, or none, is unplugged.
func (s *Search) plugIn(next int) []string {
	if now := s.stands.openAt; now != None && now != next {
		return []string{fmt.Sprintf("Plug the cable behind %s in again.", s.ring.Devices[now].Name)}
	}
	return nil
}

// Do says a step in sentences: what is put back, how the loop is to stand, and what to look at.
func (s *Search) Do(next Step) []string {
	lines := append(s.plugIn(next.OpenAt), stand(next.Feed))
	switch next.OpenAt {
	case None:
		lines = append(lines, "Nothing is unplugged along the loop.")
	case s.stands.openAt:
		lines = append(lines, fmt.Sprintf("Leave the cable behind %s unplugged.", s.ring.Devices[next.OpenAt].Name))
	default:
		lines = append(lines, fmt.Sprintf("Unplug the cable behind %s, the one that leads on towards IN.", s.ring.Devices[next.OpenAt].Name))
	}
	return append(lines, s.ring.look(next))
}

// stand says which ends are plugged in.
func stand(f Feed) string {
	switch f {
	case FromOut:
		return "Plug in OUT at the panel and leave IN unplugged."
	case FromIn:
		return "Plug in IN at the panel and leave OUT unplugged."
	case Off:
		return "Unplug both ends of the loop at the panel. The devices stay in."
	}
	return "Plug in both ends of the loop at the panel."
}

func (r *Ring) look(s Step) string {
	switch s.Look {
	case AtVolts:
		return fmt.Sprintf("Read the volts between plus and minus at %s, at its terminals towards %s.", r.Devices[s.At].Name, towards(s.ToIn))
	case AtOhms:
		return fmt.Sprintf("Hold the leads to %s %s and read the ohms.", [...]string{"plus and minus", "plus and earth", "minus and earth"}[s.Leads], r.hold(s))
	case AtDevice:
		return fmt.Sprintf("Look at %s: its clamps, its number, plus and minus, its head, its isolator. Put another of its type in, and compare.", r.Devices[s.At].Name)
	case AtStretch:
		return "Look along the cable " + r.Between(s.At) + ", joints and clamps at the panel included."
	}
	return "Read at the panel who answers, what it says, and the current of each end that is plugged in."
}

// hold says where the leads are held.
func (r *Ring) hold(s Step) string {
	switch {
	case s.OpenAt == None && s.ToIn:
		return "of the loop's OUT end at the panel"
	case s.OpenAt == None:
		return "of the loop's IN end at the panel"
	case s.ToIn:
		return "of the cable that was unplugged behind " + r.Devices[s.OpenAt].Name
	}
	return "at the terminals of " + r.Devices[s.OpenAt].Name + " from which the cable was unplugged"
}

func towards(in bool) string {
	if in {
		return "IN"
	}
	return "OUT"
}

// Caution is what is minded in a step; empty where nothing is unplugged.
func Caution(s Step) string {
	if s.Feed == Both && s.OpenAt == None {
		return ""
	}
	if s.Look == AtOhms {
		return "Before the leads are held: both ends unplugged, no volts between them. The ohms of a multimeter only, never an insulation tester: it destroys the devices."
	}
	return "What is unplugged detects nothing: somebody keeps watch there until it is plugged in again."
}

// Expects says how an answer to a step is written.
func Expects(s Step) string {
	switch s.Look {
	case AtVolts:
		return "the volts, for example 23.6"
	case AtOhms:
		return "the ohms, for example 12.4, or over"
	case AtDevice, AtStretch:
		return "what is seen: " + strings.Join(seenWords[:], ", ")
	}
	return "any of: all; none; silent 16-29; answers 1-15; says " + strings.Join(messageWords[:], ", ") + "; out 42; in 38 (mA), divided by semicolons"
}
