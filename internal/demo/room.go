package demo

// room is an area of the site.
type room struct {
	loop        int // index in loopNames
	floor, name string
	dust        float64 // counts a year that settle in a smoke detector
	swing       float64 // counts of the yearly swing, from its mean to its peak
	counts      [deviceCount]int
	spots       []string
}

// A room with at least dusty counts a year is a planted [DustyRoom]; one with
// fewer than quiet leaves a clean detector in the lower half of its band.
const (
	dusty = 1.5
	quiet = 0.7
)

// Rooms that the story comes back to.
const (
	bakery  = "Bakery"
	kitchen = "Kitchen"
)

const panelName = "1"

// loopNames lists the loops of the one panel.
func loopNames() []string { return []string{"1", "2", "3", "4"} }

// rooms lists the areas in cable order. The zone of a room is its place in the
// list, from 1. Counts are smoke, heat, multi, gas, call point, sounder, output
// module, isolator, old heat.
func rooms() []room {
	const basement, ground, first = "Basement", "Ground floor", "First floor"
	return []room{
		{0, basement, "Plant room", 1.1, 1, [deviceCount]int{8, 5, 3, 4, 2, 2, 1, 2, 0}, []string{"boiler aisle", "pump bay", "fan chamber", "tank room"}},
		{0, basement, "Stores", 0.5, 0, [deviceCount]int{14, 0, 4, 0, 2, 2, 0, 1, 0}, []string{"rack row A", "rack row B", "cage", "passage"}},
		{0, basement, "Loading dock", 0.9, 0.8, [deviceCount]int{4, 6, 0, 4, 2, 2, 1, 2, 3}, []string{"bay door", "ramp", "dock office"}},
		{0, basement, "Basement stairs", 0.3, 0.6, [deviceCount]int{5, 0, 0, 0, 2, 1, 0, 1, 0}, []string{"east flight", "west flight"}},

		{1, ground, bakery, 4.2, 0, [deviceCount]int{14, 4, 4, 0, 2, 2, 1, 2, 0}, []string{"flour store", "mixing line", "oven row", "cooling racks"}},
		{1, ground, kitchen, 3.2, 0.5, [deviceCount]int{12, 6, 4, 2, 2, 2, 1, 2, 0}, []string{"range", "wash-up", "cold store door", "servery"}},
		{1, ground, "Canteen", 0.6, 0, [deviceCount]int{10, 0, 2, 0, 2, 2, 0, 1, 0}, []string{"window side", "counter side", "entrance"}},
		{1, ground, "East stairs", 0.3, 0.6, [deviceCount]int{4, 0, 0, 0, 1, 1, 0, 1, 0}, []string{"lower flight", "upper flight"}},

		{2, ground, "Workshop", 2.05, 0.4, [deviceCount]int{20, 4, 6, 0, 3, 2, 1, 2, 0}, []string{"saw bench", "lathe row", "grinding bay", "assembly", "tool crib"}},
		{2, ground, "Paint store", 0.3, 0, [deviceCount]int{0, 4, 0, 2, 1, 1, 1, 1, 0}, []string{"shelves", "mixing bench"}},
		{2, ground, "Packing hall", 0.6, 0, [deviceCount]int{14, 0, 2, 0, 2, 2, 0, 1, 0}, []string{"belt 1", "belt 2", "strapping", "pallet rows"}},
		{2, ground, "West stairs", 0.3, 0.6, [deviceCount]int{4, 0, 0, 0, 1, 1, 0, 1, 0}, []string{"lower flight", "upper flight"}},

		{3, first, "Offices north", 0.25, 0, [deviceCount]int{18, 0, 2, 0, 2, 2, 0, 2, 0}, []string{"drawing office", "accounts", "open plan", "corridor"}},
		{3, first, "Offices south", 0.2, 0, [deviceCount]int{18, 0, 2, 0, 2, 2, 0, 2, 0}, []string{"purchasing", "planning", "open plan", "corridor"}},
		{3, first, "Meeting rooms", 0.2, 0, [deviceCount]int{8, 0, 2, 0, 1, 1, 0, 1, 0}, []string{"large room", "small room", "lobby"}},
		{3, first, "Server room", 0.05, 0, [deviceCount]int{4, 0, 4, 0, 1, 1, 1, 1, 0}, []string{"rack aisle", "floor void"}},
		{3, first, "First floor stairs", 0.3, 0.6, [deviceCount]int{4, 0, 0, 0, 1, 1, 0, 1, 0}, []string{"east flight", "west flight"}},
	}
}
