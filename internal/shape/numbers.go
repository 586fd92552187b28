package shape

import (
	"sootline"
	"sootline/internal/app"
)

// Plans are proposals for the numbers of loops.
type Plans struct {
	Plans   []Plan `json:"plans"`
	Written int    `json:"written"`
}

// Plan is the proposal for one loop.
type Plan struct {
	Loop     string   `json:"loop"`
	Changes  []Change `json:"changes"`
	Fits     []Fit    `json:"fits"`
	Notes    []string `json:"notes"`
	Problems []string `json:"problems"`
}

// Change is a number that would change.
type Change struct {
	ID       string `json:"point_id"`
	Name     string `json:"point"`
	From     int    `json:"from"`
	To       int    `json:"to"`
	Location string `json:"location"`
	Type     string `json:"type"`
	Why      string `json:"why"`
}

// Fit is whether the devices of a range have room.
type Fit struct {
	Devices int    `json:"devices"`
	Numbers int    `json:"numbers"`
	Needed  int    `json:"needed"`
	Spares  int    `json:"spares"`
	Why     string `json:"why"`
}

// OfPlans shapes proposals, of which so many numbers were written down.
func OfPlans(plans []app.NumberPlan, written int) Plans {
	shape := Plans{Plans: []Plan{}, Written: written}
	for _, p := range plans {
		one := Plan{Loop: p.Loop.Name, Changes: []Change{}, Fits: []Fit{}, Notes: orEmpty(p.Notes), Problems: []string{}}
		for _, c := range p.Changes {
			d := p.Loop.Devices[c.Device]
			one.Changes = append(one.Changes, Change{d.ID.String(), d.Name, c.From, c.To, d.Location, d.Type, c.Why})
		}
		for _, f := range p.Fits {
			one.Fits = append(one.Fits, Fit{f.Devices, f.Numbers, f.Needed, f.Spares, f.Why})
		}
		for _, problem := range p.Loop.Problems() {
			one.Problems = append(one.Problems, problem.Error())
		}
		shape.Plans = append(shape.Plans, one)
	}
	return shape
}

// Orders are the orders in which to set the devices of loops.
type Orders struct {
	Orders  []Order `json:"orders"`
	Caution string  `json:"caution"`
}

// Order is that of one loop.
type Order struct {
	Loop    string `json:"loop"`
	Moved   int    `json:"devices_moved"`
	AtLeast int    `json:"settings_at_least"`
	Steps   []Step `json:"steps"`
}

// Step is one thing to do with one device.
type Step struct {
	ID       string `json:"point_id"`
	Name     string `json:"point"`
	Do       string `json:"do"`
	From     int    `json:"from"`
	To       int    `json:"to"`
	Location string `json:"location"`
	Type     string `json:"type"`
}

// OfOrders shapes them.
func OfOrders(orders []app.NumberOrder) Orders {
	shape := Orders{Orders: []Order{}, Caution: Caution}
	for _, o := range orders {
		one := Order{Loop: o.Loop.Name, Moved: o.Moved, AtLeast: o.AtLeast, Steps: []Step{}}
		for _, step := range o.Steps {
			d := o.Loop.Devices[step.Device]
			one.Steps = append(one.Steps, Step{d.ID.String(), d.Name, step.Kind.String(), step.From, step.To, d.Location, d.Type})
		}
		shape.Orders = append(shape.Orders, one)
	}
	return shape
}

// Cards are setting cards, in the order of the walk.
type Cards struct {
	Cards   []Card     `json:"cards"`
	Asked   []HowAsked `json:"how_asked"` // types of which nobody wrote down how their number is set
	Caution string     `json:"caution"`
}

