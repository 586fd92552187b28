package listings

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"time"

	"sootline"
)

// Formats lists the formats.
func Formats() []string {
	return []string{"csv", "text", "xlsx", "ods", "html", "json", "jsonl", "zip"}
}

// Languages lists the languages.
func Languages() []string {
	var all []string
	for _, l := range languages() {
		all = append(all, l.name)
	}
	return all
}

// Layouts lists the layouts.
func Layouts() []string {
	var all []string
	for _, l := range layouts() {
		all = append(all, l.name)
	}
	return all
}

// openShare is one in how many listings holds something that nobody can settle without asking. It is a choice,
// made before any intake was scored: most of what is handed over can be understood by who looks closely.
const openShare = 16

// mostSpoilings is how many spoilings a listing may have beside.
const mostSpoilings = 3

// maker makes one listing.
type maker struct {
	rng    *rand.Rand
	site   *site
	lang   *language
	layout layout
	format string
	dates  string          // how days are written
	flags  map[string]bool // spoilings drawn
	done   map[string]bool // of those, the ones that changed something
	style  refStyle
}

// Make draws a listing: the same seed gives the same bytes.
func Make(seed uint64) Listing {
	rng := rand.New(rand.NewPCG(seed, 0x5eed))
	return draw(seed, rng, pick(rng, layouts()...), pick(rng, Formats()...), pick(rng, languages()...))
}

// MakeOf draws a listing of one layout, format and language; what is left empty is drawn too.
func MakeOf(seed uint64, name, format, tongueName string) Listing {
	rng := rand.New(rand.NewPCG(seed, 0x5eed))
	all, tongues := layouts(), languages()
	chosen, drawn, tongue := pick(rng, all...), pick(rng, Formats()...), pick(rng, tongues...)
	if format != "" {
		drawn = format
	}
	if at := slices.IndexFunc(all, func(l layout) bool { return l.name == name }); at >= 0 {
		chosen = all[at]
	}
	if at := slices.IndexFunc(tongues, func(l *language) bool { return l.name == tongueName }); at >= 0 {
		tongue = tongues[at]
	}
	return draw(seed, rng, chosen, drawn, tongue)
}

func draw(seed uint64, rng *rand.Rand, chosen layout, format string, tongue *language) Listing {
	m := &maker{rng: rng, lang: tongue, layout: chosen, format: format, flags: map[string]bool{}, done: map[string]bool{}}
	m.drawSpoilings()
	m.site = newSite(rng, m.plan())
	m.dates = m.drawDates()
	m.style = m.drawStyle()
	tables := chosen.tables(m)
	m.spoilTables(tables)
	doc := chosen.arrange(m, tables)
	doc.named = strings.Contains(chosen.name, "a sheet a")
	m.spoilDocument(doc)
	m.settleDates(doc)
	name, data := m.write(doc)
	return Listing{
		Seed: seed, Layout: chosen.name, Language: tongue.name, Format: format, Spoilings: m.spoiled(),
		Name: name, Data: data, Site: m.site.entries, Truth: m.truth(doc),
	}
}

// plan is what the layout asks of its site, and what the spoilings do.
func (m *maker) plan() plan {
	p := m.layout.plan
	p.languages = m.lang
	if m.layout.kind == scheduleKind && p.filled == empty {
		p.filled = pick(m.rng, empty, empty, empty, partial, partial, full)
	}
	if m.flags["rename"] && p.filled == empty {
		p.filled = partial
	}
	p.marks = m.flags["separators in cells"]
	p.tenths = p.tenths || m.flags["decimals"] || m.flags["decimals unquoted"]
	return p
}

// drawDates chooses how days are written.
func (m *maker) drawDates() string {
	if m.flags["days either way"] {
		return "02/01/2006"
	}
	if m.flags["days mangled"] {
		return "02/01/2006"
	}
	return pick(m.rng, m.lang.dates...)
}

// bySlash reports a way of writing days in which day and month may be taken for one another.
func bySlash(layout string) bool {
	return strings.HasPrefix(layout, "02/01") || strings.HasPrefix(layout, "01/02") || strings.HasPrefix(layout, "02-01")
}

