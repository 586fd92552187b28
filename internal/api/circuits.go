package api

import (
	"bytes"
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
)

// OfLoop names a loop of a site.
type OfLoop struct {
	AsOf
	Loop string `path:"loop" doc:"For example 1.2"`
}

// WhatIf changes a loop before it is solved; nothing is written down.
type WhatIf struct {
	Volts    float64  `query:"volts" minimum:"0" doc:"Volts at the panel; 0: as it is"`
	MM2      float64  `query:"mm2" minimum:"0" doc:"Cross-section in square millimetres; 0: as it is"`
	Add      int      `query:"add" minimum:"0" maximum:"250" doc:"Devices more, before IN"`
	Type     string   `query:"type" doc:"Of those devices"`
	Isolator string   `query:"isolator" doc:"A point that gets an isolator in its base"`
	Alarms   int      `query:"alarms" minimum:"-1" maximum:"1000" default:"-1" doc:"Devices in alarm at once; -1: as it is"`
	InAlarm  []string `query:"in_alarm,explode" maxItems:"1000" doc:"Exactly these points in alarm"`
	Fault    []string `query:"fault,explode" maxItems:"20" doc:"A fault besides: break@POINT, short@POINT, plus@POINT, minus@POINT"`
	Pairs    bool     `query:"pairs" doc:"Look at every two breaks at once too"`
}

// PowerQuery solves a loop.
type PowerQuery struct {
	OfLoop
	WhatIf
	Every bool `query:"every" doc:"List every single fault, with what it leaves and what it takes"`
}

// PowerFile solves a loop with a file laid over it.
type PowerFile struct {
	PowerQuery
	RawBody []byte `contentType:"application/json" doc:"A what-if, as docs/formats/loop.md describes it"`
}

// AdviceQuery asks what would help a loop.
type AdviceQuery struct {
	OfLoop
	Type string `query:"type" doc:"The type of device of which more are wanted"`
}

// ShortQuery finds a short between the cores.
type ShortQuery struct {
	OfLoop
	Out   float64 `query:"out_ohms" required:"true" minimum:"0" doc:"Across the pair at OUT, IN open"`
	In    float64 `query:"in_ohms" required:"true" minimum:"0" doc:"Across the pair at IN, OUT open"`
	End   float64 `query:"end_to_end" minimum:"0" doc:"Both cores in series when the loop was sound; 0: from the cable's table"`
	Meter float64 `query:"meter" minimum:"0" default:"0.1" doc:"Largest error of one reading in ohms"`
}

// BreakQuery finds where a core is interrupted.
type BreakQuery struct {
	OfLoop
	Out   float64 `query:"out_nf" required:"true" minimum:"0" doc:"Nanofarads between the cores at OUT, IN open"`
	In    float64 `query:"in_nf" required:"true" minimum:"0" doc:"Nanofarads between the cores at IN, OUT open"`
	Error float64 `query:"error" minimum:"0" maximum:"100" default:"2" doc:"Largest error of one reading in per cent"`
}

// EarthQuery finds where one core touches earth.
type EarthQuery struct {
	OfLoop
	Test      string  `query:"test" required:"true" enum:"murray,varley,blavier"`
	Core      string  `query:"core" enum:"plus,minus" default:"plus"`
	Companion bool    `query:"companion" doc:"The way back is the sound core, joined at IN"`
	P         float64 `query:"p" minimum:"0" doc:"Arm P"`
	Q         float64 `query:"q" minimum:"0" doc:"Arm Q, on the side of OUT"`
	S1        float64 `query:"s1" minimum:"0" doc:"Varley: the variable with the bridge at earth"`
	S2        float64 `query:"s2" minimum:"0" doc:"Varley: the variable with the bridge at the loop"`
	Open      float64 `query:"open" minimum:"0" doc:"Blavier: ohms with IN open"`
	Earthed   float64 `query:"earthed" minimum:"0" doc:"Blavier: ohms with IN earthed"`
	Whole     float64 `query:"whole" minimum:"0" doc:"Blavier: ohms of the core end to end when it was sound"`
	Error     float64 `query:"error" minimum:"0" maximum:"100" default:"1" doc:"Largest error of an arm in per cent"`
	Meter     float64 `query:"meter" minimum:"0" default:"0.1" doc:"Largest error of one reading in ohms"`
}

// LeadQuery asks for the next step of a search for a fault.
type LeadQuery struct {
	OfLoop
	Panel   string   `query:"panel" doc:"What the panel says with both ends plugged in, for example: says open; silent 16-29; out 42; in 38. Left out: not known"`
	Told    []string `query:"told,explode" maxItems:"100" doc:"A step with its answer, for example: out/list: silent 16-29. In order"`
	NoMeter bool     `query:"no_meter" doc:"No multimeter is at hand"`
}