// Card is the card by which a device is set.
type Card struct {
	Number   int      `json:"number"`
	Last     int      `json:"last"`
	Point    string   `json:"point"`
	Location string   `json:"location"`
	Type     string   `json:"type"`
	Zone     string   `json:"zone"`
	Area     string   `json:"area"`
	Order    int      `json:"order"`
	Was      int      `json:"found"`
	Settings []string `json:"settings"`
	Reasons  []string `json:"reasons"` // of the settings, in their order; empty where none is known
	Switches []Switch `json:"switches"`
	Dials    []Dial   `json:"dials"`
	Says     []string `json:"says"`
	Warnings []string `json:"warnings"`
	Drawn    string   `json:"drawn"`
	Picture  string   `json:"picture"` // as one svg element
}

// Switch is one switch of a device.
type Switch struct {
	Label  string `json:"label"`
	Counts int    `json:"counts"`
	On     bool   `json:"on"`
}

// Dial is one dial of a device, with the positions 0 to Last.
type Dial struct {
	Name string `json:"name"`
	Last int    `json:"last"`
	At   int    `json:"at"`
}

// HowAsked is a type of which it is to be said how its number is set.
type HowAsked struct {
	Type   string `json:"type"`
	Points int    `json:"points"`
	Reason string `json:"reason"`
}

// OfCards shapes them.
func OfCards(cards []app.NumberCard, asked []app.TypeHow) Cards {
	shape := Cards{Cards: []Card{}, Asked: []HowAsked{}, Caution: Caution}
	for i := range asked {
		reason, _ := asked[i].Ask()
		shape.Asked = append(shape.Asked, HowAsked{asked[i].Type, len(asked[i].Points), reason})
	}
	for i := range cards {
		c := &cards[i]
		one := Card{
			Number: c.Number, Last: c.Last, Point: c.Name, Location: c.Location, Type: c.Type, Zone: c.Zone, Area: c.Area, Order: c.Order, Was: c.Was,
			Settings: []string{}, Reasons: []string{}, Switches: []Switch{}, Dials: []Dial{}, Says: orEmpty(c.Says), Warnings: orEmpty(c.Warnings),
			Drawn: app.CardText(c), Picture: app.CardSVG(c),
		}
		for _, s := range c.Settings {
			one.Settings, one.Reasons = append(one.Settings, s.Name+"="+s.Choice), append(one.Reasons, s.Because)
		}
		for _, s := range c.Switches {
			one.Switches = append(one.Switches, Switch(s))
		}
		for _, d := range c.Dials {
			one.Dials = append(one.Dials, Dial(d))
		}
		shape.Cards = append(shape.Cards, one)
	}
	return shape
}

// Settings are the settings of loops that are not as wanted.
type Settings struct {
	Differences []Difference `json:"differences"`
}

// Difference is a setting that is not as wanted.
type Difference struct {
	Loop    string  `json:"loop"`
	ID      string  `json:"point_id"`
	Point   string  `json:"point"`
	Type    string  `json:"type"`
	Setting string  `json:"setting"`
	Wanted  string  `json:"wanted"`
	Of      string  `json:"wanted_of" doc:"point, area, zone or type: whose wish it is"`
	Reason  string  `json:"reason"`
	Found   *string `json:"found"`
}

// OfSettings shapes them; found is null where nobody looked.
func OfSettings(loops []app.SettingsOfLoop) Settings {
	shape := Settings{Differences: []Difference{}}
	for _, l := range loops {
		for _, d := range l.Differences {
			device := l.Loop.Devices[d.Device]
			one := Difference{Loop: l.Loop.Name, ID: device.ID.String(), Point: device.Name, Type: device.Type, Setting: d.Wish.Name, Wanted: d.Wish.Choice, Of: d.Wish.Of, Reason: d.Wish.Reason}
			if d.Found != "" {
				one.Found = &d.Found
			}
			shape.Differences = append(shape.Differences, one)
		}
	}
	return shape
}

// Wishes are the settings that are wanted on a site.
type Wishes struct {
	Wishes []Wish `json:"wishes"`
}

