package listings

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"time"

	"sootline"
)

// kindOfType is a type of device that a site may have. Names are invented; spelled are other ways in which people
// write them.
type kindOfType struct {
	name      string
	device    sootline.DeviceKind
	low, high float64
	spelled   []string
}

// typePool lists the types. Bands are in counts, and are scaled where a site reads in another unit.
func typePool() []kindOfType {
	return []kindOfType{
		{"Larchom", sootline.Smoke, 20, 44, []string{"LARCHOM", "larchom", "Larchom.", "Larch-om"}},
		{"Elderic", sootline.Heat, 12, 30, []string{"ELDERIC", "Elderic ", "elderic", "Elder-ic"}},
		{"Hazelot", sootline.Multi, 24, 46, []string{"HAZELOT", "Hazelot.", "hazelot", "Hazel-ot"}},
		{"Quincor", sootline.Smoke, 18, 38, []string{"QUINCOR", "quincor", "Quincor.", "Quin-cor"}},
		{"Medlarn", sootline.Gas, 40, 60, []string{"MEDLARN", "medlarn", "Medlarn.", "Medl-arn"}},
		{"Bramwell H", sootline.Heat, 14, 32, []string{"BRAMWELL H", "bramwell h", "Bramwell-H", "BramwellH"}},
		{"Sorrelo", sootline.CallPoint, 0, 0, []string{"SORRELO", "sorrelo", "Sorrelo.", "Sorr-elo"}},
		{"Tansum", sootline.Module, 0, 0, []string{"TANSUM", "tansum", "Tansum.", "Tan-sum"}},
	}
}

// device is a point of a site, with the unit there.
type device struct {
	id          sootline.ID
	panel, loop string
	number      int
	typ         kindOfType
	zone, place string
	serial      string
	metres      float64
	rest        float64 // its usual resting value, in the unit of the site
	known       bool    // the site's log has it
}

// site is an invented site: what is there, and how much of it the log knows.
type site struct {
	rng      *rand.Rand
	zone     *time.Location
	panels   []string
	loops    []sootline.LoopID
	types    []kindOfType
	devices  []*device
	unit     string
	decimals int
	scale    float64 // of a count, in the unit
	separate bool
	visits   []sootline.Day // of the history
	entries  []sootline.Entry
	seq      int64
	salt     uint64 // tells one site's identities from another's
}

// filling is how much of a site its log knows before the listing comes.
type filling byte

const (
	full filling = iota
	partial
	empty
)

// plan is what a layout asks of its site.
type plan struct {
	filled    filling
	onePanel  bool
	twoLoops  bool // at least two loops
	separate  bool
	percent   bool
	tenths    bool // values have decimals
	marks     bool // places hold commas, semicolons and quotes
	languages *language
}

// newSite draws a site.
func newSite(rng *rand.Rand, p plan) *site {
	zones := []string{"Europe/London", "Europe/Berlin", "UTC", "Europe/Madrid"}
	zone, err := time.LoadLocation(zones[rng.IntN(len(zones))])
	if err != nil {
		zone = time.UTC
	}
	s := &site{rng: rng, zone: zone, scale: 1, separate: p.separate, salt: rng.Uint64()}
	switch {
	case p.percent:
		s.unit = "%"
	case rng.IntN(8) == 0:
		s.unit, s.decimals, s.scale = "dB/m", 2, 0.004 // about 0.05 to 0.2, as smoke detectors have (EN 54-7 speaks of dB/m; from memory)
	case p.tenths:
		s.decimals = 1
	}
	s.drawLoops(p)
	s.drawTypes()
	s.drawDevices(p)
	s.drawVisits()
	s.write(p)
	return s
}

// drawLoops draws panels and loops.
func (s *site) drawLoops(p plan) {
	panels := pick(s.rng, 1, 1, 1, 1, 2, 2, 3)
	if p.onePanel {
		panels = 1
	}
	for i := range panels {
		panel := strconv.Itoa(i + 1)
		s.panels = append(s.panels, panel)
		loops := 1 + s.rng.IntN(3)
		if p.twoLoops {
			loops = 2 + s.rng.IntN(2)
		}
		for j := range loops {
			s.loops = append(s.loops, sootline.LoopID{Panel: panel, Name: strconv.Itoa(j + 1)})
		}
	}
}

