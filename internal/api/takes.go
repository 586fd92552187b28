package api

import (
	"context"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
)

// TakeBack says which take is to be taken back.
type TakeBack struct {
	OfSite
	Body struct {
		Take    string `json:"take" maxLength:"200" doc:"Its name, or the id of the entry that tells of it"`
		Why     string `json:"why,omitempty" maxLength:"1000"`
		Sure    bool   `json:"sure,omitempty" doc:"Although later entries rest on it"`
		Preview bool   `json:"preview,omitempty" doc:"Work out what would happen, and take nothing back"`
	}
}

func (a *API) takes(ctx context.Context, in *OfSite) (shape.Takes, error) {
	site, err := a.known(ctx, *in)
	if err != nil {
		return shape.Takes{}, err
	}
	acts, err := a.as(ctx).Acts(ctx, site)
	return shape.OfTakes(acts), err
}

func (a *API) undoTake(ctx context.Context, in *TakeBack) (shape.TakeUndone, error) {
	site, err := a.known(ctx, in.OfSite)
	if err != nil {
		return shape.TakeUndone{}, err
	}
	do := a.as(ctx).UndoTake
	if in.Body.Preview {
		do = a.as(ctx).LookAtUndo
	}
	u, err := do(ctx, site, app.UndoWish{Act: in.Body.Take, Why: in.Body.Why, Sure: in.Body.Sure})
	if err != nil {
		return shape.TakeUndone{}, err
	}
	return shape.OfTakeUndone(u), nil
}

func (a *API) aliases(ctx context.Context, in *OfSite) (shape.Aliases, error) {
	site, err := a.known(ctx, *in)
	if err != nil {
		return shape.Aliases{}, err
	}
	r, err := a.as(ctx).Register(ctx, site, time.Time{})
	if err != nil {
		return shape.Aliases{}, err
	}
	return shape.OfAliases(r), nil
}

// recall uses what was answered of listings of the same shape, where nothing speaks
// against it; the answer tells of it.
func (in *Listings) recall(ctx context.Context, at *app.App, site sootline.ID, intake *app.Intake) error {
	if in.Afresh {
		return nil
	}
	if err := at.Recall(ctx, site, intake); err != nil {
		return err
	}
	defer intake.During(ctx)()
	for _, table := range intake.Tables {
		if table.Learned != nil && table.Learned.Why == "" {
			if err := table.UseLearned(); err != nil {
				return err
			}
		}
	}
	return nil
}

// aliases reads what spellings mean.
func (in *Listings) aliases() ([]sootline.Alias, error) {
	var all []sootline.Alias
	for _, text := range in.Alias {
		of, rest, ok := strings.Cut(text, "/")
		said, means, is := strings.Cut(rest, "=")
		if !ok || !is || !slices.Contains(sootline.AliasesOf(), sootline.AliasOf(of)) {
			return nil, sootline.Errorf(sootline.Invalid, "write it as type/OPT2=OPT-2", "%q does not say what a spelling means", text)
		}
		all = append(all, sootline.Alias{Of: sootline.AliasOf(of), Said: said, Means: means})
	}
	return all, nil
}
