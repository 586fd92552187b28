package api

import (
	"cmp"
	"context"
	"errors"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
)

// PlanQuery says how loops are to be numbered.
type PlanQuery struct {
	OfSite
	Loop    string `query:"loop" doc:"Only this loop, for example 1.2"`
	By      string `query:"by" enum:"cable,zone,area" default:"cable"`
	Spares  int    `query:"spares" minimum:"0" maximum:"1000" doc:"So many numbers are left free"`
	Percent int    `query:"percent" minimum:"0" maximum:"100" doc:"Or a share of those in use"`
	Spread  bool   `query:"spread" doc:"Spares between the devices"`
	Each    bool   `query:"each" doc:"So many spares at the end of each zone or area"`
	Afresh  bool   `query:"afresh" doc:"Do not keep what is there"`
	Pin     string `query:"pin" doc:"References, with commas between, of devices that must keep their number"`
}

// LoopQuery names a loop of a site.
type LoopQuery struct {
	OfSite
	Loop string `query:"loop" doc:"Only this loop, for example 1.2"`
}

// CardsQuery names a loop or a point.
type CardsQuery struct {
	LoopQuery
	Point string `query:"point" doc:"Only this point, for example 1.2.073"`
}

// HowSet says how the number of a type is set.
type HowSet struct {
	OfSite
	Body struct {
		Type string `json:"type" maxLength:"200"`
		How  string `json:"how" maxLength:"200" doc:"For example: switches 7 high-first on-is-zero, dials 15, electronic, base"`
	}
}

// DeviceInput says what was set on a device, or read back from it.
type DeviceInput struct {
	OfSite
	Body struct {
		ID       string            `json:"id,omitempty" doc:"A UUID of yours: handed in twice, it is written once"`
		Point    string            `json:"point" doc:"For example 1.2.073"`
		Set      int               `json:"set,omitempty" minimum:"0" maximum:"9999" doc:"The number that was written into it"`
		Found    int               `json:"found,omitempty" minimum:"0" maximum:"9999" doc:"The number that was read back"`
		How      string            `json:"how,omitempty" enum:"setter,panel,person"`
		Settings map[string]string `json:"settings,omitempty" doc:"Settings found"`
		Text     string            `json:"text,omitempty"`
		Sure     bool              `json:"sure,omitempty" doc:"It is so, although it may look like a slip"`
	}
}

// HuntQuery looks for a device, a lost stretch or a double number by halving.
type HuntQuery struct {
	OfSite
	Loop      string   `query:"loop" required:"true" doc:"For example 1.2"`
	Two       bool     `query:"two" doc:"Both of two devices that answer to one number"`
	Isolators bool     `query:"isolators" doc:"Open at isolators only"`
	Opened    []string `query:"opened,explode" maxItems:"500" doc:"An answer, as PLACE=N, in the order in which they were seen"`
	Likely    []string `query:"likely,explode" maxItems:"500" doc:"How likely it lies on the stretch that ends at a place, as PLACE=N"`
	Effort    []string `query:"effort,explode" maxItems:"500" doc:"Minutes that opening a place takes, as PLACE=N"`
}

// FoundList is a list of what answers on a loop.
type FoundList struct {
	OfSite
	Loop    string `query:"loop" required:"true" doc:"For example 1.2"`
	Note    bool   `query:"note" doc:"Write the numbers found down, as they are explained"`
	RawBody huma.MultipartFormFiles[struct {
		File huma.FormFile `form:"file" required:"true" doc:"A number a row, with type and serial where it has them"`
	}]
}