// NoteFound writes the end of a search down.
type NoteFound struct {
	OfSite
	Loop string `path:"loop" doc:"For example 1.2"`
	Body struct {
		ID      string   `json:"id" format:"uuid" doc:"Id of the entry, a UUID version 7 made by whoever asks: handing it in twice writes it once"`
		Panel   string   `json:"panel,omitempty" doc:"What the panel said, as lead-fault takes it"`
		Told    []string `json:"told,omitempty" maxItems:"100" doc:"The steps with their answers, as lead-fault takes them"`
		NoMeter bool     `json:"no_meter,omitempty" doc:"No multimeter was at hand"`
		Grade   string   `json:"grade" enum:"minor,serious,critical" doc:"How grave the defect is"`
	}
}

func circuits(a *API) {
	const loops = "/sites/{site}/loops"
	operation(a, "solve-loops", sootline.Reader, http.MethodGet, loops, "Every loop as the circuit that it is, as `loop --json`", a.solveAll)
	operation(a, "solve-loop", sootline.Reader, http.MethodGet, loops+"/{loop}/power", "One loop as a circuit, and what if", func(ctx context.Context, in *PowerQuery) (shape.Loops, error) {
		return a.solve(ctx, in, nil)
	})
	operation(a, "solve-loop-with-file", sootline.Reader, http.MethodPost, loops+"/{loop}/power", "The same with a what-if laid over it; nothing is written down", func(ctx context.Context, in *PowerFile) (shape.Loops, error) {
		file, err := app.ReadLoopFile(bytes.NewReader(in.RawBody))
		if err != nil {
			return shape.Loops{}, sootline.Errorf(sootline.Invalid, "docs/formats/loop.md describes it", "%w", err)
		}
		return a.solve(ctx, &in.PowerQuery, file)
	}, anyObject)
	operation(a, "design-loops", sootline.Reader, http.MethodPost, loops+"/design", "Loops of what areas want, before there is a register, as `loop design --json`; nothing is written down", a.design)
	operation(a, "write-design", sootline.Manager, http.MethodPost, loops+"/design/write", "The same, written into the register for the bench, as one act", a.writeDesign)
	operation(a, "advise-loop", sootline.Reader, http.MethodGet, loops+"/{loop}/advice", "What would help a loop, as `loop advise --json`", a.advise)
	operation(a, "find-short", sootline.Reader, http.MethodGet, loops+"/{loop}/short", "Where a short between the cores lies", func(ctx context.Context, in *ShortQuery) (shape.Location, error) {
		return a.locate(ctx, in.OfLoop, func(site sootline.ID, loop sootline.LoopID) (*app.Located, error) {
			return a.as(ctx).FindShort(ctx, site, loop, app.ShortReading{FromOut: app.Ohms(in.Out), FromIn: app.Ohms(in.In), EndToEnd: app.Ohms(in.End), Meter: app.Ohms(in.Meter)})
		})
	})
	operation(a, "find-break", sootline.Reader, http.MethodGet, loops+"/{loop}/break", "Where a core is interrupted", func(ctx context.Context, in *BreakQuery) (shape.Location, error) {
		return a.locate(ctx, in.OfLoop, func(site sootline.ID, loop sootline.LoopID) (*app.Located, error) {
			return a.as(ctx).FindBreak(ctx, site, loop, in.Out, in.In, in.Error/100)
		})
	})
	operation(a, "find-earth", sootline.Reader, http.MethodGet, loops+"/{loop}/earth", "Where one core touches earth", func(ctx context.Context, in *EarthQuery) (shape.Location, error) {
		return a.locate(ctx, in.OfLoop, func(site sootline.ID, loop sootline.LoopID) (*app.Located, error) {
			return a.as(ctx).FindEarth(ctx, site, loop, in.reading())
		})
	})
	operation(a, "lead-fault", sootline.Reader, http.MethodGet, loops+"/{loop}/find", "The next step of a search for a fault, or where it is, as `loop find --json`", a.leadFault)
	operation(a, "note-fault", sootline.Technician, http.MethodPost, loops+"/{loop}/find", "Write the end of such a search down as a defect", a.noteFault)
}

func (a *API) leadFault(ctx context.Context, in *LeadQuery) (shape.Lead, error) {
	site, err := in.id()
	if err != nil {
		return shape.Lead{}, err
	}
	loop, err := a.loop(ctx, in.OfSite, in.Loop)
	if err != nil {
		return shape.Lead{}, err
	}
	lead, err := a.as(ctx).LeadFault(ctx, site, loop, app.FaultTold{Panel: in.Panel, Told: in.Told, NoMeter: in.NoMeter})
	if err != nil {
		return shape.Lead{}, err
	}
	return shape.OfLead(lead), nil
}