// drawTypes chooses the types: always a smoke detector, and always something that is read nowhere.
func (s *site) drawTypes() {
	pool := typePool()
	s.types = append(s.types, pool[0])
	for _, t := range pool[1:6] {
		if s.rng.IntN(2) == 0 {
			s.types = append(s.types, t)
		}
	}
	s.types = append(s.types, pool[6], pool[7])
}

// detector reports a type that is read.
func (t *kindOfType) detector() bool { return t.device.Judged() }

// drawDevices fits devices along the loops.
func (s *site) drawDevices(p plan) {
	rooms := p.languages.spellings("rooms")
	each := max(4, (10+s.rng.IntN(70))/len(s.loops))
	zone := 0
	for _, loop := range s.loops {
		next := map[bool]int{true: 1 + s.rng.IntN(5), false: 1 + s.rng.IntN(5)}
		for i := range each {
			if i%6 == 0 {
				zone++
			}
			d := &device{panel: loop.Panel, loop: loop.Name, typ: s.drawType(i), zone: strconv.Itoa(zone)}
			range1 := !s.separate || d.typ.detector()
			d.number = next[range1]
			next[range1] += 1 + s.rng.IntN(2)
			d.place = fmt.Sprintf("%s %d", rooms[s.rng.IntN(len(rooms))], len(s.devices)+1)
			if p.marks && i%2 == 0 {
				d.place = pick(s.rng, `Bay 1, post 1, "north"; `, "A; ", "B, C; ") + d.place
			}
			d.serial = fmt.Sprintf("K%d", 40000+len(s.devices)*37+s.rng.IntN(30))
			d.metres = float64(3+s.rng.IntN(25)) + 0.5*float64(s.rng.IntN(2))
			d.rest = s.fit(d.typ.low + (d.typ.high-d.typ.low)*(0.25+0.4*s.rng.Float64()))
			s.devices = append(s.devices, d)
		}
	}
	for i, d := range s.devices {
		d.known = p.filled == full || p.filled == partial && i%3 != 2
	}
}

// drawType gives most points a detector.
func (s *site) drawType(i int) kindOfType {
	switch {
	case i%7 == 3:
		return s.types[len(s.types)-2]
	case i%9 == 5:
		return s.types[len(s.types)-1]
	}
	return s.types[s.rng.IntN(len(s.types)-2)]
}

// fit turns counts into the site's unit, rounded as it is shown.
func (s *site) fit(counts float64) float64 {
	to := math.Pow10(s.decimals)
	return math.Round(counts*s.scale*to) / to
}

// drawVisits lays out the visits of the history: none, or up to four.
func (s *site) drawVisits() {
	for i := range s.rng.IntN(5) {
		s.visits = append(s.visits, sootline.Date(2021+i/2, time.Month(2+6*(i%2)), 14+s.rng.IntN(14)))
	}
}

// value draws what a device shows now.
func (s *site) value(d *device) float64 {
	return s.fit(d.rest/s.scale + float64(s.rng.IntN(5)-2) + s.tenth())
}

// tenth keeps values with decimals from all being whole.
func (s *site) tenth() float64 {
	if s.decimals == 0 {
		return 0
	}
	return float64(1+s.rng.IntN(9)) / 10
}

// detectors lists the devices that are read.
func (s *site) detectors() []*device {
	var all []*device
	for _, d := range s.devices {
		if d.typ.detector() {
			all = append(all, d)
		}
	}
	return all
}

// ref is the reference by which facts name the device.
func (s *site) ref(d *device, stated bool) string {
	r := sootline.Ref{Panel: d.panel, Loop: d.loop, Number: d.number}
	if !stated {
		r.Panel = ""
	}
	return r.String()
}

// pick chooses one of several.
func pick[T any](rng *rand.Rand, of ...T) T { return of[rng.IntN(len(of))] }