func numbers(a *API) {
	operation(a, "plan-numbers", sootline.Reader, http.MethodGet, "/sites/{site}/numbers/plan", "Propose numbers; nothing is written down", func(ctx context.Context, in *PlanQuery) (shape.Plans, error) {
		return a.plan(ctx, in, false)
	})
	operation(a, "accept-numbers", sootline.Technician, http.MethodPost, "/sites/{site}/numbers/plan", "Propose numbers and write them down as wanted; a second time finds nothing to change", func(ctx context.Context, in *PlanQuery) (shape.Plans, error) {
		return a.plan(ctx, in, true)
	})
	operation(a, "order-numbers", sootline.Reader, http.MethodGet, "/sites/{site}/numbers/order", "In which order to set devices, so that no two come to share a number", func(ctx context.Context, in *LoopQuery) (shape.Orders, error) {
		site, err := in.id()
		if err != nil {
			return shape.Orders{}, err
		}
		orders, err := a.as(ctx).OrderNumbers(ctx, site, in.Loop)
		return shape.OfOrders(orders), err
	})
	operation(a, "draw-cards", sootline.Reader, http.MethodGet, "/sites/{site}/numbers/cards", "Setting cards, in the order of the walk", func(ctx context.Context, in *CardsQuery) (shape.Cards, error) {
		site, err := in.id()
		if err != nil {
			return shape.Cards{}, err
		}
		cards, asked, err := a.as(ctx).NumberCards(ctx, site, in.Loop, in.Point)
		return shape.OfCards(cards, asked), err
	})
	operation(a, "say-how-set", sootline.Manager, http.MethodPut, "/sites/{site}/types/how", "Say how the number of a type is set; said again, it adds nothing", func(ctx context.Context, in *HowSet) (shape.Types, error) {
		site, err := in.id()
		if err == nil {
			err = a.as(ctx).SayHowSet(ctx, site, in.Body.Type, in.Body.How)
		}
		if err != nil {
			return shape.Types{}, err
		}
		survey, err := a.survey(ctx, AsOf{OfSite: in.OfSite})
		if err != nil {
			return shape.Types{}, err
		}
		return shape.OfTypes(survey.Register), nil
	})
	operation(a, "compare-settings", sootline.Reader, http.MethodGet, "/sites/{site}/numbers/settings", "Settings that are not as wanted, in the order of the walk", a.settings)
	operation(a, "list-wishes", sootline.Reader, http.MethodGet, "/sites/{site}/numbers/wanted", "Settings that are wanted, by type, zone, area and point; an entry of kind wanted adds one", a.wishes)
	operation(a, "undo-plan", sootline.Technician, http.MethodDelete, "/sites/{site}/numbers/plan", "Take back, whole, the plan of numbers that was accepted last", a.undoPlan)
	operation(a, "note-device", sootline.Technician, http.MethodPost, "/sites/{site}/numbers/device", "Write down what was set on a device, or read back from it", a.noteDevice)
	operation(a, "halve-search", sootline.Reader, http.MethodGet, "/sites/{site}/numbers/search", "Where to open the loop next to find a device, a lost stretch or a double number", a.hunt)
	operation(a, "explain-found", sootline.Reader, http.MethodPost, "/sites/{site}/numbers/found", "Explain how what answers on a loop differs from the register", a.found, roomFor(mostListing))
}

func (a *API) plan(ctx context.Context, in *PlanQuery, accept bool) (shape.Plans, error) {
	site, err := in.id()
	if err != nil {
		return shape.Plans{}, err
	}
	at := a.as(ctx)
	plans, err := at.PlanNumbers(ctx, site, in.Loop, app.NumberStyle{By: in.By, Spares: in.Spares, Percent: in.Percent, Spread: in.Spread, Each: in.Each, Afresh: in.Afresh, Pinned: app.RefsIn(in.Pin)})
	written := 0
	if err == nil && accept {
		written, err = at.AcceptNumbers(ctx, site, plans)
	}
	if err != nil {
		return shape.Plans{}, err
	}
	return shape.OfPlans(plans, written), nil
}

func (a *API) settings(ctx context.Context, in *LoopQuery) (shape.Settings, error) {
	site, err := in.id()
	if err != nil {
		return shape.Settings{}, err
	}
	loops, err := a.as(ctx).SettingDifferences(ctx, site, in.Loop)
	return shape.OfSettings(loops), err
}

func (a *API) wishes(ctx context.Context, in *OfSite) (shape.Wishes, error) {
	site, err := in.id()
	if err != nil {
		return shape.Wishes{}, err
	}
	wishes, err := a.as(ctx).Wishes(ctx, site)
	return shape.OfWishes(wishes), err
}

