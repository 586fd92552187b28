package api

import (
	"context"
	"mime/multipart"
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
	Allow   []string `query:"allow,explode" maxItems:"7" enum:"replace,retype,move,rename,remove,set,sheet" doc:"What of the known may be undone; rows that would undo more are put aside"`
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
	files, err := in.files()
	if err != nil {
		return shape.Intake{}, err
	}
	var paths []string
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

// files gives the files that are handed in.
func (in *Listings) files() ([]huma.FormFile, error) {
	if err := holdsOnly(in.RawBody.Form, "files", "preview=true"); err != nil {
		return nil, err
	}
	files := in.RawBody.Data().Files
	if len(files) > mostFiles {
		return nil, sootline.Errorf(sootline.Invalid, "hand in the rest after them", "at most %d files are taken at once", mostFiles)
	}
	return files, nil
}

// holdsOnly refuses a form with anything else in it than files under a name: whoever sent that meant something by it,
// such as to see first what would happen.
func holdsOnly(form *multipart.Form, files, example string) error {
	var strays []string
	for name := range form.Value {
		strays = append(strays, name)
	}
	for name := range form.File {
		if name != files {
			strays = append(strays, name)
		}
	}
	if len(strays) == 0 {
		return nil
	}
	return sootline.Errorf(sootline.Invalid, "leave it out; all but files are parameters of the address, such as ?"+example, "the form has a field %q, and only %q is known", slices.Min(strays), files)
}

// settle answers the questions of the tables. A table of which one stays open is left out.
func (in *Listings) settle(ctx context.Context, intake *app.Intake) error {
	defer intake.During(ctx)()
	for _, text := range in.Answer {
		at := max(strings.LastIndex(text, "="), 0) // a question about words may hold one
		question, value, meant := text[:at], strings.TrimPrefix(text[at:], "="), false
		for _, table := range intake.Tables {
			id, ok := strings.CutPrefix(question, table.Path[strings.LastIndexAny(table.Path, `/\`)+1:]+"/")
			if !ok {
				continue
			}
			meant = true
			if err := table.Answer(id, value); err != nil {
				return err
			}
		}
		if !meant {
			return sootline.Errorf(sootline.Invalid, "begin it with the name of a file that is handed in, as FILE/QUESTION=VALUE", "the answer %q is of no file that is handed in", text)
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