func (a *API) noteFault(ctx context.Context, in *NoteFound) (shape.Entry, error) {
	site, err := a.known(ctx, in.OfSite)
	if err != nil {
		return shape.Entry{}, err
	}
	loop, err := a.loop(ctx, in.OfSite, in.Loop)
	if err != nil {
		return shape.Entry{}, err
	}
	var note app.Note
	if note.ID, err = entryID(in.Body.ID); err != nil {
		return shape.Entry{}, err
	}
	told := app.FaultTold{Panel: in.Body.Panel, Told: in.Body.Told, NoMeter: in.Body.NoMeter}
	return entryOf(a.as(ctx).NoteFault(ctx, site, loop, told, sootline.DefectGrade(in.Body.Grade), note))
}

// anyObject says that the body is an object, which the reader of its own checks.
func anyObject(op *huma.Operation) {
	op.SkipValidateBody = true
	op.RequestBody = &huma.RequestBody{Required: true, Content: map[string]*huma.MediaType{"application/json": {Schema: &huma.Schema{Type: huma.TypeObject}}}}
}

func (in *EarthQuery) reading() app.EarthReading {
	reading := app.EarthReading{
		Test: app.MurrayTest, Core: app.PlusCore, Companion: in.Companion, P: in.P, Q: in.Q, S1: in.S1, S2: in.S2,
		Open: app.Ohms(in.Open), Earthed: app.Ohms(in.Earthed), Whole: app.Ohms(in.Whole), Arms: in.Error / 100, Meter: app.Ohms(in.Meter),
	}
	if in.Core == "minus" {
		reading.Core = app.MinusCore
	}
	switch in.Test {
	case "varley":
		reading.Test = app.VarleyTest
	case "blavier":
		reading.Test = app.BlavierTest
	}
	return reading
}

func (a *API) solveAll(ctx context.Context, in *AsOf) (shape.Loops, error) {
	survey, err := a.survey(ctx, *in)
	if err != nil {
		return shape.Loops{}, err
	}
	with := map[sootline.LoopID]bool{}
	for _, p := range survey.Register.Points() {
		with[p.LoopID()] = true
	}
	var powers []*app.Power
	for _, loop := range survey.Register.Loops() {
		if !with[loop.LoopID] {
			continue
		}
		power, err := app.LoopPower(survey.Register, loop.LoopID, app.WhatIf{}, app.Ask{})
		if err != nil {
			return shape.Loops{}, err
		}
		powers = append(powers, power)
	}
	radials, err := app.RadialPowers(survey.Register, "")
	if err != nil {
		return shape.Loops{}, err
	}
	return shape.OfLoops(powers, radials, false), nil
}

func (a *API) solve(ctx context.Context, in *PowerQuery, file *app.LoopFile) (shape.Loops, error) {
	survey, err := a.survey(ctx, in.AsOf)
	if err != nil {
		return shape.Loops{}, err
	}
	if radial, err := app.RadialNamed(survey.Register, in.Loop); err != nil || radial != nil {
		return shape.OfLoops(nil, []*app.RadialPower{radial}, false), err
	}
	loop, err := survey.LoopNamed(in.Loop)
	if err != nil {
		return shape.Loops{}, err
	}
	what := app.WhatIf{Volts: in.Volts, MM2: in.MM2, Add: in.Add, Type: in.Type, Base: in.Isolator, InAlarm: in.InAlarm, File: file}
	if in.Alarms >= 0 {
		what.AtOnce = &in.Alarms
	}
	power, err := app.LoopPower(survey.Register, loop, what, app.Ask{Pairs: in.Pairs, Faults: in.Fault, Turns: true})
	if err != nil {
		return shape.Loops{}, err
	}
	return shape.OfLoops([]*app.Power{power}, nil, in.Every), nil
}

func (a *API) advise(ctx context.Context, in *AdviceQuery) (shape.Advice, error) {
	survey, err := a.survey(ctx, in.AsOf)
	if err != nil {
		return shape.Advice{}, err
	}
	loop, err := survey.LoopNamed(in.Loop)
	if err != nil {
		return shape.Advice{}, err
	}
	advice, err := a.as(ctx).AdviseLoop(ctx, survey.Register.Site.ID, survey.On, loop, in.Type)
	if err != nil {
		return shape.Advice{}, err
	}
	return shape.OfAdvice(loop, advice), nil
}

func (a *API) locate(ctx context.Context, in OfLoop, find func(sootline.ID, sootline.LoopID) (*app.Located, error)) (shape.Location, error) {
	site, err := in.id()
	if err != nil {
		return shape.Location{}, err
	}
	loop, err := a.loop(ctx, in.OfSite, in.Loop)
	if err != nil {
		return shape.Location{}, err
	}
	found, err := find(site, loop)
	if err != nil {
		return shape.Location{}, err
	}
	return shape.OfLocation(loop, found), nil
}

// loop finds a loop by its name.
func (a *API) loop(ctx context.Context, in OfSite, name string) (sootline.LoopID, error) {
	survey, err := a.survey(ctx, AsOf{OfSite: in})
	if err != nil {
		return sootline.LoopID{}, err
	}
	return survey.LoopNamed(name)
}
