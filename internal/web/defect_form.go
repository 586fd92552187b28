package web

import (
	"errors"
	"io"
	"net/http"
	"strings"

	"sootline"
	"sootline/internal/app"
)

// stepForm is the form of a defect, or of a step in its story. Its fields are
// those of the table of kinds; the defect is that of the page.
type stepForm struct {
	ID, Kind, Title, Button string
	Action                  string
	At, Point               string
	AsksPoint               bool
	Doubted, Sure           bool // it is asked whether it is so; whoever writes is certain
	Fields                  []stepField
	Trouble                 string
	WayOut                  []wayLine
}

// stepField is one field as it is drawn.
type stepField struct {
	Key, Label, Value   string
	Tick, Photo, Needed bool
	Lines               int
	Choices             []stepChoice
}

type stepChoice struct {
	Value, Says string
	Chosen      bool
}

// mostStep is room for such a form with a photo.
const mostStep = app.MostPhoto + mostForm

func (s *Server) newStepForm(kind sootline.Kind, action string) stepForm {
	return stepForm{ID: s.newID(), Kind: string(kind), Action: action}.drawn(nil)
}

func defectsAddress(survey *app.Survey) string { return siteAddress(survey) + "/defects" }

// drawn completes the form with its words and its fields, as they were typed.
func (f stepForm) drawn(typed sootline.Form) stepForm {
	words := map[sootline.Kind][2]string{
		sootline.DefectKind:   {"Write a defect down", "Write it down"},
		sootline.FollowedKind: {"Follow it up", "Write it down"},
		sootline.MendedKind:   {"It was mended", "It was mended"},
		sootline.RetestedKind: {"It was tried again", "Write it down"},
	}[sootline.Kind(f.Kind)]
	f.Title, f.Button, f.AsksPoint, f.Fields = words[0], words[1], f.Kind == string(sootline.DefectKind), nil
	for _, field := range sootline.FieldsOf(sootline.Kind(f.Kind)) {
		if field.Key == "defect" {
			continue
		}
		drawn := stepField{
			Key: field.Key, Label: sootline.Capital(field.Label), Value: typed[field.Key],
			Tick: field.Input == sootline.FlagInput, Photo: field.Input == sootline.PhotoInput, Needed: field.Needed,
		}
		if field.Key == "text" {
			drawn.Lines = 2
		}
		for _, c := range field.Choices {
			drawn.Choices = append(drawn.Choices, stepChoice{c.Value, c.Says, c.Value == typed[field.Key]})
		}
		f.Fields = append(f.Fields, drawn)
	}
	return f
}

// stepNote reads a form that was handed in: what it says, with what was typed to
// give it back.
func (s *Server) stepNote(r *http.Request, survey *app.Survey, kind sootline.Kind, defect string) (form stepForm, typed sootline.Form, note app.Note, err error) {
	if err := r.ParseMultipartForm(mostStep); err != nil && !errors.Is(err, http.ErrNotMultipart) {
		return form, nil, note, unreadable(err)
	}
	form = stepForm{ID: r.PostForm.Get("id"), Kind: string(kind), At: r.PostForm.Get("at"), Point: strings.TrimSpace(r.PostForm.Get("point")), Sure: r.PostForm.Get("sure") != ""}
	typed = sootline.Form{}
	for _, field := range sootline.FieldsOf(kind) {
		if field.Key != "defect" && field.Input != sootline.PhotoInput {
			typed[field.Key] = r.PostForm.Get(field.Key)
		}
	}
	if note.ID, err = sootline.ParseID(form.ID); err != nil {
		return form, typed, note, lostNumber(err)
	}
	at, err := typedMoment(form.At, survey.Zone)
	if err != nil {
		return form, typed, note, err
	}
	note.At, note.Day = at.At, at.Day
	note.Point, note.Sure = form.Point, form.Sure
	said := sootline.Form{"defect": defect}
	if defect == "" {
		said = sootline.Form{}
	}
	for key, text := range typed {
		said[key] = text
	}
	if said["photo"], err = s.photoOf(r, survey.Register.Site.ID); err != nil {
		return form, typed, note, err
	}
	note.Body, err = sootline.BodyOf(kind, said)
	return form, typed, note, err
}

// photoOf keeps the picture of a form, where it has one.
func (s *Server) photoOf(r *http.Request, site sootline.ID) (string, error) {
	file, _, err := r.FormFile("photo")
	if err != nil {
		return "", nil // none was chosen
	}
	defer file.Close() //nolint:errcheck // it was only read
	content, err := io.ReadAll(io.LimitReader(file, app.MostPhoto+1))
	if err != nil || len(content) == 0 {
		return "", err
	}
	return s.as(r).KeepPhoto(r.Context(), site, content)
}

// addDefect writes a defect down.
func (s *Server) addDefect(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	form, typed, note, err := s.stepNote(r, survey, sootline.DefectKind, "")
	if err == nil {
		_, err = s.as(r).AddEntry(r.Context(), survey.Register.Site.ID, note)
	}
	if err == nil {
		http.Redirect(w, r, defectsAddress(survey)+"?added="+note.ID.String(), http.StatusSeeOther)
		return nil
	}
	if status(err) >= http.StatusInternalServerError {
		return err
	}
	page, failed := s.defectsPage(survey)
	if failed != nil {
		return failed
	}
	form.Doubted = form.Sure || sootline.ErrorCode(err) == sootline.Doubtful
	form.Trouble, form.WayOut, form.Action = sentence(err), wayOut(r, err), defectsAddress(survey)
	page.Form = form.drawn(typed)
	return s.show(w, r, status(err), "defects.html", page)
}

// stepDefect adds a step to the story of a defect.
func (s *Server) stepDefect(w http.ResponseWriter, r *http.Request) error {
	survey, d, err := s.defect(r)
	if err != nil {
		return err
	}
	kind := sootline.Kind(r.FormValue("kind"))
	form, typed, note, err := s.stepNote(r, survey, kind, d.ID.String())
	if err == nil {
		_, err = s.as(r).StepDefect(r.Context(), survey.Register.Site.ID, d.ID.String(), note)
	}
	page := s.defectPage(r, survey, d)
	if err == nil {
		http.Redirect(w, r, page.Address+"?done="+note.ID.String(), http.StatusSeeOther)
		return nil
	}
	if status(err) >= http.StatusInternalServerError {
		return err
	}
	form.Doubted = form.Sure || sootline.ErrorCode(err) == sootline.Doubtful
	form.Trouble, form.WayOut, form.Action = sentence(err), wayOut(r, err), page.Address
	page.Steps = append([]stepForm{form.drawn(typed)}, page.Steps...)
	for i := 1; i < len(page.Steps); i++ {
		if page.Steps[i].Kind == form.Kind {
			page.Steps = append(page.Steps[:i], page.Steps[i+1:]...)
		}
	}
	return s.show(w, r, status(err), "defect.html", page)
}
