package shape

import (
	"strconv"
	"strings"

	"sootline"
	"sootline/internal/app"
)

// The shapes of `sootline visit ... --json`, as docs/formats/json.md describes
// them.

// Due is the answer of `visit due --json`.
type Due struct {
	Sites []DueSite `json:"sites"`
}

// DueSite is what is due on one site.
type DueSite struct {
	Site    string       `json:"site"`
	Trouble *string      `json:"trouble"`
	On      *string      `json:"on"`
	NextDue *string      `json:"next_due"`
	Due     []Obligation `json:"due"`
}

// Obligation is one thing that a rule demands.
type Obligation struct {
	Rule    string   `json:"rule"`
	Source  string   `json:"source"`
	Work    string   `json:"work"`
	Of      string   `json:"of,omitempty"`
	Points  []string `json:"points"`
	IDs     []string `json:"point_ids"`
	Need    int      `json:"need"`
	State   string   `json:"state"`
	Why     string   `json:"why"`
	Since   *string  `json:"since"`
	From    *string  `json:"from"`
	Until   *string  `json:"until"`
	Entries []string `json:"entries"`
}

// OfDue shapes what is due.
func OfDue(lists []app.DueList) Due {
	shape := Due{Sites: []DueSite{}}
	for _, list := range lists {
		if list.Trouble != nil {
			why := list.Trouble.Error()
			shape.Sites = append(shape.Sites, DueSite{Site: list.Site.Name, Trouble: &why, Due: []Obligation{}})
			continue
		}
		site := DueSite{Site: list.Site.Name, On: dayOrNull(list.On), NextDue: dayOrNull(list.Next().Day), Due: []Obligation{}}
		for i := range list.Obligations {
			o := &list.Obligations[i]
			site.Due = append(site.Due, Obligation{
				Rule: o.Rule.Name, Source: app.RuleSource(&o.Rule), Work: o.Work, Of: o.Of, Points: Refs(o.Points), IDs: pointIDs(o.Points),
				Need: o.Need, State: string(o.State), Why: o.Why, Since: dayOrNull(o.Since), From: dayOrNull(o.From), Until: dayOrNull(o.Until), Entries: ids(o.Entries),
			})
		}
		shape.Sites = append(shape.Sites, site)
	}
	return shape
}

func dayOrNull(d app.Day) *string {
	if !d.Known() {
		return nil
	}
	text := d.String()
	return &text
}

// DueHead names the columns of DueRows.
func DueHead() []string {
	return []string{"site", "state", "rule", "source", "work", "of", "points", "need", "since", "from", "until", "why", "entries"}
}

// DueRows gives the same as rows under DueHead. A site that cannot be shown has one row,
// which says why.
func DueRows(lists []app.DueList) [][]string {
	var rows [][]string
	for _, list := range lists {
		if list.Trouble != nil {
			rows = append(rows, []string{list.Site.Name, "cannot be shown", "", "", "", "", "", "", "", "", "", list.Trouble.Error(), ""})
		}
		for i := range list.Obligations {
			o := &list.Obligations[i]
			rows = append(rows, []string{
				list.Site.Name, string(o.State), o.Rule.Name, app.RuleSource(&o.Rule), o.Work, o.Of, strings.Join(Refs(o.Points), " "),
				strconv.Itoa(o.Need), o.Since.String(), o.From.String(), o.Until.String(), o.Why, strings.Join(ids(o.Entries), " "),
			})
		}
	}
	return rows
}

// Round is the answer of `visit plan --json`.
type Round struct {
	Site    string    `json:"site"`
	On      string    `json:"on"`
	Minutes int       `json:"minutes"`
	Work    int       `json:"work_minutes"`
	Setup   int       `json:"setup_minutes"`
	Setups  []Setup   `json:"setups"`
	Stops   []Stop    `json:"stops"`
	Left    []LeftOut `json:"left"`
	Short   []string  `json:"short"`
}

// Setup is what an area takes before the work there.
type Setup struct {
	Area    string `json:"area"`
	Minutes int    `json:"minutes"`
	Why     string `json:"why,omitempty"`
}

// Stop is a point on the round.
type Stop struct {
	Point    string `json:"point"`
	ID       string `json:"point_id"`
	Floor    string `json:"floor"`
	Area     string `json:"area"`
	Location string `json:"location"`
	Type     string `json:"type"`
	Tasks    []Task `json:"tasks"`
}

// Task is a piece of work there.
type Task struct {
	Work    string   `json:"work"`
	Minutes int      `json:"minutes"`
	Demand  string   `json:"demand,omitempty"`
	Risk    float64  `json:"risk"`
	Whys    []string `json:"whys"`
}

