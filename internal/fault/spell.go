package fault

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"sootline"
)

// How steps are spelled, so that a search can be left and gone on with: FEED[/PLUG]/LOOK, for example out/list,
// in/1.2.014/list, both/volts-in=1.2.030, off/plus-earth-in, both/look=1.2.014, both/trace=IN.
var (
	feedWords  = [...]string{Both: "both", FromOut: "out", FromIn: "in", Off: "off"}
	leadsWords = [...]string{Cores: "ohms", PlusEarth: "plus-earth", MinusEarth: "minus-earth"}
)

// Spell spells a step.
func (r *Ring) Spell(s Step) string {
	text := feedWords[s.Feed]
	if s.OpenAt != None {
		text += "/" + r.Devices[s.OpenAt].Name
	}
	way := "-out"
	if s.ToIn {
		way = "-in"
	}
	switch s.Look {
	case AtVolts:
		return text + "/volts" + way + "=" + r.Devices[s.At].Name
	case AtOhms:
		return text + "/" + leadsWords[s.Leads] + way
	case AtDevice:
		return text + "/look=" + r.Devices[s.At].Name
	case AtStretch:
		return text + "/trace=" + r.endOf(s.At)
	}
	return text + "/list"
}

// endOf names the end of a stretch.
func (r *Ring) endOf(stretch int) string {
	if stretch == len(r.Devices) {
		return "IN"
	}
	return r.Devices[stretch].Name
}

// Step reads what [Ring.Spell] spells.
func (r *Ring) Step(text string) (Step, error) {
	wrong := sootline.Errorf(sootline.Invalid, "for example out/list or both/volts-in=1.2.030", "%q is not a step", text)
	s := Step{OpenAt: None}
	parts := strings.Split(strings.TrimSpace(text), "/")
	feed := slices.Index(feedWords[:], parts[0])
	if feed < 0 || len(parts) < 2 || len(parts) > 3 {
		return s, wrong
	}
	s.Feed = Feed(feed)
	var err error
	if len(parts) == 3 {
		if s.OpenAt, err = r.device(parts[1]); err != nil {
			return s, err
		}
	}
	look, at, _ := strings.Cut(parts[len(parts)-1], "=")
	switch name, toIn := strings.CutSuffix(look, "-in"); {
	case toIn:
		look, s.ToIn = name, true
	default:
		look = strings.TrimSuffix(look, "-out")
	}
	switch leads := slices.Index(leadsWords[:], look); {
	case leads >= 0 && s.Feed == Off:
		s.Look, s.Leads = AtOhms, Leads(leads)
	case s.Feed == Off && (look == "look" || look == "trace" || look == "list"):
		return s, sootline.Errorf(sootline.Invalid, "tell it as the step was asked, for example both/look=1.1.004", "%q looks at the panel, a device or a cable with both ends unplugged, which no step asks for", text)
	case leads >= 0 || s.Feed == Off:
		return s, sootline.Errorf(sootline.Invalid, "measure ohms with off, all else fed", "%q measures ohms on what is fed, or looks for volts where nothing is", text)
	case look == "list":
	case look == "volts":
		s.Look = AtVolts
		s.At, err = r.device(at)
	case look == "look":
		s.Look = AtDevice
		s.At, err = r.device(at)
	case look == "trace":
		s.Look, s.At = AtStretch, len(r.Devices)
		if at != "IN" {
			s.At, err = r.device(at)
		}
	default:
		return s, wrong
	}
	return s, err
}

// device finds a device by its name, or by its number alone.
func (r *Ring) device(name string) (int, error) {
	name = strings.TrimSpace(name)
	for k, d := range r.Devices {
		if d.Name == name || sameName(d.Name, name) {
			return k, nil
		}
	}
	if number, err := strconv.Atoi(name); err == nil {
		for k := range r.Devices {
			if !r.Devices[k].Mute && r.number(k) == number {
				return k, nil
			}
		}
	}
	if root, ok := r.spurs[name]; ok {
		return 0, sootline.Errorf(sootline.Invalid, "look along the spur by hand", "%s hangs on the spur at %s, and the search does not look along spurs", name, r.Devices[root].Name)
	}
	return 0, sootline.Errorf(sootline.NotFound, "name a device on the ring, by its reference or its number", "no device %q is on the ring", name)
}

// sameName says whether two references have the same parts, zeros before a number apart: 1.1.007 and 1.1.7.
func sameName(a, b string) bool {
	parts, others := strings.Split(a, "."), strings.Split(b, ".")
	if len(parts) != len(others) || len(parts) < 2 {
		return false
	}
	for i := range parts {
		if strings.TrimLeft(parts[i], "0") != strings.TrimLeft(others[i], "0") {
			return false
		}
	}
	return true
}

// number is the last part of a device's name; 0 where that is none.
func (r *Ring) number(k int) int {
	return numberOf(r.Devices[k].Name)
}

func numberOf(name string) int {
	n, _ := strconv.Atoi(name[strings.LastIndex(name, ".")+1:])
	return n
}

// toDash lets a range be written in words or with a longer dash.
var toDash = strings.NewReplacer(" to ", "-", " – ", "-", "–", "-", " - ", "-", " and ", ",")

// onSpur says whether a point that hangs on a spur is meant, by its name or its number alone.
func (r *Ring) onSpur(name string) bool {
	number, err := strconv.Atoi(name)
	for spur := range r.spurs {
		if spur == name || sameName(spur, name) || err == nil && numberOf(spur) == number {
			return true
		}
	}
	return false
}

// list reads devices as 3,7,16-29 or by their names, and says of each device whether it is on it.
func (r *Ring) list(text string) ([]bool, error) {
	on := make([]bool, len(r.Devices))
	for part := range strings.FieldsFuncSeq(toDash.Replace(text), func(c rune) bool { return c == ',' || c == ' ' }) {
		from, to, isRange := strings.Cut(part, "-")
		if !isRange {
			if r.onSpur(part) { // the panel's list has it; what hangs there is not searched
				continue
			}
			k, err := r.device(part)
			if err != nil {
				return nil, err
			}
			on[k] = true
			continue
		}
		low, err1 := strconv.Atoi(from[strings.LastIndex(from, ".")+1:])
		high, err2 := strconv.Atoi(to[strings.LastIndex(to, ".")+1:])
		if err1 != nil || err2 != nil || low > high {
			return nil, sootline.Errorf(sootline.Invalid, "for example 16-29", "%q is not from one number to another", part)
		}
		for k := range r.Devices {
			on[k] = on[k] || r.number(k) >= low && r.number(k) <= high
		}
	}
	return on, nil
}

// unread is an answer of which nothing was read.
func unread() Answer {
	return Answer{Message: Unread, Twice: None, OutMA: math.NaN(), InMA: math.NaN(), Volts: math.NaN(), Ohms: math.NaN()}
}
