package api

import (
	"context"
	"net/http"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
)

// PointsQuery asks for points of the register.
type PointsQuery struct {
	AsOf
	Loop   string `query:"loop" doc:"Only this loop, for example 1.2"`
	Text   string `query:"q" doc:"Only points with all these words in number, type, place or serial"`
	Offset int    `query:"offset" minimum:"0" doc:"Leave out the first so many"`
	Limit  int    `query:"limit" minimum:"1" maximum:"10000" default:"1000"`
}

// OfPoint names a point of a site.
type OfPoint struct {
	AsOf
	Point string `path:"point" doc:"Its reference, for example 1.2.073, or its id"`
}

func points(a *API) {
	operation(a, "list-points", sootline.Reader, http.MethodGet, "/sites/{site}/points", "The points of the register, in its order", a.listPoints)
	operation(a, "show-point", sootline.Reader, http.MethodGet, "/sites/{site}/points/{point}", "The story of one point", a.showPoint)
}

func (a *API) listPoints(ctx context.Context, in *PointsQuery) (shape.Register, error) {
	survey, err := a.survey(ctx, in.AsOf)
	if err != nil {
		return shape.Register{}, err
	}
	list := shape.Register{Site: survey.Register.Site.Name, On: survey.On.UTC().Format("2006-01-02T15:04:05Z"), Points: []shape.Registered{}}
	words := strings.Fields(strings.ToLower(in.Text))
	for _, p := range survey.Register.Points() {
		text := strings.ToLower(strings.Join([]string{p.Ref().String(), p.Type, p.Location, p.Area, p.Zone, p.Unit.Serial}, " "))
		if in.Loop != "" && p.LoopID().String() != in.Loop || slices.ContainsFunc(words, func(word string) bool { return !strings.Contains(text, word) }) {
			continue
		}
		if list.Found++; list.Found > in.Offset && len(list.Points) < in.Limit {
			list.Points = append(list.Points, shape.OfRegistered(survey.Register, p))
		}
	}
	return list, nil
}

func (a *API) showPoint(ctx context.Context, in *OfPoint) (shape.Story, error) {
	survey, err := a.judged(ctx, in.AsOf)
	if err != nil {
		return shape.Story{}, err
	}
	p, err := app.PointNamed(survey.Register, in.Point)
	if err != nil {
		return shape.Story{}, err
	}
	story := shape.Story{Registered: shape.OfRegistered(survey.Register, p), Findings: []shape.Finding{}, Caution: shape.Caution}
	if j := survey.Judgement(p); j != nil {
		judged := shape.OfPoint(*j)
		story.Judged = &judged
	}
	about := slices.DeleteFunc(slices.Clone(survey.Findings()), func(f sootline.Finding) bool { return !slices.Contains(f.Points, p) })
	story.Findings = shape.OfCheck(survey.Register, survey.On, about).Findings
	if card, err := survey.Card(p); err == nil && card != nil { // what is wrong with a loop's rules is told where numbers are planned
		story.Card = app.CardText(card)
	}
	story.Entries, err = shape.OfEntries(survey.Happened(p))
	return story, err
}
