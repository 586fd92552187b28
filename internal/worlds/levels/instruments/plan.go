package instruments

// plan is what a scenario draws its sites from. Two numbers are a range.
type plan struct {
	points  [2]int
	visits  [2]int
	months  []int   // from visit to visit; one of these
	long    float64 // chance that a visit was left out, and the gap is twice as long
	skipped float64 // chance that a point is not reached at a visit
	joined  float64 // share of the points that were fitted later than the rest
	samples int     // of a reading
	known   bool    // when the points were fitted; else they were there before the first listing
	types   []string
	natures []nature
	pace    float64 // median rise in a year
	spread  float64 // of the logarithm of the paces of areas; within one it is half of that
	gentle  bool    // no spells of another pace
	noise   float64 // in rooms
	season  float64 // half of its swing, in rooms

	instruments    int
	offsets, gains float64 // standard deviations
	badOne         float64 // offset of the last of them, in rooms
	told           bool    // which instrument was used is noted when it is the bad one
	coarse         float64 // rounding, as a share of the way from rest to limit
	split          bool    // two go round in one visit, a loop each
	crew           habits

	rescaled string // "": no type; "silent", "late" or "told": when the sheet follows
	works    float64
	stuck    float64 // chances of a point
	noisy    float64
	swaps    float64
	swapTold float64 // of swaps
}

// usual is what scenarios begin from: an honest crew with two good handsets, half a year between visits.
func usual() plan {
	return plan{
		points: [2]int{20, 120}, visits: [2]int{4, 16}, months: []int{3, 6, 6, 12}, samples: 1, known: true, skipped: 0.02,
		types:   []string{"SM-100", "SM-255", "SM-1023", "MA-20", "BEAM-1023", "SENS-6", "HEAT-255"},
		natures: []nature{integrated, integrated, integrated, resting}, pace: 0.09, spread: 0.9, noise: 0.03,
		instruments: 2, offsets: 0.012, gains: 0.002,
		crew: habits{cleanAt: 0.85, care: 0.6, routine: 0.01, half: 0.08, late: 0.08, wrongDay: 0.02, never: 0.04, slip: 0.001, again: 0.3},
	}
}

// scenario is a kind of site.
type scenario struct {
	name string
	make func(p *plan)
}

// scenarios lists them all.
func scenarios() []scenario {
	return append(append(ofInstruments(), ofPeople()...), append(ofDirt(), ofBooks()...)...)
}

func ofInstruments() []scenario {
	return []scenario{
		{"one good reader", func(p *plan) {
			p.instruments, p.offsets, p.gains = 1, 0, 0
			p.crew = habits{cleanAt: 0.85, care: 0.6, again: 0.5}
		}},
		{"many handsets", func(p *plan) { p.instruments, p.offsets, p.gains = 5, 0.05, 0.01 }},
		{"one bad handset", func(p *plan) { p.instruments, p.badOne, p.visits = 3, 0.17, [2]int{6, 16} }},
		{"a handset that is told of", func(p *plan) { p.instruments, p.badOne, p.told, p.visits = 3, 0.14, true, [2]int{6, 16} }},
		{"coarse displays", func(p *plan) { p.coarse, p.instruments = 0.12, 1 }},
		{"two go round", func(p *plan) {
			p.split, p.instruments, p.badOne, p.gains = true, 3, 0.15, 0.008
			p.points, p.visits = [2]int{60, 200}, [2]int{6, 16}
		}},
		{"firmware, nobody says", func(p *plan) { p.rescaled, p.visits = "silent", [2]int{5, 20} }},
		{"firmware, the sheet follows late", func(p *plan) { p.rescaled, p.visits = "late", [2]int{5, 20} }},
		{"firmware, written down", func(p *plan) { p.rescaled, p.visits = "told", [2]int{5, 20} }},
	}
}

