package nuisance

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/count"
)

// Repeat is a point, area, cause, hour or day of the week that incidents come
// from, and whether that is more than chance would heap up there.
type Repeat struct {
	Name      string
	Point     *sootline.Point // nil for others than points
	Alarms    int
	Incidents int
	Expected  float64 // incidents, if they fell on all alike; 0 for causes, which have no such share
	P         float64 // chance that this one gets so many, times the number looked at; 1 for causes
}

// More reports whether it is more than chance, with all that were looked at
// taken into account (Bonferroni: the error rate is shared out over them).
func (r *Repeat) More() bool { return r.P <= significance && float64(r.Incidents) > r.Expected }

// counter counts alarms and incidents by what they have in common.
type counter struct {
	all   map[string]*Repeat
	total int
}

// countBy counts incidents by the keys of their alarms; an incident counts once
// for each key among them. An alarm without a key does not count.
func countBy(incidents []Incident, key func(*Alarm) string) counter {
	c := counter{all: map[string]*Repeat{}}
	for i := range incidents {
		seen := map[string]bool{}
		for j := range incidents[i].Alarms {
			k := key(&incidents[i].Alarms[j])
			if k == "" {
				continue
			}
			if c.all[k] == nil {
				c.all[k] = &Repeat{Name: k, P: 1}
			}
			c.all[k].Alarms++
			if !seen[k] {
				c.all[k].Incidents++
			}
			seen[k] = true
		}
		if len(seen) > 0 {
			c.total++
		}
	}
	return c
}

// weigh works out what chance would do: share is that of a key among looked
// many.
func (c counter) weigh(looked int, share func(key string) float64) counter {
	for key, r := range c.all {
		if s := share(key); s > 0 {
			r.Expected = float64(c.total) * s
			r.P = min(1, float64(looked)*binomialAtLeast(r.Incidents, c.total, s))
		}
	}
	return c
}

// list gives them, those with most incidents first.
func (c counter) list() []Repeat {
	var all []Repeat
	for _, r := range c.all {
		all = append(all, *r)
	}
	slices.SortFunc(all, func(a, b Repeat) int {
		return cmp.Or(b.Incidents-a.Incidents, b.Alarms-a.Alarms, strings.Compare(a.Name, b.Name))
	})
	return all
}

// points counts by device. Chance spreads incidents over all that can alarm,
// call points too, by how long they were there.
func (rec *Record) points(s Span, incidents []Incident) []Repeat {
	byKey := map[string]*sootline.Point{}
	key := func(a *Alarm) string {
		if a.Point == nil {
			return ""
		}
		k := a.Point.Ref().String() + "\x00" + a.Point.ID.String()
		byKey[k] = a.Point
		return k
	}
	whole := float64(s.present(rec.tenures))
	list := countBy(incidents, key).weigh(len(rec.tenures), func(k string) float64 {
		i, known := rec.byPoint[byKey[k].ID]
		if !known || whole == 0 {
			return 0
		}
		return float64(rec.tenures[i].within(s).Milliseconds()) / whole
	}).list()
	for i := range list {
		list[i].Point = byKey[list[i].Name]
		list[i].Name = list[i].Point.Ref().String()
	}
	return list
}

// areas counts by area; chance spreads incidents by the devices in each.
func (rec *Record) areas(s Span, incidents []Incident) []Repeat {
	whole := float64(s.present(rec.tenures))
	known := map[string]float64{}
	for _, t := range rec.tenures {
		known[(&count.Signal{Point: t.point}).Area()] += float64(t.within(s).Milliseconds())
	}
	return countBy(incidents, (*Alarm).Area).weigh(len(known), func(area string) float64 {
		if whole == 0 {
			return 0
		}
		return known[area] / whole
	}).list()
}

// causesOf counts by cause as it was written, capitals aside.
func causesOf(incidents []Incident) []Repeat {
	return countBy(incidents, func(a *Alarm) string { return strings.ToLower(a.Cause) }).list()
}

// block is how many hours are looked at together: of single hours there are so
// many that hardly any heap would count as more than chance.
const block = 3

// hours counts by the part of the day; alarms whose hour nobody wrote are left
// out.
func (rec *Record) hours(incidents []Incident) []Repeat {
	return countBy(incidents, func(a *Alarm) string {
		if !rec.timed(a) {
			return ""
		}
		from := a.At.In(rec.Zone).Hour() / block * block
		return fmt.Sprintf("%02d:00 to %02d:00", from, from+block)
	}).weigh(24/block, func(string) float64 { return block / 24.0 }).list()
}

// weekdays counts by the day of the week.
func (rec *Record) weekdays(incidents []Incident) []Repeat {
	return countBy(incidents, func(a *Alarm) string { return a.At.In(rec.Zone).Weekday().String() }).
		weigh(7, func(string) float64 { return 1.0 / 7 }).list()
}
