package api

import (
	"context"
	"net/http"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

// RoundQuery asks for the round of a visit.
type RoundQuery struct {
	AsOf
	Minutes int      `query:"minutes" required:"true" minimum:"1" doc:"Minutes on site"`
	Order   []string `query:"order,explode" doc:"The technician's own walking order: areas or points"`
}

// AlarmQuery asks for the rates of false alarms.
type AlarmQuery struct {
	AsOf
	Code string `query:"code" doc:"The code of the limits; left out: the first of the list"`
}

// Attendances is the visits to a site, in order of time.
type Attendances struct {
	Visits []shape.Visit `json:"visits"`
}

func visits(a *API) {
	operation(a, "list-due", sootline.Reader, http.MethodGet, "/sites/{site}/due", "What the rules of service ask for, why, since when and until when", a.listDue)
	operation(a, "list-visits", sootline.Reader, http.MethodGet, "/sites/{site}/visits", "The visits that were opened, and how they were left", a.listVisits)
	operation(a, "plan-visit", sootline.Reader, http.MethodGet, "/sites/{site}/visits/plan", "The round of a visit of so many minutes, and what did not fit", a.planVisit)
	operation(a, "rate-alarms", sootline.Reader, http.MethodGet, "/sites/{site}/alarms", "False alarms: rate with the range that chance alone allows, the code's limits, what repeats", a.rateAlarms)
}

func (a *API) listDue(ctx context.Context, in *AsOf) (shape.Due, error) {
	survey, err := a.survey(ctx, *in)
	if err != nil {
		return shape.Due{}, err
	}
	list, err := a.as(ctx).Due(ctx, lineOf(survey), survey.On)
	if err != nil {
		return shape.Due{}, err
	}
	return shape.OfDue([]app.DueList{list}), nil
}

func (a *API) listVisits(ctx context.Context, in *OfSite) (Attendances, error) {
	survey, err := a.survey(ctx, AsOf{OfSite: *in})
	if err != nil {
		return Attendances{}, err
	}
	_, all, err := a.as(ctx).Visits(ctx, lineOf(survey))
	return Attendances{shape.OfVisits(all)}, err
}

func (a *API) planVisit(ctx context.Context, in *RoundQuery) (shape.Round, error) {
	survey, err := a.survey(ctx, in.AsOf)
	if err != nil {
		return shape.Round{}, err
	}
	plan, err := a.as(ctx).PlanVisit(ctx, lineOf(survey), app.VisitWish{On: survey.On, Minutes: in.Minutes, Order: in.Order})
	if err != nil {
		return shape.Round{}, err
	}
	return shape.OfRound(plan), nil
}

func (a *API) rateAlarms(ctx context.Context, in *AlarmQuery) (shape.Alarms, error) {
	survey, err := a.survey(ctx, in.AsOf)
	if err != nil {
		return shape.Alarms{}, err
	}
	if in.Code == "" {
		in.Code = app.AlarmCodes()[0].Key
	}
	report, err := a.as(ctx).Alarms(ctx, survey.Register.Site.ID, survey.On, in.Code)
	if err != nil {
		return shape.Alarms{}, err
	}
	return shape.OfAlarms(report), nil
}

// lineOf names the site of a survey.
func lineOf(survey *app.Survey) store.SiteLine {
	return store.SiteLine{ID: survey.Register.Site.ID, Name: survey.Register.Site.Name}
}
