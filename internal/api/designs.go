package api

import (
	"context"
	"strings"

	"sootline/internal/app"
	"sootline/internal/shape"
)

// DesignAsked is what is wanted of loops, and what is chosen.
type DesignAsked struct {
	OfSite
	Body DesignWanted
}

// DesignWanted is a design as it is asked for.
type DesignWanted struct {
	Table     string   `json:"table" maxLength:"1048576" doc:"A table with a line an area or a place, as docs/handbook/design.md has it"`
	Panel     string   `json:"panel,omitempty" doc:"The panel whose loops they are to be; left out: the first"`
	Like      string   `json:"like,omitempty" doc:"The loop that is fed as these will be; left out: the first of the panel"`
	At        string   `json:"at,omitempty" doc:"Where the panel is: metres across, along, floor; for example 12,0,0"`
	Risers    string   `json:"risers,omitempty" doc:"Where cable goes from floor to floor, each as across/along in metres, with spaces between"`
	Storey    float64  `json:"storey,omitempty" minimum:"0" maximum:"100" doc:"Metres of cable from floor to floor; 0: the usual"`
	Slack     *float64 `json:"slack,omitempty" minimum:"0" maximum:"100" doc:"Metres of cable a device besides; left out: the usual"`
	Spare     *float64 `json:"spare,omitempty" minimum:"0" maximum:"99" doc:"Per cent of the numbers kept for later; left out: the usual"`
	Most      int      `json:"most,omitempty" minimum:"0" maximum:"9999" doc:"Numbers that a loop may have; 0: as its span allows"`
	Loops     int      `json:"loops,omitempty" minimum:"0" maximum:"250" doc:"How many; 0: as few as do"`
	MM2       float64  `json:"mm2,omitempty" minimum:"0" maximum:"100" doc:"Cross-section in square millimetres; 0: the smallest that does"`
	Sure      bool     `json:"sure,omitempty" doc:"It is so: places that stand on the register already are meant once more"`
	Isolators string   `json:"isolators,omitempty" enum:"fewest,every" doc:"As few as keep the rules, or one in every base"`
}

// DesignWritten is an act that wrote a design.
type DesignWritten struct {
	shape.Design
	Take string `json:"take" doc:"The act, by which it is taken back"`
}

func (a *API) designed(ctx context.Context, in *DesignAsked) (*app.Design, error) {
	survey, err := a.survey(ctx, AsOf{OfSite: in.OfSite})
	if err != nil {
		return nil, err
	}
	b := &in.Body
	choice := app.DesignChoice{Panel: b.Panel, Like: b.Like, Most: b.Most, Spare: -1, Loops: b.Loops, MM2: b.MM2, Every: b.Isolators == "every", Storey: b.Storey, Slack: -1}
	if b.Spare != nil {
		choice.Spare = *b.Spare
	}
	if b.Slack != nil {
		choice.Slack = *b.Slack
	}
	if err := choice.Place(b.At, b.Risers); err != nil {
		return nil, err
	}
	brief, err := app.ReadDesignBrief(strings.NewReader(b.Table), survey.Register)
	if err != nil {
		return nil, err
	}
	return app.DesignLoops(survey.Register, brief, choice)
}

func (a *API) design(ctx context.Context, in *DesignAsked) (shape.Design, error) {
	d, err := a.designed(ctx, in)
	if err != nil {
		return shape.Design{}, err
	}
	return shape.OfDesign(d), nil
}

func (a *API) writeDesign(ctx context.Context, in *DesignAsked) (DesignWritten, error) {
	site, err := in.id()
	if err != nil {
		return DesignWritten{}, err
	}
	d, err := a.designed(ctx, in)
	if err != nil {
		return DesignWritten{}, err
	}
	d.Sure = in.Body.Sure
	act, err := a.as(ctx).WriteDesign(ctx, site, d, "the API")
	if err != nil {
		return DesignWritten{}, err
	}
	return DesignWritten{shape.OfDesign(d), act.ID.String()}, nil
}
