package api

import (
	"cmp"
	"context"
	"net/http"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
)

// StandbyAsked is a battery to be sized.
type StandbyAsked struct {
	OfSite
	Body struct {
		Panel     string    `json:"panel,omitempty" doc:"Take what stands on the loops of this panel, and its load list, from the register"`
		Loads     []Drain   `json:"loads,omitempty" maxItems:"1000"`
		Rule      int       `json:"rule,omitempty" minimum:"0" doc:"Number of the rule set; 0: the load list's, else all of them"`
		Coldest   *float64  `json:"coldest,omitempty" minimum:"-60" maximum:"60" doc:"Lowest temperature of the battery in degrees Celsius"`
		Design    float64   `json:"design,omitempty" minimum:"0" doc:"Factor for load that is added later"`
		Ageing    float64   `json:"ageing,omitempty" minimum:"0" doc:"Ageing factor where the rule has none"`
		ChargerMA float64   `json:"charger_ma,omitempty" minimum:"0" doc:"What the charger gives on average beside the load"`
		Accepts   float64   `json:"accepts,omitempty" minimum:"0" maximum:"1" doc:"Share of the charge that the battery keeps"`
		Largest   float64   `json:"largest_ah,omitempty" minimum:"0" doc:"The largest battery that the panel takes"`
		Sizes     []float64 `json:"sizes_ah,omitempty" maxItems:"1000" doc:"Capacities to choose from; left out: those commonly sold"`
	}
}

// LoadsStated is the load list of a panel.
type LoadsStated struct {
	OfSite
	Body struct {
		ID string `json:"id" format:"uuid" doc:"Id of the entry, a UUID version 7 made by whoever asks: handing it in twice writes it once"`
		sootline.LoadList
	}
}

// Drain is one line of a load list.
type Drain struct {
	Name    string  `json:"name"`
	Count   int     `json:"count" minimum:"0" maximum:"1000000"`
	RestMA  float64 `json:"rest_ma" minimum:"0"`
	AlarmMA float64 `json:"alarm_ma" minimum:"0"`
}

// WearQuery is a discharge test.
type WearQuery struct {
	Rated float64 `query:"rated" required:"true" doc:"Capacity in Ah at the 20 h rate"`
	Amps  float64 `query:"amps" required:"true" doc:"Current of the test"`
	Hours float64 `query:"hours" required:"true" doc:"Hours until the end voltage"`
	K     float64 `query:"k" default:"1.2" doc:"Peukert's exponent"`
	Years float64 `query:"years" minimum:"0" doc:"Age of the battery; 0: not known"`
}

// StandbyRules lists the rule sets.
type StandbyRules struct {
	Rules []shape.StandbyRule `json:"rules"`
}

func batteries(a *API) {
	operation(a, "list-standby-rules", sootline.Reader, http.MethodGet, "/standby/rules", "The rule sets for batteries, with their figures", func(context.Context, *None) (StandbyRules, error) {
		return StandbyRules{shape.OfStandbyRules()}, nil
	})
	operation(a, "size-battery", sootline.Reader, http.MethodPost, "/sites/{site}/standby", "Size the standby battery; nothing is written down", a.standby)
	operation(a, "state-loads", sootline.Manager, http.MethodPost, "/sites/{site}/standby/loads", "Write the load list of a panel down, in place of the one before", a.stateLoads)
	operation(a, "judge-battery", sootline.Reader, http.MethodGet, "/standby/wear", "What a discharge test says of a battery's age", func(_ context.Context, in *WearQuery) (shape.Wear, error) {
		test := app.Discharge{Rated: app.AmpHours(in.Rated), Current: app.Amps(in.Amps), Lasted: app.Hours(in.Hours), K: in.K, Years: in.Years}
		wear, err := test.Wear()
		if err != nil {
			return shape.Wear{}, err
		}
		return shape.OfWear(&wear), nil
	})
}

func (a *API) standby(ctx context.Context, in *StandbyAsked) (shape.Standby, error) {
	site, err := in.id()
	if err != nil {
		return shape.Standby{}, err
	}
	asked := &in.Body
	battery := app.Battery{Under: app.Conditions{Design: asked.Design, Ageing: asked.Ageing, Charger: app.Amps(asked.ChargerMA / 1000), Accepts: asked.Accepts}}
	if asked.Coldest != nil {
		celsius := app.Celsius(*asked.Coldest)
		battery.Under.Coldest = &celsius
	}
	for _, size := range asked.Sizes {
		battery.Under.Sizes = append(battery.Under.Sizes, app.AmpHours(size))
	}
	battery.Under.Largest = app.AmpHours(asked.Largest)
	for _, d := range asked.Loads {
		battery.Drains = append(battery.Drains, app.Drain{Name: d.Name, Count: d.Count, Rest: app.Amps(d.RestMA / 1000), Alarm: app.Amps(d.AlarmMA / 1000)})
	}
	if asked.Panel == "" {
		return shape.OfStandby(battery.With(nil, battery.Drains), asked.Rule, nil)
	}
	whole, assumed, err := a.as(ctx).PanelBattery(ctx, site, a.App.Now(), asked.Panel, battery)
	if err != nil {
		return shape.Standby{}, err
	}
	return shape.OfStandby(whole, cmp.Or(asked.Rule, whole.Rule), assumed)
}

// stateLoads writes the load list of a panel down.
func (a *API) stateLoads(ctx context.Context, in *LoadsStated) (shape.Standby, error) {
	site, err := a.known(ctx, in.OfSite)
	if err != nil {
		return shape.Standby{}, err
	}
	as := a.as(ctx)
	if as.Form, err = entryID(in.Body.ID); err != nil {
		return shape.Standby{}, err
	}
	if err := as.SetLoads(ctx, site, in.Body.LoadList); err != nil {
		return shape.Standby{}, err
	}
	battery, assumed, err := as.PanelBattery(ctx, site, a.App.Now(), in.Body.Panel, app.Battery{})
	if err != nil {
		return shape.Standby{}, err
	}
	return shape.OfStandby(battery, battery.Rule, assumed)
}
