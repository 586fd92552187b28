package api

import (
	"context"
	"net/http"
	"time"

	"sootline"
	"sootline/internal/paper"
	"sootline/internal/papers"
	"sootline/internal/shape"
)

// NewFacts are facts of a site to be stated.
type NewFacts struct {
	OfSite
	Body struct {
		ID string `json:"id" format:"uuid" doc:"Id of the entry, a UUID version 7 made by whoever asks: handing it in twice writes it once"`
		sootline.SiteFacts
	}
}

// NewPaper is a paper to be issued.
type NewPaper struct {
	OfSite
	Body struct {
		ID     string            `json:"id" format:"uuid" doc:"Id of the entry that says that it was issued, a UUID version 7 made by whoever asks"`
		Paper  string            `json:"paper" minLength:"1" doc:"Its kind, for example servicing"`
		Format string            `json:"format,omitempty" doc:"pdf, xlsx, csv or html; left out: pdf"`
		Size   string            `json:"size,omitempty" doc:"A4 or Letter; left out: A4"`
		On     string            `json:"on,omitempty" doc:"As of the end of this day on the site's clock; left out: now"`
		From   string            `json:"from,omitempty" doc:"Of a visit or the log: from this day"`
		To     string            `json:"to,omitempty" doc:"And to the end of this one"`
		Point  string            `json:"point,omitempty" doc:"Of a point's history: the point"`
		Loop   string            `json:"loop,omitempty" doc:"Only this loop"`
		Fields map[string]string `json:"fields,omitempty" doc:"What is added by hand where the record says nothing; it stands marked"`
	}
}

// PaperInHand is a paper to be held against the book.
type PaperInHand struct {
	OfSite
	Body struct {
		Code string `json:"code" minLength:"1" doc:"At the foot of its pages"`
		File []byte `json:"file,omitempty" doc:"The file that was handed over"`
	}
}

func papersOf(a *API) {
	operation(a, "state-facts", sootline.Manager, http.MethodPost, "/sites/{site}/facts", "State facts of a site that papers need; what is left out stays as it is", a.stateFacts)
	operation(a, "list-issued", sootline.Technician, http.MethodGet, "/sites/{site}/papers", "The papers that were issued, the last one first", a.listIssued)
	operation(a, "issue-paper", sootline.Technician, http.MethodPost, "/sites/{site}/papers", "Issue a paper: the file, and the entry that says that it was issued", a.issuePaper)
	operation(a, "list-photos", sootline.Technician, http.MethodGet, "/sites/{site}/photos", "The photos that entries of a site name, as they were taken", a.listPhotos)
	operation(a, "list-remedies", sootline.Technician, http.MethodGet, "/sites/{site}/remedies", "What is to be put right, the gravest first", a.listRemedies)
	operation(a, "verify-paper", sootline.Technician, http.MethodPost, "/sites/{site}/papers/verification", "Hold a paper against the book, by its code and its file", a.verifyPaper)
}

func (a *API) stateFacts(ctx context.Context, in *NewFacts) (shape.Site, error) {
	site, err := a.known(ctx, in.OfSite)
	if err != nil {
		return shape.Site{}, err
	}
	as := a.as(ctx)
	if as.Form, err = entryID(in.Body.ID); err != nil {
		return shape.Site{}, err
	}
	if in.Body.SiteFacts == (sootline.SiteFacts{}) {
		return shape.Site{}, sootline.Errorf(sootline.Invalid, "give one of them", "no fact is given")
	}
	if err := as.SetFacts(ctx, site, sootline.Opened{SiteFacts: in.Body.SiteFacts}); err != nil {
		return shape.Site{}, err
	}
	survey, err := a.judged(ctx, AsOf{OfSite: in.OfSite})
	if err != nil {
		return shape.Site{}, err
	}
	return shape.OfSite(survey), nil
}

func (a *API) listIssued(ctx context.Context, in *AsOf) (shape.IssuedPapers, error) {
	survey, err := a.survey(ctx, *in)
	if err != nil {
		return shape.IssuedPapers{}, err
	}
	return shape.OfIssued(papers.Register(survey.Register)), nil
}

