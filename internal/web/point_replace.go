package web

import (
	"net/http"
	"strconv"
	"strings"

	"sootline"
	"sootline/internal/app"
)

// replaceForm puts another device at a point: with the card of the bench, and its checks.
type replaceForm struct {
	Address, ID           string
	Number, Steps         string
	Modes                 []modeTick
	Serial, Read, Samples string // as typed
	Type, From, Text      string
	Trouble               string
	WayOut                []wayLine
	Ask                   bool // it may be a slip: whoever is certain ticks so
}

type modeTick struct {
	Setting string // as NAME=CHOICE
	Ticked  bool
}

// replaceForm makes the form; nil where nothing can be replaced.
func (s *Server) replaceForm(survey *app.Survey, p *sootline.Point) *replaceForm {
	h, err := app.ReplaceHandOf(survey.Register, survey.On, p)
	if err != nil {
		return nil // what is wrong with a loop's rules is told where numbers are planned
	}
	form := &replaceForm{Address: pointAddress(survey, p) + "/replace", ID: s.newID(), Steps: strings.Join(h.Steps, "; ")}
	if h.Number != 0 {
		form.Number = strconv.Itoa(h.Number)
	}
	for _, m := range h.Modes {
		form.Modes = append(form.Modes, modeTick{Setting: m.Name + "=" + m.Choice})
	}
	return form
}

// replaceDevice writes that another device is at a point.
func (s *Server) replaceDevice(w http.ResponseWriter, r *http.Request) error {
	survey, point, a, err := s.formAtPoint(r)
	if err != nil {
		return err
	}
	line, err := s.line(r)
	if err != nil {
		return err
	}
	x, err := replacementTyped(&typedForm{values: r.PostForm})
	if err == nil {
		x.Place = point.ID.String()
		_, _, err = a.ReplaceDevice(r.Context(), line, x)
	}
	return s.afterForm(w, r, survey, point, err, func(page *pointPage) {
		if page.Replace != nil {
			page.Replace.again(&typedForm{values: r.PostForm}, err)
			page.Replace.WayOut = wayOut(r, err)
		}
	})
}

// again keeps what was typed, with what was wrong.
func (form *replaceForm) again(f *typedForm, err error) {
	form.Serial, form.Read, form.Samples = f.text("serial"), f.text("read"), f.text("samples")
	form.Type, form.From, form.Text = f.text("type"), f.text("from"), f.text("text")
	form.Trouble, form.Ask = sentence(err), sootline.ErrorCode(err) == sootline.Doubtful
	for i := range form.Modes {
		for _, ticked := range f.values["found"] {
			form.Modes[i].Ticked = form.Modes[i].Ticked || ticked == form.Modes[i].Setting
		}
	}
}

// replacementTyped reads the form.
func replacementTyped(f *typedForm) (app.Replacement, error) {
	x := app.Replacement{From: f.text("from"), Text: f.text("text")}
	x.Serial, x.Type, x.Read, x.Sure = f.text("serial"), f.text("type"), f.whole("read", "number read back"), f.tick("sure")
	var err error
	if x.Modes, err = app.ParseSettings(f.values["found"]); err != nil {
		return x, err
	}
	if text := f.text("samples"); text != "" {
		if x.Samples, err = app.TypedSamples(text); err != nil {
			return x, err
		}
	}
	return x, f.err
}