func (a *API) undoPlan(ctx context.Context, in *OfSite) (shape.PlanUndone, error) {
	site, err := in.id()
	if err != nil {
		return shape.PlanUndone{}, err
	}
	plan, err := a.as(ctx).UndoPlan(ctx, site)
	if err != nil {
		return shape.PlanUndone{}, err
	}
	return shape.OfUndonePlan(plan), nil
}

func (a *API) noteDevice(ctx context.Context, in *DeviceInput) (shape.DeviceNoted, error) {
	site, err := in.id()
	if err != nil {
		return shape.DeviceNoted{}, err
	}
	n := app.DeviceNote{
		Point: in.Body.Point, Set: in.Body.Set, Found: in.Body.Found, How: sootline.Means(in.Body.How),
		Settings: in.Body.Settings, Text: in.Body.Text, Sure: in.Body.Sure,
	}
	if in.Body.ID != "" {
		if n.ID, err = sootline.ParseID(in.Body.ID); err != nil {
			return shape.DeviceNoted{}, err
		}
	}
	entries, err := a.as(ctx).NoteDevice(ctx, site, n)
	return shape.OfNoted(entries), err
}

func (a *API) hunt(ctx context.Context, in *HuntQuery) (shape.Hunt, error) {
	site, err := in.id()
	if err != nil {
		return shape.Hunt{}, err
	}
	opts := app.HuntOptions{Two: in.Two, Isolators: in.Isolators}
	effort, err1 := app.ParsePlaceCounts(in.Effort)
	likely, err2 := app.ParsePlaceCounts(in.Likely)
	opened, err3 := app.ParsePlaceCounts(in.Opened)
	if err := cmp.Or(err1, err2, err3); err != nil {
		return shape.Hunt{}, err
	}
	opts.Opened, opts.Effort, opts.Likely = opened, app.ByPlace(effort), app.ByPlace(likely)
	hunt, err := a.as(ctx).HuntLoop(ctx, site, in.Loop, opts)
	if err != nil {
		return shape.Hunt{}, err
	}
	return shape.OfHunt(hunt), nil
}

func (a *API) found(ctx context.Context, in *FoundList) (shape.Found, error) {
	site, err := in.id()
	if err != nil {
		return shape.Found{}, err
	}
	loop, err := a.loop(ctx, in.OfSite, in.Loop)
	if err != nil {
		return shape.Found{}, err
	}
	folder, err := os.MkdirTemp("", "sootline-found-")
	if err != nil {
		return shape.Found{}, err
	}
	defer os.RemoveAll(folder) //nolint:errcheck // what is left goes with the temporary folder
	if err := holdsOnly(in.RawBody.Form, "file", "note=true"); err != nil {
		return shape.Found{}, err
	}
	path, err := saved(folder, in.RawBody.Data().File)
	if err != nil {
		return shape.Found{}, err
	}
	at := a.as(ctx)
	found, err := at.ExplainFound(ctx, site, loop, path)
	written := 0
	if err == nil && in.Note {
		written, err = at.NoteFound(ctx, site, found)
	}
	if err != nil {
		return shape.Found{}, err
	}
	return shape.OfFound(found, written), nil
}

// saved writes a file that was handed in into a folder, under a name without a
// path.
func saved(folder string, file huma.FormFile) (string, error) {
	defer file.Close() //nolint:errcheck // it is only read
	name := strings.Map(func(c rune) rune {
		if c < ' ' || strings.ContainsRune(`/\:`, c) {
			return '-'
		}
		return c
	}, filepath.Base(file.Filename))
	if strings.Trim(name, ".") == "" || len(name) > 200 {
		return "", sootline.Errorf(sootline.Invalid, "name it like listing.csv", "a listing needs a name")
	}
	path := filepath.Join(folder, name)
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return "", sootline.Errorf(sootline.Invalid, "give each file its own name", "%s cannot be kept: %w", name, err)
	}
	_, err = io.Copy(f, file)
	return path, errors.Join(err, f.Close())
}
