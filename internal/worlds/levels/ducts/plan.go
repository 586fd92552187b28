package ducts

import "slices"

// plan is what a scenario is made of. Rates are for a point and year, unless said.
type plan struct {
	name       string
	points     [2]int
	visits     [2]int
	months     []int   // from one visit to the next
	missed     float64 // chance that a visit was not made
	uses       []use
	kinds      []kind
	lumps      float64 // sizes, as a multiple of the usual
	bursts     float64
	humid      float64 // swing of the season, in rooms of the band
	second     float64 // chance that a room gets a second shift
	offset     float64 // of a visit, standard deviation in rooms of the band
	instrument float64 // chance that a visit was made with another instrument
	works      float64 // chance for a room
	worksNoted float64
	half       float64 // chances of a cleaning: only half; its day wrong; not written
	wrongDay   float64
	unwritten  float64
	routine    float64 // chance that a point is cleaned though it need not be
	swaps      float64
	swapNoted  float64
	slips      float64 // chances for a reading
	neighbours float64
	stuck      float64
	noisy      float64
	rescaled   float64 // chance for a type
	reNoted    float64
	late       float64 // share of points that were fitted later than the site
	unread     float64 // chance that a point is left out of a visit
	samples    int     // most samples of a reading
}

// usual is what every scenario has of everything: no site is clean.
func usual(name string) plan {
	return plan{
		name: name, points: [2]int{60, 250}, visits: [2]int{6, 16}, months: []int{6, 6, 12}, missed: 0.03,
		uses: []use{office(), corridor(), kitchen(), workshop(), duct(), store()}, kinds: []kind{counts(), falling(), percent(), obscuration()},
		lumps: 1, bursts: 1, humid: 0.015, offset: 0.008, instrument: 0.01, works: 0.02, worksNoted: 0.5,
		half: 0.08, wrongDay: 0.04, unwritten: 0.05, routine: 0.02, swaps: 0.01, swapNoted: 0.8,
		slips: 0.003, neighbours: 0.001, stuck: 0.001, noisy: 0.002, late: 0.1, unread: 0.04, samples: 1,
	}
}

// plans lists the scenarios: what each changes of the usual.
func plans() []plan {
	var all []plan
	for _, s := range slices.Concat(dustScenarios(), recordScenarios(), sizeScenarios()) {
		p := usual(s.name)
		s.change(&p)
		all = append(all, p)
	}
	return all
}

type scenario struct {
	name   string
	change func(*plan)
}

// dustScenarios differ in how dust comes and what it does.
func dustScenarios() []scenario {
	return []scenario{
		{"offices", func(p *plan) { p.uses = []use{office(), corridor(), store()} }},
		{"lumps", func(p *plan) { p.lumps, p.bursts, p.uses = 3, 2.5, []use{workshop(), duct(), corridor()} }},
		{"harvest", func(p *plan) { p.uses, p.humid, p.bursts = []use{barn(), barn(), store()}, 0.06, 1.5 }},
		{"seasons", func(p *plan) { p.humid, p.months = 0.13, []int{3, 6} }},
		{"second-shift", func(p *plan) { p.second, p.uses = 0.5, []use{workshop(), corridor(), office(), store()} }},
		{"accelerating", func(p *plan) {
			p.kinds, p.uses = []kind{greedy()}, []use{kitchen(), workshop(), corridor(), office(), store()}
		}},
		{"saturating", func(p *plan) {
			p.kinds, p.uses = []kind{saturating(), saturating(), saturatingShort()}, []use{workshop(), duct(), kitchen(), corridor()}
		}},
		{"compensated", func(p *plan) {
			p.kinds, p.uses = []kind{compensated(), compensatedFalling(), reserveUsed()}, []use{workshop(), duct(), kitchen(), corridor()}
		}},
		{"cells", func(p *plan) { p.kinds, p.swaps = []kind{cell(), counts()}, 0.03 }},
	}
}

// recordScenarios differ in what was done, and what was written of it.
func recordScenarios() []scenario {
	return []scenario{
		{"offsets", func(p *plan) { p.offset, p.instrument = 0.035, 0.3 }},
		{"works", func(p *plan) { p.works, p.worksNoted = 0.3, 0.35 }},
		{"half-cleaned", func(p *plan) {
			p.half, p.wrongDay, p.unwritten, p.routine = 0.45, 0.25, 0.25, 0.06
			p.uses = []use{workshop(), duct(), kitchen(), corridor(), office(), store()}
		}},
		{"slips", func(p *plan) { p.slips, p.neighbours = 0.025, 0.015 }},
		{"swapped", func(p *plan) { p.swaps, p.swapNoted = 0.08, 0.3 }},
		{"rescaled", func(p *plan) { p.rescaled, p.reNoted = 0.7, 0.4 }},
		{"stuck-and-noisy", func(p *plan) { p.stuck, p.noisy, p.samples = 0.02, 0.025, 6 }},
	}
}

// sizeScenarios differ in how many points there are, and how often they were read.
func sizeScenarios() []scenario {
	return []scenario{
		{"gaps", func(p *plan) { p.missed, p.months, p.unread = 0.4, []int{6, 9}, 0.2 }},
		{"young", func(p *plan) {
			p.visits, p.late, p.uses = [2]int{2, 3}, 0.7, []use{workshop(), barn(), duct(), office()}
		}},
		{"many-readings", func(p *plan) {
			p.visits, p.months, p.samples = [2]int{24, 30}, []int{3, 4}, 3
			p.uses = []use{workshop(), kitchen(), duct(), corridor()}
		}},
		{"small", func(p *plan) { p.points, p.visits = [2]int{5, 12}, [2]int{4, 10} }},
		{"large", func(p *plan) { p.points, p.visits = [2]int{2000, 2000}, [2]int{8, 8} }},
		{"everything", everything},
	}
}

// everything has all of it at once.
func everything(p *plan) {
	p.points, p.visits, p.months = [2]int{150, 250}, [2]int{10, 24}, []int{3, 6, 9}
	p.uses = append(p.uses, barn())
	p.kinds = append(p.kinds, saturating(), greedy(), compensated(), reserveUsed(), cell())
	p.lumps, p.bursts, p.humid, p.second, p.offset, p.instrument = 2, 1.5, 0.05, 0.2, 0.02, 0.1
	p.works, p.half, p.wrongDay, p.unwritten, p.swaps, p.swapNoted = 0.1, 0.2, 0.1, 0.15, 0.03, 0.5
	p.slips, p.neighbours, p.stuck, p.noisy, p.rescaled, p.late, p.samples = 0.01, 0.005, 0.006, 0.008, 0.25, 0.25, 3
}
