package api

import (
	"context"
	"net/http"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
)

// NewSite is a site to be added.
type NewSite struct {
	Body struct {
		ID    string    `json:"id" format:"uuid" doc:"Id of the site, a UUID version 7 made by whoever asks: handing it in twice adds it once"`
		Name  string    `json:"name" minLength:"1" maxLength:"200"`
		Zone  string    `json:"zone,omitempty" doc:"IANA time zone, for example Europe/Paris; left out: UTC"`
		Loops []NewLoop `json:"loops,omitempty"`
	}
}

// NewLoop is a loop of a new site.
type NewLoop struct {
	Panel string `json:"panel,omitempty" doc:"Left out: 1"`
	Loop  string `json:"loop" minLength:"1"`
	First int    `json:"first,omitempty" doc:"Lowest number; left out: 1"`
	Last  int    `json:"last,omitempty" doc:"Highest number; left out: 126"`
	Unset int    `json:"unset,omitempty" doc:"Number of a device that nobody has set; left out: 127 where first and last are left out too"`
}

// Made is the id of what was made.
type Made struct {
	ID string `json:"id" format:"uuid"`
}

func sites(a *API) {
	operation(a, "list-sites", sootline.Reader, http.MethodGet, "/sites", "The sites of the book", func(ctx context.Context, _ *None) (shape.Sites, error) {
		lines, err := a.as(ctx).Sites(ctx)
		if err == nil {
			err = a.Shown(ctx, lines)
		}
		return shape.OfSites(lines), err
	})
	operation(a, "add-site", sootline.Manager, http.MethodPost, "/sites", "Add a site", a.addSite)
	operation(a, "make-demo", sootline.Manager, http.MethodPost, "/demo", "Make the demo where the book has no site, as the button of the page does; gives the sites", func(ctx context.Context, _ *None) (shape.Sites, error) {
		lines, err := a.Demo(ctx, a.as(ctx))
		return shape.OfSites(lines), err
	})
	operation(a, "show-site", sootline.Reader, http.MethodGet, "/sites/{site}", "A site as a whole: facts, rules, loops, what is to be done", func(ctx context.Context, in *AsOf) (shape.Site, error) {
		survey, err := a.judged(ctx, *in)
		if err != nil {
			return shape.Site{}, err
		}
		return shape.OfSite(survey), nil
	})
	operation(a, "judge-site", sootline.Reader, http.MethodGet, "/sites/{site}/judged", "What the resting values come to, as `judge --json`", func(ctx context.Context, in *AsOf) (shape.Judged, error) {
		survey, err := a.judged(ctx, *in)
		if err != nil {
			return shape.Judged{}, err
		}
		return shape.OfJudged(survey.Register, survey.On, survey.Judged().Judgements), nil
	})
	operation(a, "check-site", sootline.Reader, http.MethodGet, "/sites/{site}/findings", "What is wrong on the register, as `check --json`", func(ctx context.Context, in *AsOf) (shape.Check, error) {
		survey, err := a.survey(ctx, *in)
		if err != nil {
			return shape.Check{}, err
		}
		return shape.OfCheck(survey.Register, survey.On, survey.Findings()), nil
	})
	operation(a, "list-types", sootline.Reader, http.MethodGet, "/sites/{site}/types", "The type sheets", func(ctx context.Context, in *AsOf) (shape.Types, error) {
		survey, err := a.survey(ctx, *in)
		if err != nil {
			return shape.Types{}, err
		}
		return shape.OfTypes(survey.Register), nil
	})
}

func (a *API) addSite(ctx context.Context, in *NewSite) (Made, error) {
	id, err := sootline.ParseID(in.Body.ID)
	if err != nil {
		return Made{}, sootline.Errorf(sootline.Invalid, "make a UUID version 7", "the id cannot be read: %w", err)
	}
	site := app.NewSite{ID: id, Name: in.Body.Name, Zone: in.Body.Zone}
	for _, l := range in.Body.Loops {
		facts := sootline.LoopFacts{Panel: sootline.CleanName(l.Panel), Loop: sootline.CleanName(l.Loop), First: l.First, Last: l.Last, Unset: l.Unset}
		if facts.Panel == "" {
			facts.Panel = "1"
		}
		if l.First == 0 && l.Last == 0 {
			facts.First, facts.Last = sootline.DefaultFirst, sootline.DefaultLast
			if l.Unset == 0 {
				facts.Unset = sootline.DefaultUnset
			}
		}
		site.Loops = append(site.Loops, facts)
	}
	id, err = a.as(ctx).AddSite(ctx, site)
	return Made{id.String()}, err
}