func ofPeople() []scenario {
	return []scenario{
		{"cleaned and not noted", func(p *plan) {
			p.crew.late, p.crew.wrongDay, p.crew.never, p.crew.routine = 0.25, 0.2, 0.35, 0.04
		}},
		{"half a cleaning", func(p *plan) { p.crew.half, p.crew.routine = 0.5, 0.04 }},
		{"slips of the pen", func(p *plan) { p.crew.slip, p.crew.neighbour, p.visits = 0.025, 0.02, [2]int{4, 24} }},
		{"last year's values", func(p *plan) {
			p.crew.copied, p.crew.stretch, p.months, p.visits = 0.02, 0.2, []int{6, 12}, [2]int{4, 14}
		}},
		{"heads swapped", func(p *plan) { p.swaps, p.swapTold = 0.25, 0.4 }},
		{"building works", func(p *plan) { p.works, p.points = 0.35, [2]int{40, 160} }},
	}
}

func ofDirt() []scenario {
	return []scenario{
		{"changes of pace", func(p *plan) { p.natures, p.visits, p.pace = []nature{integrated}, [2]int{6, 24}, 0.11 }},
		{"rooms at rest", func(p *plan) { p.natures, p.spread, p.pace = []nature{resting}, 0.6, 0.12 }},
		{"dirt catches dirt", func(p *plan) { p.natures, p.gentle, p.pace, p.visits = []nature{feeding}, true, 0.16, [2]int{6, 20} }},
		{"soon full", func(p *plan) { p.natures, p.gentle, p.pace = []nature{filling}, true, 0.12 }},
		{"compensated", func(p *plan) {
			p.types, p.natures, p.pace = []string{"COMP-255", "COMP-255", "USED-100"}, []nature{integrated}, 0.14
			p.visits = [2]int{6, 20}
		}},
		{"falling scales", func(p *plan) { p.types, p.pace = []string{"BEAM-1023", "SENS-6", "CO-100"}, 0.11 }},
		{"seasons", func(p *plan) { p.season, p.months, p.visits = 0.12, []int{3, 3, 6}, [2]int{6, 24} }},
		{"stuck and unsteady", func(p *plan) { p.stuck, p.noisy, p.samples, p.visits = 0.08, 0.08, 3, [2]int{5, 24} }},
	}
}

func ofBooks() []scenario {
	return []scenario{
		{"gaps of 18 months", func(p *plan) { p.months, p.long, p.skipped, p.visits = []int{9, 12}, 0.35, 0.15, [2]int{3, 8} }},
		{"young books", func(p *plan) {
			p.visits, p.joined, p.pace, p.months = [2]int{2, 3}, 0.35, 0.22, []int{6, 12}
		}},
		{"taken over", func(p *plan) { p.known, p.visits = false, [2]int{2, 6} }},
		{"thirty readings", func(p *plan) { p.visits, p.months, p.samples = [2]int{26, 30}, []int{3}, 2 }},
		{"a handful", func(p *plan) { p.points, p.visits = [2]int{5, 12}, [2]int{2, 20} }},
		{"a large site", func(p *plan) {
			everything(p)
			p.points, p.visits, p.rescaled = [2]int{900, 2000}, [2]int{5, 12}, ""
		}},
		{"everything", everything},
	}
}

func everything(p *plan) {
	p.points, p.visits, p.joined, p.long, p.skipped, p.season = [2]int{40, 250}, [2]int{3, 24}, 0.1, 0.1, 0.05, 0.05
	p.types = append(p.types, "CO-100", "COMP-255", "USED-100")
	p.natures = append(p.natures, feeding, filling)
	p.instruments, p.offsets, p.gains, p.badOne, p.split = 4, 0.03, 0.006, 0.13, true
	p.crew.half, p.crew.late, p.crew.wrongDay, p.crew.never = 0.15, 0.12, 0.06, 0.12
	p.crew.slip, p.crew.neighbour, p.crew.copied, p.crew.stretch = 0.006, 0.004, 0.003, 0.05
	p.rescaled, p.works, p.stuck, p.noisy, p.swaps, p.swapTold = "silent", 0.15, 0.02, 0.02, 0.05, 0.5
}
