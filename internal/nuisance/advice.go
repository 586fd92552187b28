package nuisance

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/count"
)

// Advice is something to try next, with what in the record calls for it.
type Advice struct {
	sootline.Way
	Because string
}

// Caution is to be shown wherever advice on alarms is.
const Caution = "Never raise a threshold, widen a band or disable a point to silence alarms without a decision of somebody competent, written down. " +
	"An alarm is a fire until somebody has looked."

// remedy is what usually helps against causes that hold one of the words.
// Common practice, no source.
type remedy struct {
	words []string
	text  string
}

func remedies() []remedy {
	return []remedy{
		{
			[]string{"cooking", "cook", "toast", "toaster", "oven", "frying", "burnt"},
			"keep the door shut and the extraction on while they cook; move the detector away from the cooker, or ask the designer whether a heat or a multi-sensor detector will do there",
		},
		{
			[]string{"steam", "shower", "kettle", "dishwasher", "condensation", "humidity"},
			"draw the steam off and keep doors shut; move the detector away from where it comes out, or ask the designer for a kind that steam does not disturb",
		},
		{
			[]string{"dust", "dusty", "flour", "sawdust", "works", "building", "grinding"},
			"clean the detectors there and read them before and after; cover them or take them out of use, with a fire watch, while dusty work lasts; clean that area more often",
		},
		{
			[]string{"insect", "insects", "spider"},
			"clean the chamber, look for how insects get in, and treat the room",
		},
		{
			[]string{"smoking", "cigarette", "cigarettes", "vaping", "vape"},
			"agree with the people there where smoking is allowed, and put up a sign",
		},
		{
			[]string{"exhaust", "fumes", "welding", "soldering"},
			"hot work only by permit, with the points near it out of use and a fire watch; engines off indoors; ask the designer for a kind that exhaust does not disturb",
		},
		{
			[]string{"aerosol", "spray", "deodorant", "paint", "painting", "candle", "candles", "incense", "fog"},
			"tell the people there what sets the detector off, and agree on where and when it may be used",
		},
		{
			[]string{"water", "leak", "corrosion"},
			"find where the water comes from before the device is changed; look at its base and at the cable glands",
		},
	}
}

func remedyFor(cause string) string {
	for _, r := range remedies() {
		for _, word := range count.WordsOf(cause) {
			if slices.Contains(r.words, word) {
				return r.text
			}
		}
	}
	return ""
}

// advise says what to try next, from what the record shows; the weightiest
// first.
func (r *Report) advise() []Advice {
	var all []Advice
	for _, add := range []func() []Advice{r.onDrift, r.onPoints, r.onCauses, r.onCategories, r.onHours, r.onRecord} {
		all = append(all, add()...)
	}
	return all
}

func (r *Report) onDrift() []Advice {
	if r.Drift.Outside == 0 {
		return nil
	}
	var names []string
	for _, d := range r.Drift.List {
		if name := d.Point.Ref().String(); !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return []Advice{{
		sootline.Way{Text: "clean these detectors, or replace those that cleaning no longer helps: " + some(names)},
		r.Drift.Reason,
	}}
}

// onPoints speaks of devices that repeat without a cause that explains it.
func (r *Report) onPoints() []Advice {
	var names []string
	for i := range r.Points {
		p := &r.Points[i]
		if p.Alarms >= 2 && p.More() && !r.explained(p.Point) {
			names = append(names, p.Name)
		}
	}
	if len(names) == 0 {
		return nil
	}
	return []Advice{{
		sootline.Way{Text: "exchange the head with that of a quiet point of the same type, and write it down: if the alarms follow the head, replace it; if they stay, look for the cause at the place: " + some(names)},
		"more alarms than chance would heap on one device, and nobody named a cause that the surroundings explain",
	}}
}

func (r *Report) explained(p *sootline.Point) bool {
	return slices.ContainsFunc(r.Incidents, func(in Incident) bool {
		return in.First().Point == p && remedyFor(in.First().Cause) != ""
	})
}

// onCauses gives the usual remedy for each cause that came twice or more, or
// that made up all there was.
func (r *Report) onCauses() []Advice {
	var all []Advice
	said := map[string]bool{}
	for _, c := range r.Causes {
		text := remedyFor(c.Name)
		if text == "" || said[text] || c.Incidents < 2 && len(r.Incidents) > 1 {
			continue
		}
		said[text] = true
		all = append(all, Advice{sootline.Way{Text: text}, fmt.Sprintf("%s: %s%s", c.Name, plural(c.Incidents, "incident"), r.whereOf(c.Name))})
	}
	return all
}

// whereOf names the areas of a cause.
func (r *Report) whereOf(cause string) string {
	var areas []string
	for _, in := range r.Incidents {
		area := in.First().Area()
		if strings.EqualFold(in.First().Cause, cause) && area != "" && !slices.Contains(areas, area) {
			areas = append(areas, area)
		}
	}
	if len(areas) == 0 {
		return ""
	}
	return " in " + some(areas)
}

func (r *Report) onCategories() []Advice {
	var all []Advice
	texts := map[sootline.AlarmCategory]string{
		sootline.Malicious:  "look at who can reach the call points concerned: a cover, a better place in sight of somebody, or a word with those who use the building",
		sootline.GoodIntent: "thank whoever raised it; show people what to do and whom to ask, since nothing is wrong with the system",
		sootline.Equipment:  "look at the faults and readings of these devices before the next visit, and at what they have in common: type, batch, branch of the loop",
	}
	for _, c := range r.ByCategory {
		if text := texts[c.Category]; text != "" && c.Incidents > 0 {
			all = append(all, Advice{sootline.Way{Text: text}, fmt.Sprintf("%s: %s", c.Category, plural(c.Incidents, "incident"))})
		}
	}
	return all
}

func (r *Report) onHours() []Advice {
	for _, list := range [][]Repeat{r.Hours, r.Weekdays} {
		for i := range list {
			if list[i].More() {
				return []Advice{{
					sootline.Way{Text: "look at what goes on at that time: cleaning, cooking, heating that starts, deliveries"},
					fmt.Sprintf("%s: %s where %.2g would fall by chance", list[i].Name, plural(list[i].Incidents, "incident"), list[i].Expected),
				}}
			}
		}
	}
	return nil
}

func (r *Report) onRecord() []Advice {
	unsorted := 0
	for _, c := range r.ByCategory {
		if c.Category == count.Unknown {
			unsorted = c.Alarms
		}
	}
	if unsorted == 0 {
		return nil
	}
	return []Advice{{
		sootline.Way{Text: "find out and write down why: who was there will know soonest; then correct the entry", Use: sootline.CorrectEntry},
		fmt.Sprintf("of %s nobody wrote down the cause", plural(unsorted, "alarm")),
	}}
}

// some names the first few.
func some(names []string) string {
	const most = 5
	if len(names) > most {
		return strings.Join(names[:most], ", ") + fmt.Sprintf(" and %d more", len(names)-most)
	}
	return cmp.Or(strings.Join(names, ", "), "-")
}