func (a *API) listPhotos(ctx context.Context, in *OfSite) (shape.Photos, error) {
	survey, err := a.survey(ctx, AsOf{OfSite: *in})
	if err != nil {
		return shape.Photos{}, err
	}
	all, err := a.as(ctx).Photographs(ctx, survey.Register.Site.ID)
	return shape.OfPhotos(survey.Register.Site.Name, all), err
}

func (a *API) listRemedies(ctx context.Context, in *AsOf) (Remedies, error) {
	survey, err := a.survey(ctx, *in)
	if err != nil {
		return Remedies{}, err
	}
	all, err := papers.Remedies(ctx, a.as(ctx), survey.Register.Site.ID, survey.On)
	return Remedies{survey.Register.Site.Name, all}, err
}

// Remedies is what is to be put right on a site.
type Remedies struct {
	Site     string          `json:"site"`
	Remedies []papers.Remedy `json:"remedies"` // the gravest first
}

func (a *API) issuePaper(ctx context.Context, in *NewPaper) (shape.NewlyIssued, error) {
	survey, err := a.survey(ctx, AsOf{OfSite: in.OfSite})
	if err != nil {
		return shape.NewlyIssued{}, err
	}
	as := a.as(ctx)
	if as.Form, err = entryID(in.Body.ID); err != nil {
		return shape.NewlyIssued{}, err
	}
	wish, err := in.wish(survey.Zone, a.App.Now())
	if err != nil {
		return shape.NewlyIssued{}, err
	}
	name := in.Body.Format
	if name == "" {
		name = "pdf"
	}
	format, ok := paper.FindFormat(name)
	if !ok {
		return shape.NewlyIssued{}, sootline.Errorf(sootline.Invalid, "say pdf, xlsx, csv or html", "%q is not a format of papers", name)
	}
	size, err := paper.FindSize(in.Body.Size)
	if err != nil {
		return shape.NewlyIssued{}, err
	}
	if a.Firm != nil {
		if wish.Firm, err = a.Firm(); err != nil {
			return shape.NewlyIssued{}, err
		}
	}
	issued, err := papers.Issue(ctx, as, survey.Register.Site.ID, wish, format, size)
	if err != nil {
		return shape.NewlyIssued{}, err
	}
	return shape.NewlyIssued{IssuedPaper: shape.OfIssuedPaper(&issued.Entry), Title: issued.Title, File: issued.File}, nil
}

func (in *NewPaper) wish(zone *time.Location, now time.Time) (papers.Wish, error) {
	b := &in.Body
	wish := papers.Wish{Kind: b.Paper, On: now, Point: b.Point, Loop: b.Loop, Fields: b.Fields}
	var err error
	if b.On != "" {
		if wish.On, err = sootline.ParseDayEnds(b.On, zone); err != nil {
			return wish, err
		}
	}
	if b.From != "" {
		if wish.From, err = sootline.ParseDayBegins(b.From, zone); err != nil {
			return wish, err
		}
	}
	if b.To != "" {
		wish.To, err = sootline.ParseDayEnds(b.To, zone)
	}
	return wish, err
}

func (a *API) verifyPaper(ctx context.Context, in *PaperInHand) (shape.PaperVerdict, error) {
	site, err := a.known(ctx, in.OfSite)
	if err != nil {
		return shape.PaperVerdict{}, err
	}
	check, err := papers.Verify(ctx, a.as(ctx), site, in.Body.Code, in.Body.File)
	if err != nil {
		return shape.PaperVerdict{}, err
	}
	verdict := shape.PaperVerdict{Issued: shape.OfIssued(check.Issued).Papers, Lines: check.Lines, Since: check.Since, Changed: len(check.Earlier)}
	if check.Broken != nil {
		verdict.Broken = check.Broken.Error()
	}
	if check.File {
		same := check.Same != nil
		verdict.Same = &same
	}
	if check.Entry != nil {
		verdict.Draft = check.Entry.ID.String()
	}
	return verdict, nil
}