// LeftOut is work that did not fit, and why.
type LeftOut struct {
	Point string `json:"point"`
	ID    string `json:"point_id"`
	Task
	Why string `json:"why"`
}

// OfRound shapes a round.
func OfRound(plan app.VisitPlan) Round {
	shape := Round{
		Site: plan.Site.Name, On: plan.On.String(), Minutes: plan.Minutes, Work: plan.Work, Setup: plan.Setup,
		Setups: []Setup{}, Stops: []Stop{}, Left: []LeftOut{}, Short: append([]string{}, plan.Short...),
	}
	for _, area := range plan.Areas {
		shape.Setups = append(shape.Setups, Setup{area.Area, area.Setup, area.Why})
	}
	for _, stop := range plan.Stops {
		p := stop.Point
		to := Stop{Point: p.Ref().String(), ID: p.ID.String(), Floor: stop.Floor, Area: p.Area, Location: p.Location, Type: p.Type}
		for i := range stop.Tasks {
			to.Tasks = append(to.Tasks, shapeTask(&stop.Tasks[i]))
		}
		shape.Stops = append(shape.Stops, to)
	}
	for i := range plan.Left {
		left := &plan.Left[i]
		shape.Left = append(shape.Left, LeftOut{left.Point.Ref().String(), left.Point.ID.String(), shapeTask(&left.Task), left.Why})
	}
	return shape
}

func shapeTask(t *app.Task) Task {
	shape := Task{Work: t.Work, Minutes: t.Minutes, Risk: *rounded(&t.Worth.Risk), Whys: t.Whys}
	switch {
	case t.Worth.Overdue > 0:
		shape.Demand = string(app.Overdue)
	case t.Worth.Due > 0:
		shape.Demand = string(app.DueNow)
	case t.Worth.Share > 0:
		shape.Demand = "share"
	}
	return shape
}

// Visit is one attendance.
type Visit struct {
	Opened    *string  `json:"opened"`
	Closed    *string  `json:"closed"`
	By        string   `json:"by"`
	Minutes   int      `json:"minutes"`
	Round     []string `json:"round"`
	Confirmed []string `json:"confirmed"`
	Disabled  []string `json:"disabled"`
	Left      string   `json:"left"`
	Standing  []string `json:"standing"`
	Untested  int      `json:"untested"`
	Undone    []Undone `json:"undone"`
	Asked     int      `json:"asked"`
	Next      string   `json:"next"`
	Text      []string `json:"text"`
}

// OfVisits shapes attendances.
func OfVisits(visits []app.PastVisit) []Visit {
	all := []Visit{}
	for i := range visits {
		v := &visits[i]
		opened := v.Said()
		shape := Visit{
			Minutes: opened.Minutes, Round: Refs(v.Round), Confirmed: append([]string{}, opened.Confirmed...),
			Disabled: append([]string{}, opened.Disabled...), Standing: []string{}, Text: []string{}, Undone: OfUndone(v.Undone), Untested: len(v.Undone),
		}
		if v.Opened != nil {
			at := instant(v.Opened.At)
			shape.Opened, shape.By = &at, v.Opened.Entry.By
		}
		if opened.Text != "" {
			shape.Text = append(shape.Text, opened.Text)
		}
		if v.Closed != nil {
			at := instant(v.Closed.At)
			closed, _ := v.Closed.Entry.Body.(sootline.Visit)
			shape.Closed, shape.Left, shape.Asked, shape.Next = &at, string(closed.Left), closed.Asked, closed.Next
			shape.Standing = append(shape.Standing, closed.Standing...)
			if closed.Text != "" {
				shape.Text = append(shape.Text, closed.Text)
			}
		}
		all = append(all, shape)
	}
	return all
}

// Undone is a point of a round, and what of the work planned there was not done.
type Undone struct {
	Point string   `json:"point"`
	ID    string   `json:"point_id"`
	Work  []string `json:"work"`
}

// OfUndone shapes what was not done.
func OfUndone(all []app.LeftUndone) []Undone {
	shapes := []Undone{}
	for _, left := range all {
		shapes = append(shapes, Undone{left.Point.Ref().String(), left.Point.ID.String(), append([]string{}, left.Work...)})
	}
	return shapes
}

// UndoneWords says what was not done, a point an item: its reference, and the work
// where somebody planned some.
func UndoneWords(all []app.LeftUndone) []string {
	words := make([]string, len(all))
	for i, left := range all {
		words[i] = strings.Join(append([]string{left.Point.Ref().String()}, left.Work...), " ")
	}
	return words
}