// Wish is a setting that is wanted.
type Wish struct {
	Of      string `json:"of" doc:"Of whom, in words"`
	Setting string `json:"setting"`
	Wanted  string `json:"wanted"`
	Reason  string `json:"reason"`
	By      string `json:"by"`
	Entry   string `json:"entry"`
}

// OfWishes shapes them.
func OfWishes(wishes []app.WishLine) Wishes {
	shape := Wishes{Wishes: []Wish{}}
	for _, w := range wishes {
		shape.Wishes = append(shape.Wishes, Wish{w.Of, w.Name, w.Choice, w.Reason, w.Entry.By, w.Entry.ID.String()})
	}
	return shape
}

// DeviceNoted is what was written down of a device.
type DeviceNoted struct {
	Entries []string `json:"entries"`
}

// OfNoted shapes it.
func OfNoted(entries []sootline.Entry) DeviceNoted {
	shape := DeviceNoted{Entries: []string{}}
	for _, e := range entries {
		shape.Entries = append(shape.Entries, e.ID.String())
	}
	return shape
}

// PlanUndone is a plan that was taken back.
type PlanUndone struct {
	Accepted string `json:"accepted"`
	By       string `json:"by"`
	Numbers  int    `json:"numbers" doc:"So many are wanted no longer"`
}

// OfUndonePlan shapes it.
func OfUndonePlan(plan *app.AcceptedPlan) PlanUndone {
	return PlanUndone{instant(plan.Noted), plan.By, len(plan.Entries)}
}

// Found is how what answers on a loop differs from the register.
type Found struct {
	Loop     string        `json:"loop"`
	Answers  int           `json:"answers"`
	Places   int           `json:"places_that_differ"`
	Mistakes []Explanation `json:"mistakes"`
	Rivals   []Explanation `json:"or_instead_of_the_first"`
	Next     string        `json:"tells_most_apart"` // empty where nothing is to be told apart
	Untold   []string      `json:"not_shown"` // what the list does not show; nothing of it is written
	Troubles []string      `json:"rows_not_used"`
	Written  int           `json:"written"`
	Caution  string        `json:"caution"`
}

// Explanation is a mistake that would account for a difference.
type Explanation struct {
	Says  string `json:"says"`
	Prove string `json:"prove"`
}

// OfFound shapes it.
func OfFound(f *app.Found, written int) Found {
	shape := Found{
		Loop: f.Loop.Name, Answers: len(f.Answers), Places: len(f.Traces), Mistakes: []Explanation{}, Rivals: []Explanation{}, Next: f.Next, Untold: append([]string{}, f.Untold...), Troubles: []string{}, Written: written, Caution: Caution,
	}
	for _, m := range f.Mistakes {
		shape.Mistakes = append(shape.Mistakes, Explanation{m.Says, m.Prove})
	}
	for _, m := range f.Rivals {
		shape.Rivals = append(shape.Rivals, Explanation{m.Says, m.Prove})
	}
	for _, trouble := range f.Troubles {
		shape.Troubles = append(shape.Troubles, withLine(trouble))
	}
	return shape
}

// Hunt says where to open the loop next.
type Hunt struct {
	Done   bool        `json:"done"`
	Found  [][2]string `json:"found_between"`
	Next   *string     `json:"open_next"`
	Effort float64     `json:"effort_expected"`
	Steps  float64     `json:"places_expected"`
	Most   int         `json:"places_at_most"`
}

// OfHunt shapes it.
func OfHunt(h *app.Hunt) Hunt {
	shape := Hunt{Done: h.Done, Found: [][2]string{}}
	for _, found := range h.Found {
		shape.Found = append(shape.Found, [2]string{h.Places[found[0]].Name, h.Places[found[1]].Name})
	}
	if !h.Done {
		shape.Next = &h.Places[h.Next.Place].Name
		shape.Effort, shape.Steps, shape.Most = *rounded(&h.Next.Effort), *rounded(&h.Next.Steps), h.Next.Worst
	}
	return shape
}
