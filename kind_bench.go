package sootline

// BenchKind is the kind of [Bench].
const BenchKind Kind = "bench"

// Bench says that a run at the bench begins or ends: devices are taken out of
// their box one after another, given their number, read and labelled. The id of
// the entry that opens a run is the run's.
type Bench struct {
	State BenchState `json:"state" form:"it begins or ends"`
	Run   ID         `json:"run,omitzero" form:"the run that ends, by its id"`
	Name  string     `json:"name,omitempty" form:"what the run is called"`
	Text  string     `json:"text,omitempty" form:"in words"`

	// What an opening says.
	First  BenchFirst  `json:"first,omitempty" form:"what is given first"`
	Points []ID        `json:"points,omitempty" form:"places in their order, by id" seldom:""`
	Box    []BoxDevice `json:"box,omitempty" form:"devices in the box" seldom:""`
	Panel  string      `json:"panel,omitempty" form:"panel of devices that have no place yet"`
	Loop   string      `json:"loop,omitempty" form:"loop of devices that have no place yet"`
	From   int         `json:"from,omitempty" form:"the first number for places without one"`
}

// BoxDevice is a device on the list of what is in the box.
type BoxDevice struct {
	Unit
	Type string `json:"type,omitempty"`
}

// BenchState says whether a run begins or ends.
type BenchState string

// The states of a run.
const (
	BenchOpened BenchState = "opened"
	BenchClosed BenchState = "closed"
)

func (BenchState) choices() []Choice {
	return []Choice{{string(BenchOpened), "it begins"}, {string(BenchClosed), "it ends"}}
}

// BenchFirst says what a run gives first.
type BenchFirst string

// What comes first: the next place, for which a device is taken from the box, or
// the next device of the box, to which its place is given.
const (
	PlaceFirst  BenchFirst = "place"
	DeviceFirst BenchFirst = "device"
)

func (BenchFirst) choices() []Choice {
	return []Choice{{string(PlaceFirst), "the next place"}, {string(DeviceFirst), "the next device of the box"}}
}

// mostBox is the largest number of devices or places in one run: more than a
// panel has points.
const mostBox = 10000

// Kind is BenchKind.
func (Bench) Kind() Kind { return BenchKind }

func (b Bench) say() string {
	loop := ""
	if b.Loop != "" {
		loop = "loop " + LoopID{b.Panel, b.Loop}.String()
	}
	return Joined("run at the bench "+string(b.State), b.Name, b.Text, countSaid(len(b.Points), "place", "places"),
		countSaid(len(b.Box), "device in the box", "devices in the box"), loop, numberSaid("from number", b.From))
}

func (b Bench) check() error {
	switch {
	case b.State != BenchOpened && b.State != BenchClosed:
		return Errorf(Invalid, "", "a run at the bench is opened or closed, found %q", clip(string(b.State)))
	case b.State == BenchClosed && b.Run.Zero():
		return Errorf(Invalid, "", "the end of a run at the bench names the run")
	case b.First != "" && b.First != PlaceFirst && b.First != DeviceFirst:
		return Errorf(Invalid, "", "a run gives the place or the device first, found %q", clip(string(b.First)))
	case len(b.Points) > mostBox || len(b.Box) > mostBox:
		return Errorf(Invalid, "make two runs of it", "a run has at most %d places and devices", mostBox)
	case b.From < 0 || b.From > 9999:
		return Errorf(Invalid, "", "a number lies between 1 and 9999, found %d", b.From)
	}
	return nil
}

// checkNew refuses a loop that no reference could name.
func (b Bench) checkNew() error {
	if b.Panel == "" && b.Loop == "" {
		return nil
	}
	return checkLoopNamed(b.Panel, b.Loop)
}

func (b Bench) fold(r *Register, e *Entry) {
	id := e.ID
	if b.State == BenchClosed {
		id = b.Run
	}
	run := r.run(id)
	if b.State == BenchClosed {
		run.Closed = e
		return
	}
	run.Said, run.Opened = b, e
}
