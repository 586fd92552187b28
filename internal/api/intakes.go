package api

import (
	"context"
	"net/http"
	"os"
	"slices"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
)

// mostListing is how much listing is taken in one request.
const mostListing = 256 << 20

// mostFiles is how many files it may be, as on the page.
const mostFiles = 20

// Listings are listings that are handed in.
type Listings struct {
	OfSite
	Preview bool     `query:"preview" doc:"Work out what would happen, and take nothing in"`
	AsIs    bool     `query:"as_is" doc:"Take values that look ten times too large as they are"`
	Allow   []string `query:"allow,explode" maxItems:"6" enum:"replace,retype,move,rename,remove,sheet" doc:"What of the known may be undone; rows that would undo more are put aside"`
	Answer  []string `query:"answer,explode" maxItems:"100" doc:"Answers to the questions of a preview, as FILE/QUESTION=VALUE"`
	Alias   []string `query:"alias,explode" maxItems:"200" doc:"What spellings mean that a preview asks about, as OF/SPELLING=MEANS with OF type, area, cause or person; the spelling itself is a name of its own"`
	Afresh  bool     `query:"afresh" doc:"Use nothing that was answered of a listing of the same shape before"`
	RawBody huma.MultipartFormFiles[struct {
		Files []huma.FormFile `form:"files" required:"true" doc:"Type sheets, schedules, readings, events; CSV, TSV, XLSX or aligned text"`
	}]
}

func intakes(a *API) {
	operation(a, "take-listings", sootline.Technician, http.MethodPost, "/sites/{site}/intake", "Take listings in, or see what that would do. The same listing taken twice adds nothing", a.take, roomFor(mostListing))
	operation(a, "list-takes", sootline.Technician, http.MethodGet, "/sites/{site}/intake", "List what was taken in, the last first, and what was taken back", a.takes)
	operation(a, "undo-take", sootline.Technician, http.MethodPost, "/sites/{site}/intake/undo", "Take a take back whole, or see what that would do. It is an act of its own, which is taken back the same way", a.undoTake)
	operation(a, "list-aliases", sootline.Reader, http.MethodGet, "/sites/{site}/aliases", "List what spellings of types, areas, causes and people mean. One is added as an entry of kind alias, and taken back by withdrawing that", a.aliases)
}

func (a *API) take(ctx context.Context, in *Listings) (shape.Intake, error) {
	site, err := a.known(ctx, in.OfSite)
	if err != nil {
		return shape.Intake{}, err
	}
	folder, err := os.MkdirTemp("", "sootline-intake-")
	if err != nil {
		return shape.Intake{}, err
	}
	defer os.RemoveAll(folder) //nolint:errcheck // what is left goes with the temporary folder
	var paths []string
	files := in.RawBody.Data().Files
	if len(files) > mostFiles {
		return shape.Intake{}, sootline.Errorf(sootline.Invalid, "hand in the rest after them", "at most %d files are taken at once", mostFiles)
	}
	for _, file := range files {
		path, err := saved(folder, file)
		if err != nil {
			return shape.Intake{}, err
		}
		paths = append(paths, path)
	}
	at := a.as(ctx)
	intake, err := at.Look(ctx, site, paths, nil)
	if err != nil {
		return shape.Intake{}, withoutFolder(err, folder)
	}
	defer intake.Close() //nolint:errcheck // they were only read
	if err := in.recall(ctx, at, site, intake); err != nil {
		return shape.Intake{}, withoutFolder(err, folder)
	}
	if err := in.settle(ctx, intake); err != nil {
		return shape.Intake{}, err
	}
	aliases, err := in.aliases()
	if err != nil {
		return shape.Intake{}, err
	}
	do := at.Take
	if in.Preview {
		do = at.Preview
	}
	allow, err := app.ParseEffects(in.Allow)
	if err != nil {
		return shape.Intake{}, err
	}
	out, err := do(ctx, site, intake, app.TakeOptions{AsIs: in.AsIs, Allow: allow, Aliases: aliases})
	if err != nil {
		return shape.Intake{}, withoutFolder(err, folder)
	}
	return shape.OfIntake(out, in.Preview, func(file string) (string, error) {
		text, err := os.ReadFile(file)
		return string(text), err
	})
}

// settle answers the questions of the tables. A table of which one stays open is left out.
func (in *Listings) settle(ctx context.Context, intake *app.Intake) error {
	defer intake.During(ctx)()
	for _, table := range intake.Tables {
		name := table.Path[strings.LastIndexAny(table.Path, `/\`)+1:]
		for _, text := range in.Answer {
			at := max(strings.LastIndex(text, "="), 0) // a question about words may hold one
			question, value := text[:at], strings.TrimPrefix(text[at:], "=")
			if id, ok := strings.CutPrefix(question, name+"/"); ok {
				if err := table.Answer(id, value); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// withoutFolder leaves the temporary folder out of what people read.
func withoutFolder(err error, folder string) error {
	code := sootline.ErrorCode(err)
	if code == "" {
		return err
	}
	clean := func(text string) string { return strings.ReplaceAll(text, folder+string(os.PathSeparator), "") }
	ways := slices.Clone(sootline.ErrorWays(err))
	for i := range ways {
		ways[i].Text = clean(ways[i].Text)
	}
	return &sootline.Error{Code: code, Message: clean(err.Error()), Ways: ways, Err: err}
}
