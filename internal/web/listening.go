package web

import (
	"bytes"
	"errors"
	"io"
	"net/http"
	"strconv"
	"strings"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

// listeningPage lists what is listened to at a site.
type listeningPage struct {
	Frame
	Address, ID    string
	Sources        []sourceRow
	Noted, Trouble string
	WayOut         []wayLine
	Kinds          []choiceLine
	Typed          app.KeptSource
	Map            *shape.ValueMap // what a list of values would do; nil: nobody asked
	Keeps, Teaches bool            // what whoever looks may do
}

// sourceRow is a source with what became of what was heard last.
type sourceRow struct {
	shape.Source
	Address, Where, Heard, ID string
	Fine                      bool // nothing about it needs somebody
}

func (s *Server) showListening(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	page, err := s.listeningPage(r, survey)
	if err != nil {
		return err
	}
	page.Noted = s.saidBefore(r)
	return s.show(w, r, http.StatusOK, "listening.html", page)
}

func lineOf(survey *app.Survey) store.SiteLine {
	return store.SiteLine{ID: survey.Register.Site.ID, Name: survey.Register.Site.Name}
}

func (s *Server) listeningPage(r *http.Request, survey *app.Survey) (*listeningPage, error) {
	page := &listeningPage{
		Frame: Frame{Title: "Listening, " + survey.Register.Site.Name, Survey: survey}, Address: siteAddress(survey) + "/listening", ID: s.newID(),
	}
	found, err := s.as(r).SourcesOf(r.Context(), lineOf(survey))
	if err != nil {
		return nil, err
	}
	for i, one := range shape.OfSources(found, survey.Zone) {
		row := sourceRow{Source: one, Address: page.Address + "/" + pathWord(one.Name), ID: s.newID(), Fine: found[i].State == app.Hears}
		row.Where, row.Heard = sootline.Joined(one.Via, one.Address), "nothing yet"
		if one.Last != nil {
			row.Heard = local(*one.Last, survey.Zone)
		}
		page.Sources = append(page.Sources, row)
	}
	page.offerKinds("")
	role := visitorOf(r).Role
	page.Keeps, page.Teaches = role.May(sootline.Manager), role.May(sootline.Technician)
	return page, nil
}

func (p *listeningPage) offerKinds(chosen string) {
	p.Kinds = nil
	for _, k := range app.SourceKinds() {
		p.Kinds = append(p.Kinds, choiceLine{Value: k.Kind, Says: k.Says, Chosen: k.Kind == chosen})
	}
}

// changeListening keeps with the site where a source is heard, or drops one.
func (s *Server) changeListening(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseMultipartForm(mostMap); err != nil && !errors.Is(err, http.ErrNotMultipart) {
		return unreadable(err)
	}
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	a, err := s.asForm(r)
	if err != nil {
		return err
	}
	site, f := survey.Register.Site.ID, r.PostForm
	kept := app.KeptSource{Name: f.Get("name"), Panel: strings.TrimSpace(f.Get("panel")), Via: f.Get("via"), Address: f.Get("address"), Places: f.Get("places")}
	noted := kept.Name + " is kept with the site"
	var read *app.MapRead
	if f.Get("do") == "drop" {
		noted = kept.Name + " is heard and read no more"
		err = a.DropSource(r.Context(), site, kept.Name)
	} else if kept.Speed, err = typedSpeed(f.Get("speed")); err == nil {
		if read, err = mapOf(r, a, site, &kept); err == nil && f.Get("do") != "look" {
			err = a.KeepSource(r.Context(), site, kept)
		}
	}
	if err == nil && f.Get("do") != "look" {
		s.goSaying(w, r, siteAddress(survey)+"/listening", noted)
		return nil
	}
	if err != nil && status(err) >= http.StatusInternalServerError {
		return err
	}
	page, wrong := s.listeningPage(r, survey)
	if wrong != nil {
		return wrong
	}
	page.Typed = kept
	page.offerKinds(kept.Via)
	if err == nil {
		if read != nil {
			page.Map = new(shape.OfMap(read))
		}
		return s.show(w, r, http.StatusOK, "listening.html", page)
	}
	page.Trouble, page.WayOut = sentence(err), wayOut(r, err)
	return s.show(w, r, status(err), "listening.html", page)
}

// mostMap is room for the form with a file that says which value is of which point.
const mostMap = 4<<20 + mostForm

// mapOf reads which value is of which point, from the file of the form or from what was typed, and puts it into what is kept. Nil:
// there is neither, or the kind gives no values.
func mapOf(r *http.Request, a *app.App, site sootline.ID, kept *app.KeptSource) (*app.MapRead, error) {
	name, content := "the list of values", []byte(kept.Places)
	if file, head, err := r.FormFile("mapfile"); err == nil {
		defer file.Close() //nolint:errcheck // it was only read
		if name, content, err = head.Filename, nil, nil; head.Size > 0 {
			if content, err = io.ReadAll(file); err != nil {
				return nil, err
			}
		}
		if len(content) == 0 {
			content = []byte(kept.Places)
		}
	}
	if len(content) == 0 || !app.GivesValues(kept.Via) && kept.Places == "" {
		return nil, nil
	}
	read, err := a.ReadMap(r.Context(), site, kept.Via, name, bytes.NewReader(content), int64(len(content)))
	if err == nil {
		kept.Places = read.Places
	}
	return read, err
}

// typedSpeed reads the speed of a serial line; nothing typed: it is found out.
func typedSpeed(text string) (int, error) {
	if text = strings.TrimSpace(text); text == "" {
		return 0, nil
	}
	speed, err := strconv.Atoi(text)
	if err != nil || speed < 0 {
		return 0, sootline.Errorf(sootline.Invalid, "for example 9600, or nothing: then it is found out", "%q is no speed in bit/s", text)
	}
	return speed, nil
}
