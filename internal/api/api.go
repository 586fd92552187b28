package api

import (
	"context"
	"encoding/json"
	"net/http"
	"reflect"
	"slices"
	"strings"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/paper"
	"sootline/internal/shape"
	"sootline/internal/store"
)

// Root is where the operations are.
const Root = "/api/v1"

// Config is what the API is given by whoever serves it: it knows neither sessions
// nor statuses of its own.
type Config struct {
	App      *app.App
	Who      func(context.Context) sootline.Actor                      // who asks; without a role, a stranger
	Survey   func(context.Context, sootline.ID) (*app.Survey, error)   // a site folded and judged as of now
	Shown    func(context.Context, []store.SiteLine) error             // puts to a list of sites why one cannot be shown, as far as that is known
	Status   func(error) int                                           // the one table from codes to statuses
	Sentence func(context.Context, error) string                       // what whoever asks reads of an error
	Trouble  func(context.Context, error)                              // told of what nobody foresaw
	Demo     func(context.Context, *app.App) ([]store.SiteLine, error) // makes the demo where the book has no site, and lists the sites
	Firm     func() (paper.Firm, error)                                // who hands papers out; nil: nobody is named
	// OwnPassword changes the password of whoever asks; whoever serves bounds how often
	// the present one may be guessed.
	OwnPassword func(ctx context.Context, proof app.Proof, password string) error
}

// UnknownPerson is the code of the error that tells a stranger to sign in.
const UnknownPerson sootline.Code = "unknown person"

// API answers requests below [Root].
type API struct {
	Config
	huma huma.API
	mux  *http.ServeMux
}

// New puts the API together.
func New(c Config) *API {
	a := &API{Config: c, mux: http.NewServeMux()}
	config := huma.DefaultConfig("Sootline", "1")
	config.Info.Description = "Everything that the pages and the command line do, as JSON. Times are UTC (RFC 3339), days are those of the site's own clock, " +
		"what is not known is null. A write carries the id of the entry that it makes: handing it in twice writes it once. " +
		"Sign in as on the page: POST /sign-in with name and password, and keep the cookie; or show a token. On the machine itself nobody has to while the book knows nobody."
	config.OpenAPIPath, config.DocsPath, config.SchemasPath = "/openapi", "", ""
	config.CreateHooks = nil // no $schema in the answers
	config.RejectUnknownQueryParameters = true
	config.Servers = []*huma.Server{{URL: Root}}
	config.Components.SecuritySchemes = map[string]*huma.SecurityScheme{"session": {
		Type: "apiKey", In: "cookie", Name: "session", Description: "Given by POST /sign-in; by https its name is __Host-session.",
	}, "token": {
		Type: "http", Scheme: "bearer", Description: "A token for a program, which a manager makes on the page People. It does not do what is for a manager, nor anything with an account.",
	}}
	config.OpenAPI.OnAddOperation = append(config.OpenAPI.OnAddOperation, nullable)
	a.huma = humago.NewWithPrefix(a.mux, Root, config)
	a.huma.UseMiddleware(a.admit)
	for _, register := range []func(*API){sites, points, places, questions, defects, visits, numbers, benches, circuits, batteries, sources, logs, amendments, exchanges, intakes, papersOf, people, given, account} {
		register(a)
	}
	describeWays(a.huma.OpenAPI())
	a.mux.HandleFunc("/", func(w http.ResponseWriter, r *http.Request) {
		model := a.problem(r.Context(), sootline.Errorf(sootline.NotFound, "openapi.json lists the operations", "there is no such operation"))
		a.tell(w, model, model.Status)
	})
	return a
}

// ServeHTTP answers a request.
func (a *API) ServeHTTP(w http.ResponseWriter, r *http.Request) { a.mux.ServeHTTP(w, r) }

// OpenAPI is the document that describes every operation.
func (a *API) OpenAPI() *huma.OpenAPI { return a.huma.OpenAPI() }

// needs is the key under which an operation says whose it is.
const needs = "needs"

// admit lets in who may do what is asked.
func (a *API) admit(ctx huma.Context, next func(huma.Context)) {
	role, _ := ctx.Operation().Metadata[needs].(sootline.Role)
	who := a.Who(ctx.Context())
	if who.Role.May(role) {
		next(ctx)
		return
	}
	model := &huma.ErrorModel{Type: problemType(sootline.Forbidden), Status: http.StatusForbidden, Title: http.StatusText(http.StatusForbidden), Detail: "This is for the role of " + string(role) + ". Ask a manager."}
	if who.Role == sootline.Stranger {
		model = &huma.ErrorModel{Type: problemType(UnknownPerson), Status: http.StatusUnauthorized, Title: http.StatusText(http.StatusUnauthorized), Detail: "Nobody is signed in. Sign in and do it again."}
	}
	_, w := humago.Unwrap(ctx)
	a.tell(w, model, model.Status)
}

func (a *API) tell(w http.ResponseWriter, model any, status int) {
	w.Header().Set("Content-Type", "application/problem+json")
	w.WriteHeader(status)
	json.NewEncoder(w).Encode(model) //nolint:errcheck // whoever asked has gone away
}

func problemType(code sootline.Code) string {
	return "urn:sootline:problem:" + strings.ReplaceAll(string(code), " ", "-")
}