// settleDates writes days as year, month, day where no row would tell the day from the month, except where that
// is the point of the listing.
func (m *maker) settleDates(d *document) {
	if !bySlash(m.dates) || m.flags["days either way"] {
		return
	}
	for _, s := range d.sheets {
		for _, r := range s.rows {
			for _, c := range r.cells {
				if c != nil && c.kind == dateCell && c.layout == "" && c.day.Time().Day() > 12 && !s.hidden && !r.hidden {
					return
				}
			}
		}
	}
	m.dates = time.DateOnly
}

// truth gathers what the document states; where days can be read either way, nothing of a day is certain.
func (m *maker) truth(d *document) Truth {
	t := d.truth()
	if m.done["days either way"] {
		t.openDays("the days can be read as day and month or as month and day")
	}
	return t
}

// openDays turns every fact of a day into something open.
func (t *Truth) openDays(says string) {
	if len(t.Readings)+len(t.Events) == 0 {
		return
	}
	var at Cell
	for _, f := range t.Readings {
		at = f.Cell
	}
	for _, f := range t.Events {
		at = f.Cell
	}
	t.Readings, t.Events = nil, nil
	t.Open = append(t.Open, Open{Cell: at, Says: says})
}

// spoiled lists the spoilings that changed something, by name.
func (m *maker) spoiled() []string {
	var all []string
	for name, done := range m.done {
		if done {
			all = append(all, name)
		}
	}
	slices.Sort(all)
	return all
}

// head makes a heading.
func (m *maker) head(concept string) *cell {
	all := m.lang.spellings(concept)
	if m.flags["synonyms"] && len(all) > 1 {
		m.done["synonyms"] = true
		return words(pick(m.rng, all[1:]...))
	}
	return words(all[0])
}

// word gives the usual word of a concept.
func (m *maker) word(concept string) string { return m.lang.spellings(concept)[0] }

// anyWord gives one of its words.
func (m *maker) anyWord(concept string) string { return pick(m.rng, m.lang.spellings(concept)...) }

// valueHead is the heading of a column of values.
func (m *maker) valueHead(concept string) *cell {
	c := m.head(concept)
	if m.flags["units in headings"] && m.site.unit != "" {
		m.done["units in headings"] = true
		c.text += fmt.Sprintf(" (%s)", m.site.unit)
	}
	return c
}

// newDays draws n days of the listing, in order, later than the history; the first settles day and month.
func (m *maker) newDays(n int) []sootline.Day {
	if m.flags["days either way"] {
		m.done["days either way"] = true
		month := 1 + m.rng.IntN(11)
		return slices.Repeat([]sootline.Day{sootline.Date(2024, time.Month(month), month+1)}, n)
	}
	days := []sootline.Day{sootline.Date(2024, time.Month(1+m.rng.IntN(12)), 13+m.rng.IntN(16))}
	apart := 60
	if n > 3 { // a list of events is of about a year
		apart = 12
	}
	for len(days) < n {
		days = append(days, days[len(days)-1]+sootline.Day(apart+m.rng.IntN(apart)))
	}
	return days
}

// stated names a device as facts do.
func (m *maker) stated(d *device) Stated {
	s := Stated{Ref: m.site.ref(d, len(m.site.panels) > 1 || m.knows())}
	if d.known {
		s.ID = d.id
	}
	return s
}

// knows reports whether the site's log names its panel.
func (m *maker) knows() bool {
	return slices.ContainsFunc(m.site.devices, func(d *device) bool { return d.known })
}

// reading is the fact that a value was read.
func (m *maker) reading(d *device, day sootline.Day, value float64) ReadingFact {
	return ReadingFact{Stated: m.stated(d), From: dayText(day), Value: value}
}

// read makes a cell that states a reading.
func (m *maker) read(d *device, day sootline.Day) *cell {
	v := m.site.value(d)
	return m.valueCell(v).stating(m.reading(d, day, v))
}

func (m *maker) valueCell(v float64) *cell {
	c := number(v, m.site.decimals)
	m.done["decimals"] = m.flags["decimals"]
	if m.layout.plan.percent {
		c.kind = percentCell
	}
	return c
}
