package worlds

import (
	"cmp"
	"slices"
	"strings"
	"time"
)

// signal is one fire signal, sorted.
type signal struct {
	f        fact
	class    string
	attended bool
	walk     bool // on the round of a visit that lasted: a test of the point
}

// causes are the words that this recount understands, a few of each class; a log that is recounted uses no others.
var causes = map[string]string{
	"cooking": "unwanted", "steam": "unwanted", "dust": "unwanted", "toast": "unwanted", "welding": "unwanted",
	"insects": "unwanted", "exhaust": "unwanted", "loose wire": "equipment", "water": "equipment",
	"prank": "malicious", "vandalism": "malicious", "hoax": "malicious",
	"test": "test", "weekly test": "test", "fire": "fire", "real fire": "fire",
}

// signal sorts one alarm by what was written, then its cause, then the visit that lasted.
func (s *site) signal(f fact) signal {
	var b struct {
		Category, Cause, Text string
		Attended              bool
	}
	s.body(f, &b)
	round, during, perhaps := s.during(f)
	class := cmp.Or(b.Category, causes[strings.ToLower(strings.TrimSpace(b.Cause))])
	if class == "" {
		switch {
		case during && round:
			class = "test"
		case during || perhaps:
			class = "to be asked"
		default:
			class = textClass(b.Text)
		}
	}
	return signal{f: f, class: class, attended: b.Attended, walk: class == "test" && during && round}
}

// textClass is what the words of an alarm tell; a text alone never takes one off the count.
func textClass(text string) string {
	class := causes[strings.ToLower(strings.TrimSpace(text))]
	if class == "" || class == "fire" || class == "test" {
		return "not known"
	}
	return class
}

// during says whether a visit lasted at an alarm and had its point on the round; perhaps: only the day of the alarm is
// known, and a visit lasted on it.
func (s *site) during(f fact) (round, during, perhaps bool) {
	for _, v := range s.visits {
		switch {
		case f.day:
			d := s.day(f.at)
			perhaps = perhaps || !d.Before(s.day(v.from)) && !d.After(s.day(v.to))
		case !f.at.Before(v.from) && !f.at.After(v.to):
			during = true
			round = round || f.point != "" && slices.Contains(v.round, f.point)
		}
	}
	return round, during, perhaps
}

// counts says whether a signal counts as a false alarm.
func (g signal) counts() bool {
	return g.class != "fire" && g.class != "test" && g.class != "to be asked"
}

// alarms counts the signals of the twelve months to the instant.
func (s *site) alarms(all []signal, fig *Figures) {
	from := monthsOn(s.day(s.at), -12)
	first := map[string]time.Time{}
	fig.Categories = map[string]Count{}
	for _, g := range all {
		if !s.day(g.f.at).After(from) {
			continue
		}
		fig.Signals++
		switch g.class {
		case "fire":
			fig.Fires++
		case "test":
			fig.TestSignals++
		case "to be asked":
			fig.Asked++
		}
		if !g.counts() {
			continue
		}
		fig.FalseAlarms++
		if g.attended {
			fig.Attended++
		}
		at := s.where(g.f)
		begun, ok := first[at]
		c := fig.Categories[g.class]
		c.Alarms++
		fig.Categories[g.class] = c
		if ok && g.f.at.Sub(begun) < 24*time.Hour {
			continue
		}
		first[at] = g.f.at
		c.Incidents++
		fig.Categories[g.class] = c
		fig.Incidents++
	}
}

// where is the place by which alarms are one incident.
func (s *site) where(f fact) string {
	p := s.points[f.point]
	switch {
	case f.point == "":
		return "entry " + f.id
	case p == nil:
		return "point " + f.point
	case p.area != "":
		return "area " + p.area
	case p.zone != "":
		return "zone " + p.zone
	}
	return "point " + f.point
}
