package web

import (
	"context"
	"embed"
	"html/template"
	"io"
	"io/fs"
	"net/http"
	"net/netip"
	"path"
	"strings"
	"sync/atomic"
	"time"

	"github.com/alexedwards/scs/v2"
	"github.com/klauspost/compress/gzhttp"

	"sootline/internal/api"
	"sootline/internal/app"
	"sootline/internal/paper"
	"sootline/internal/store"
)

//go:embed page/*.html
var pageFiles embed.FS

//go:embed static
var staticFiles embed.FS

// Config is what the web application is given.
type Config struct {
	App        *app.App       // its By is who works at this machine
	Loopback   bool           // bound to this machine only: without people, whoever works at it is manager
	TLS        bool           // reached by https
	Proxies    []netip.Prefix // what is in front of it and says where requests come from; none: nothing
	Zone       *time.Location // of this machine
	DemoFolder string         // where the demo's listings go
	Uploads    string         // a folder for files on their way into the book
	Log        io.Writer      // a line a request
	Trust      Trust          // how phones reach this server
	Keeping    *app.Keeping   // keeps backups; nil: nobody does

	Firm     func() (paper.Firm, error) // who hands papers out; nil: nobody is named
	FirmFile string                     // where that is written, for whoever wants to change it
}

// Server answers requests. It may be used by several goroutines.
type Server struct {
	Config
	pages    map[string]*template.Template
	assets   map[string]asset
	surveys  surveys
	intakes  intakes
	sessions *scs.SessionManager
	pairings pairings
	passkeys passkeySteps
	tries    *tries
	counts   *counts
	waiters  atomic.Int64 // phones that wait for what is new in a visit
	api      *api.API
	handler  http.Handler
}

// New puts the web application together. A template that does not parse is an
// error here and not on the page.
func New(c Config) (*Server, error) {
	s := &Server{Config: c, tries: newTries(), counts: newCounts()}
	s.surveys.make = func(ctx context.Context, line store.SiteLine) (*app.Survey, error) {
		return c.App.Survey(ctx, line.ID, c.App.Now())
	}
	s.surveys.now, s.surveys.most = func() time.Time { return c.App.Now() }, mostSurveyed
	if c.App.Logs == nil {
		c.App.Logs = app.NewLogs(app.MostLogs)
	}
	if c.App.Photos == nil {
		c.App.Photos = app.NewPhotoQuota()
	}
	c.App.WatchBackups()
	s.intakes.folder = c.Uploads
	var err error
	if s.assets, err = readAssets(staticFiles); err != nil {
		return nil, err
	}
	if s.pages, err = s.parsePages(); err != nil {
		return nil, err
	}
	s.sessions = newSessions(c)
	s.api = s.newAPI()
	compress, err := gzhttp.NewWrapper(gzhttp.MinSize(1024))
	if err != nil {
		return nil, err
	}
	s.handler = s.guard(compress(s.mux()))
	return s, nil
}

// ServeHTTP answers a request.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.handler.ServeHTTP(w, r) }

// parsePages parses each page together with the frame around it.
func (s *Server) parsePages() (map[string]*template.Template, error) {
	frame, err := template.New("frame.html").Funcs(s.words()).ParseFS(pageFiles, "page/frame.html", "page/part_*.html")
	if err != nil {
		return nil, err
	}
	names, err := fs.Glob(pageFiles, "page/*.html")
	if err != nil {
		return nil, err
	}
	pages := map[string]*template.Template{}
	for _, name := range names {
		base := path.Base(name)
		if base == "frame.html" || strings.HasPrefix(base, "part_") {
			continue
		}
		page, err := frame.Clone()
		if err != nil {
			return nil, err
		}
		if pages[base], err = page.ParseFS(pageFiles, name); err != nil {
			return nil, err
		}
	}
	return pages, nil
}