// problem is the problem details of RFC 9457 with the ways out.
type problem struct {
	huma.ErrorModel
	Ways []shape.Way `json:"ways,omitempty"`
}

// describeWays puts the ways out into the schema of problems: huma knows its own
// model alone.
func describeWays(doc *huma.OpenAPI) {
	schemas := doc.Components.Schemas
	ways := schemas.Schema(reflect.TypeFor[[]shape.Way](), true, "Way")
	ways.Nullable, ways.Description = false, "What to do about it, the best first"
	schemas.Map()["ErrorModel"].Properties["ways"] = ways
}

// problem makes problem details of an error.
func (a *API) problem(ctx context.Context, err error) *problem {
	code := a.Status(err)
	if code >= http.StatusInternalServerError {
		a.Trouble(ctx, err)
	}
	model := &problem{ErrorModel: huma.ErrorModel{Status: code, Title: http.StatusText(code), Detail: a.Sentence(ctx, err), Type: "about:blank"}}
	model.Ways = shape.OfWays(sootline.ErrorWays(err))
	for _, w := range model.Ways {
		model.Detail = strings.TrimSpace(model.Detail + " " + sootline.AsSentence(w.Text))
	}
	if c := sootline.ErrorCode(err); c != "" {
		model.Type = problemType(c)
	}
	return model
}

// as gives the use cases, at work for whoever asks.
func (a *API) as(ctx context.Context) *app.App {
	at := *a.App
	at.Who = a.Who(ctx)
	return &at
}

// answer is a body.
type answer[T any] struct{ Body T }

// operation adds an operation: its id, who may ask, method and path, what it does.
func operation[I, O any](a *API, id string, role sootline.Role, method, path, summary string, do func(context.Context, *I) (O, error), change ...func(*huma.Operation)) {
	op := huma.Operation{
		OperationID: id, Method: method, Path: path, Summary: summary, Tags: []string{tag(path)},
		Errors: []int{400, 401, 403, 404, 409, 413, 415, 422, 500, 503}, Metadata: map[string]any{needs: role}, Security: []map[string][]string{{"session": {}}, {"token": {}}},
		DefaultStatus: http.StatusOK, Description: "For the role of " + string(role) + ".",
	}
	for _, c := range change {
		c(&op)
	}
	huma.Register(a.huma, op, func(ctx context.Context, in *I) (*answer[O], error) {
		out, err := do(ctx, in)
		if err != nil {
			return nil, a.problem(ctx, err)
		}
		return &answer[O]{out}, nil
	})
}

// tag groups operations by what they are about.
func tag(path string) string {
	about, _, _ := strings.Cut(strings.TrimPrefix(strings.TrimPrefix(path, "/sites/{site}"), "/"), "/")
	if about == "" {
		return "sites"
	}
	return about
}

// roomFor lets an operation take a larger body.
func roomFor(bytes int64) func(*huma.Operation) {
	return func(op *huma.Operation) { op.MaxBodyBytes, op.BodyReadTimeout = bytes, 5*time.Minute }
}

// None is what an operation without parameters is given.
type None struct{}

// OfSite names a site.
type OfSite struct {
	Site string `path:"site" format:"uuid" doc:"Id of the site"`
}

func (in OfSite) id() (sootline.ID, error) {
	id, err := sootline.ParseID(in.Site)
	if err != nil {
		return id, sootline.Errorf(sootline.NotFound, "GET /sites lists them", "there is no such site")
	}
	return id, nil
}

// AsOf names a site, as of the end of a day.
type AsOf struct {
	OfSite
	On string `query:"on" format:"date" doc:"As of the end of this day on the site's clock; left out: now"`
}

// survey gives the site folded and judged.
func (a *API) survey(ctx context.Context, in AsOf) (*app.Survey, error) {
	id, err := in.id()
	if err != nil {
		return nil, err
	}
	survey, err := a.Survey(ctx, id)
	if err != nil || in.On == "" {
		return survey, err
	}
	end, err := sootline.ParseDayEnds(in.On, survey.Zone)
	if err != nil {
		return nil, err
	}
	return a.as(ctx).Survey(ctx, id, end)
}

// judged gives the site judged: the work ends with the request.
func (a *API) judged(ctx context.Context, in AsOf) (*app.Survey, error) {
	survey, err := a.survey(ctx, in)
	if err == nil {
		err = survey.Judge(ctx)
	}
	return survey, err
}

// nullable says of the members of the shapes which may be null: some references,
// which cannot say it alone, and no list.
func nullable(api *huma.OpenAPI, _ *huma.Operation) {
	references := map[string][]string{
		"Loop": {"worst_pair", "asked", "fails"}, "LoopState": {"lost"}, "Advice": {"one_more_isolator"}, "Logged": {"amended"}, "Story": {"judged"},
	}
	for name, s := range api.Components.Schemas.Map() {
		for member, m := range s.Properties {
			switch {
			case m.Type == huma.TypeArray:
				m.Nullable = false
			case m.Ref != "" && slices.Contains(references[name], member):
				s.Properties[member] = &huma.Schema{OneOf: []*huma.Schema{{Ref: m.Ref}, {Type: "null"}}}
			}
		}
	}
}
