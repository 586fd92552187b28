package materials

import "sootline/internal/worlds/levels"

// plan is what sites of a scenario are like. Chances are for each visit and point unless they say otherwise.
type plan struct {
	points [2]int
	months int    // from one visit to the next
	visits [2]int // with readings
	types  []string

	law     law
	wait    float64 // at most so many years until dirt begins
	pace    float64 // years to the edge, in the middle of rooms
	unlike  float64 // spread of the pace between rooms, of its logarithm
	scatter float64 // and between heads of a room
	ageing  float64 // spread of the ageing of batches, share of the way after a year at 25 °C

	swing  float64 // spread of the turn of the year, share of the way
	rough  float64 // times the noise of the type
	damp   float64 // share of the heads that damp has made unsteady
	frozen float64 // share of outputs that are stuck at the end

	above     float64 // a value past this share of the way is cleaned
	obeyed    float64 // how often
	routine   float64 // everything in a room is cleaned, for each visit and room
	half      float64 // share of cleanings that leave dirt
	forgotten float64 // share of cleanings that nobody writes down
	late      float64 // share of those written down, on a later day
	renewed   float64 // chance of a new head at a point

	works     float64 // for each visit and room
	offset    float64 // for each visit
	slip      float64
	neighbour float64
	swap      float64 // for each visit
	skip      float64
	changed   change
}

// change says whether firmware rescales a type, and whether anybody writes its new sheet.
type change int

const (
	unchanged change = iota
	changedAndTold
	changedUntold
)

// usual is an ordinary site: half-yearly visits, everything happens now and then.
func usual() plan {
	return plan{
		points: [2]int{40, 160}, months: 6, visits: [2]int{6, 14},
		types: []string{"MT counts", "MT percent", "MT falling", "MT pair"},
		law:   scattered, wait: 1.5, pace: 6, unlike: 0.35, scatter: 0.4, ageing: 0.012,
		swing: 0.02, rough: 1, above: 0.8, obeyed: 0.3, half: 0.05, forgotten: 0.05, late: 0.05, renewed: 0.002,
		works: 0.002, offset: 0.02, slip: 0.003, neighbour: 0.001, swap: 0.02, skip: 0.05,
	}
}

type scenario struct {
	name   string
	differ func(*plan)
}

var scenarios = []scenario{
	{"usual", func(*plan) {}},
	{"squared", func(p *plan) { p.law, p.wait = squared, 3 }},
	{"doubling", func(p *plan) { p.law, p.wait = doubling, 3 }},
	{"filling", func(p *plan) { p.law, p.pace, p.obeyed = filling, 3, 0.2 }},
	{"turning", func(p *plan) { p.law, p.pace, p.obeyed, p.visits = turning, 5, 0.2, [2]int{8, 20} }},
	{"warm batches", func(p *plan) {
		p.ageing, p.pace, p.types = 0.03, 9, append(p.types, "MT cell", "MT volts")
	}},
	{"cells", func(p *plan) { p.types, p.months, p.visits = []string{"MT cell"}, 12, [2]int{3, 8} }},
	{"damp", func(p *plan) { p.damp, p.rough, p.pace = 0.08, 1.4, 5 }},
	{"frozen", func(p *plan) { p.frozen = 0.06 }},
	{"builders", func(p *plan) { p.works, p.unlike = 0.05, 0.2 }},
	{"seasons", func(p *plan) { p.swing, p.months, p.visits, p.pace = 0.16, 3, [2]int{10, 24}, 3.5 }},
	{"swapped heads", func(p *plan) { p.swap, p.unlike, p.points = 0.6, 0.6, [2]int{30, 90} }},
	{"long gaps", func(p *plan) { p.months, p.visits, p.skip = 18, [2]int{2, 6}, 0.15 }},
	{"levelled", func(p *plan) { p.types, p.pace, p.wait, p.obeyed = []string{"MT levelled"}, 2.7, 0.8, 0.3 }},
	{"new firmware", func(p *plan) { p.changed = changedAndTold }},
	{"silent firmware", func(p *plan) { p.changed, p.slip = changedUntold, 0 }},
	{"careless book", func(p *plan) {
		p.half, p.forgotten, p.late, p.slip, p.neighbour, p.routine = 0.3, 0.3, 0.25, 0.025, 0.015, 0.06
	}},
	{"other instruments", func(p *plan) { p.offset, p.pace = 0.35, 4.5 }},
	{"new site", func(p *plan) { p.visits, p.pace, p.wait, p.skip = [2]int{2, 3}, 2.6, 0.4, 0.35 }},
	{"read monthly", func(p *plan) {
		p.months, p.visits, p.points, p.pace, p.wait, p.obeyed = 1, [2]int{30, 30}, [2]int{20, 40}, 1.8, 1, 0.1
	}},
	{"chapel", func(p *plan) { p.points, p.months = [2]int{5, 8}, 12 }},
	{"hospital", func(p *plan) {
		p.points, p.visits, p.works, p.damp, p.frozen, p.types = [2]int{1600, 2000}, [2]int{4, 6}, 0.008, 0.01, 0.01, allTypes()
	}},
	{"everything", func(p *plan) {
		p.types, p.damp, p.frozen, p.works, p.offset, p.routine = allTypes(), 0.02, 0.02, 0.01, 0.1, 0.02
		p.swap, p.slip, p.neighbour, p.half, p.forgotten, p.late = 0.2, 0.01, 0.005, 0.15, 0.15, 0.1
		p.swing, p.ageing, p.changed, p.points, p.visits = 0.06, 0.03, changedAndTold, [2]int{120, 250}, [2]int{6, 20}
	}},
}

func allTypes() []string {
	var names []string
	for _, d := range devices() {
		names = append(names, d.name)
	}
	return names
}

// planOf gives the plan of a scenario. Asking for one that is not there is a mistake of the caller.
func planOf(name string) plan {
	for _, s := range scenarios {
		if s.name == name {
			p := usual()
			s.differ(&p)
			return p
		}
	}
	panic("world materials has no scenario " + name)
}

// World is the world of ageing and failure.
type World struct{}

var _ levels.World = World{}

// Name is materials.
func (World) Name() string { return "materials" }

// Scenarios lists what sites may be like.
func (World) Scenarios() []string {
	var names []string
	for _, s := range scenarios {
		names = append(names, s.name)
	}
	return names
}
