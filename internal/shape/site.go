package shape

import (
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// Sites lists the sites of a book.
type Sites struct {
	Sites []SiteLine `json:"sites"`
}

// SiteLine is a site in a list.
type SiteLine struct {
	ID       string  `json:"id"`
	Name     string  `json:"name"`
	Entries  int     `json:"entries"`
	Stations int     `json:"stations"`
	Last     *string `json:"last"`
	Trouble  *string `json:"trouble" doc:"Why it cannot be shown; null: it can, or it was not looked at yet"`
}

// OfSites shapes the list of sites.
func OfSites(lines []store.SiteLine) Sites {
	shape := Sites{Sites: []SiteLine{}}
	for _, line := range lines {
		one := SiteLine{ID: line.ID.String(), Name: line.Name, Entries: line.Entries, Stations: line.Stations}
		if line.Trouble != nil {
			why := line.Trouble.Error()
			one.Trouble = &why
		}
		if line.Last.After(sootline.LongAgo) {
			last := instant(line.Last)
			one.Last = &last
		}
		shape.Sites = append(shape.Sites, one)
	}
	return shape
}

// Site is what the log book says of a site as a whole.
type Site struct {
	ID       string         `json:"id"`
	Name     string         `json:"name"`
	Zone     string         `json:"zone"`
	Remark   string         `json:"remark"`
	On       string         `json:"on"`
	Points   int            `json:"points"`
	Types    int            `json:"types"`
	Readings int            `json:"readings"`
	Disabled []string       `json:"disabled"`
	Actions  map[string]int `json:"actions"`
	Findings map[string]int `json:"findings"`
	Asked    int            `json:"questions"`
	Course   string         `json:"course"`
	Rules    Rules          `json:"rules"`
	Facts    Facts          `json:"facts"`
	Figures  Figures        `json:"figures"`
	Loops    []LoopFacts    `json:"loops"`
	Caution  string         `json:"caution"`
}

// Rules are those of a site.
type Rules struct {
	VisitMonths   int     `json:"visit_months"`
	ForgottenDays int     `json:"forgotten_days"`
	PooledSD      float64 `json:"pooled_sd"`
	Losses        Losses  `json:"losses"`
}

// Losses say what it costs to be wrong about a detector; only how they stand to each other counts.
type Losses struct {
	Missed  float64 `json:"missed"`
	Look    float64 `json:"look"`
	Clean   float64 `json:"clean"`
	Trip    float64 `json:"trip"`
	Replace float64 `json:"replace"`
}

// LoopFacts is the numbers that a loop allows.
type LoopFacts struct {
	Loop      string `json:"loop"`
	First     int    `json:"first"`
	Last      int    `json:"last"`
	Unset     int    `json:"unset"`
	Reserved  []int  `json:"reserved"`
	Separate  bool   `json:"separate"`
	Described bool   `json:"described"`
	Points    int    `json:"points"`
}

// OfSite shapes what is known of a site as a whole.
func OfSite(s *app.Survey) Site {
	r := s.Register
	figures := s.Figures()
	shape := Site{
		ID: r.Site.ID.String(), Name: r.Site.Name, Zone: s.Zone.String(), Remark: r.Site.Remark, On: instant(s.On),
		Facts: r.Site.SiteFacts, Figures: OfFigures(&figures),
		Points: figures.Points.All, Types: len(r.Sheets()), Readings: r.Readings, Disabled: []string{}, Actions: map[string]int{}, Findings: map[string]int{},
		Asked: len(s.Asked()), Course: s.Judged().Overview.Reason, Loops: []LoopFacts{}, Caution: Caution,
		Rules: Rules{r.Site.Rules.VisitMonths, r.Site.Rules.ForgottenDays, r.Site.Rules.PooledSD, Losses(r.Site.Rules.Losses)},
	}
	on := map[sootline.LoopID]int{}
	for _, p := range r.Points() {
		on[p.LoopID()]++
		if p.Disabled != nil {
			shape.Disabled = append(shape.Disabled, p.Ref().String())
		}
	}
	for _, g := range app.ByAction(s.Judged().Judgements) {
		shape.Actions[string(g.Action)] = len(g.Judgements)
	}
	for _, f := range s.Findings() {
		shape.Findings[f.Weight.String()]++
	}
	for _, l := range r.Loops() {
		reserved := l.Reserved
		if reserved == nil {
			reserved = []int{}
		}
		shape.Loops = append(shape.Loops, LoopFacts{l.String(), l.First, l.Last, l.Unset, reserved, l.Separate, r.Described(l.LoopID), on[l.LoopID]})
	}
	return shape
}

// Caution is to be shown wherever a result could be relied on.
const Caution = "Advice only. Before work: the responsible person's consent, and the monitoring centre told. After it: restore what was disabled. The code that applies there and the device's own instructions come first; design and certification are for those licensed for it. Sootline never writes to a panel."

// Register is the points of a site as they stand.
type Register struct {
	Site   string       `json:"site"`
	On     string       `json:"on"`
	Found  int          `json:"found"`
	Points []Registered `json:"points"`
}

// Registered is a point on the register.
type Registered struct {
	ID       string            `json:"id"`
	Point    string            `json:"point"`
	Loop     string            `json:"loop"`
	Order    int               `json:"order"`
	Metres   *float64          `json:"metres"`
	Zone     string            `json:"zone"`
	Area     string            `json:"area"`
	Location string            `json:"location"`
	Type     string            `json:"type"`
	Serial   string            `json:"serial"`
	Since    *string           `json:"since"`
	Wanted   int               `json:"wanted"`
	Found    int               `json:"found"`
	Stands   Stated            `json:"stands"`
	SetTo    Stated            `json:"set"`
	Wishes   []PointWish       `json:"settings_wished"`
	Wants    map[string]string `json:"settings_wanted"`
	Has      map[string]string `json:"settings_found"`
	Readings int               `json:"readings"`
	Disabled *string           `json:"disabled_since"`
	Removed  *string           `json:"removed"`
}

// Stated is a number with how, since when and by whom it is known; a number of 0:
// nobody said.
type Stated struct {
	Number int     `json:"number"`
	As     string  `json:"as" doc:"listed, found or set"`
	How    string  `json:"how" doc:"setter, panel or person; empty: nobody said"`
	Since  *string `json:"since"`
	By     string  `json:"by"`
}

func ofStated(s sootline.Stated) Stated {
	shape := Stated{Number: s.Number, As: s.As, How: string(s.How), By: s.By}
	if s.Number != 0 {
		shape.Since = instantOf(s.At)
	}
	return shape
}

// PointWish is a setting that is wanted of a point by whatever wish.
type PointWish struct {
	Setting string `json:"setting"`
	Wanted  string `json:"wanted"`
	Of      string `json:"wanted_of" doc:"point, area, zone or type: whose wish it is"`
	Reason  string `json:"reason"`
}

// OfRegistered shapes a point of a register.
func OfRegistered(r *sootline.Register, p *sootline.Point) Registered {
	shape := Registered{
		ID: p.ID.String(), Point: p.Ref().String(), Loop: p.LoopID().String(), Order: p.Order, Metres: p.Metres, Zone: p.Zone, Area: p.Area,
		Location: p.Location, Type: p.Type, Serial: p.Unit.Serial, Since: instantOf(p.UnitSince), Wanted: p.Wanted, Found: p.Found,
		Wants: filled(p.Wants), Has: filled(p.Has), Readings: len(p.Readings),
	}
	shape.Stands, shape.SetTo, shape.Wishes = ofStated(p.Stands), ofStated(p.SetTo), []PointWish{}
	for _, w := range r.WishesOf(p) {
		shape.Wishes = append(shape.Wishes, PointWish{w.Name, w.Choice, w.Of, w.Reason})
	}
	if p.Disabled != nil {
		shape.Disabled = instantOf(p.Disabled.At)
	}
	if p.Removed != nil {
		shape.Removed = instantOf(p.Removed.At)
	}
	return shape
}

func filled(m map[string]string) map[string]string {
	if m == nil {
		return map[string]string{}
	}
	return m
}

// instantOf is null where nobody knows when.
func instantOf(at time.Time) *string {
	if !at.After(sootline.LongAgo) {
		return nil
	}
	text := instant(at)
	return &text
}

// Story is one point with everything that happened there.
type Story struct {
	Registered
	Judged   *Point    `json:"judged"`
	Findings []Finding `json:"findings"`
	Card     string    `json:"card"`
	Entries  []Entry   `json:"story"`
	Caution  string    `json:"caution"`
}

// Types lists the type sheets of a site.
type Types struct {
	Types []Type `json:"types"`
}

// Type is a type sheet.
type Type struct {
	Name        string            `json:"name"`
	Device      string            `json:"device"`
	Width       int               `json:"width"`
	Quantity    string            `json:"quantity"`
	Unit        string            `json:"unit"`
	Bands       []Band            `json:"bands"`
	Compensated bool              `json:"compensated"`
	FactoryRest *float64          `json:"factory_rest"`
	SpreadLimit *float64          `json:"spread_limit"`
	StandbyMA   *float64          `json:"standby_ma"`
	AlarmMA     *float64          `json:"alarm_ma"`
	MinVolts    *float64          `json:"min_volts"`
	LifeYears   *float64          `json:"life_years"`
	Settings    map[string]string `json:"settings"`
}

// Band is the normal interval of a resting value.
type Band struct {
	Setting string   `json:"setting"`
	Low     *float64 `json:"low"`
	High    *float64 `json:"high"`
	Alarm   *float64 `json:"alarm"`
}

// OfTypes shapes the type sheets of a register.
func OfTypes(r *sootline.Register) Types {
	shape := Types{Types: []Type{}}
	for _, s := range r.Sheets() {
		one := Type{
			Name: s.Name, Device: string(s.Kind), Width: s.Numbers(), Quantity: s.Quantity, Unit: s.Unit, Bands: []Band{}, Compensated: s.Compensated,
			FactoryRest: s.FactoryRest, SpreadLimit: s.SpreadLimit, StandbyMA: s.StandbyMA, AlarmMA: s.AlarmMA, MinVolts: s.MinVolts, LifeYears: s.LifeYears,
			Settings: filled(s.Settings),
		}
		for _, b := range s.Bands {
			one.Bands = append(one.Bands, Band(b))
		}
		shape.Types = append(shape.Types, one)
	}
	return shape
}
