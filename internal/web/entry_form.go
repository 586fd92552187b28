package web

import (
	"cmp"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
)

// entryForm is the one form by which an entry is added or corrected, with what
// was typed. Its fields are those of the table of kinds.
type entryForm struct {
	ID, Action    string
	Kind          string
	Kinds         []kindChoice // empty: the kind is settled
	AsksPoint     bool
	Point, At     string
	Said, Seldom  []saidField
	Doubted, Sure bool // it is asked whether it is so; whoever writes is certain
	Corrects      bool
	Seen          *string // of a correction: the id of the amendment that held when it was shown, or empty
	Why           string
	Trouble       string
	WayOut        []wayLine

	typed sootline.Form
}

type kindChoice struct {
	Kind, Says string
	Chosen     bool
}

// saidField is one field of what an entry says, as it is drawn.
type saidField struct {
	Key, Label, Value, Hint, Mode string
	Input                         sootline.Input
	Lines                         int // rows of a text that may have several lines; 0: it has one
	Choices                       []saidChoice
}

type saidChoice struct {
	Value, Says string
	Chosen      bool
}

// ownNames are the names of the form's own fields; any other is a key of what the
// entry says.
var ownNames = []string{"id", "kind", "shown", "point", "at", "do", "why", "seen", "sure"}

// newEntryForm is an empty form that asks for an entry of a kind.
func (s *Server) newEntryForm(kind string) entryForm {
	return entryForm{ID: s.newID(), Kind: kind}
}

// describing gives the form what is known of a point, where it is about to be described
// anew: whoever changes one word of a place keeps the others. What was typed stays.
func (f entryForm) describing(p *sootline.Point) entryForm {
	if sootline.Kind(f.Kind) != sootline.MovedKind || p == nil {
		return f
	}
	known, err := sootline.FormOf(sootline.Moved{Place: p.Place})
	if err != nil {
		return f
	}
	typed := maps.Clone(f.typed)
	if typed == nil {
		typed = sootline.Form{}
	}
	for key, text := range known {
		if typed[key] == "" {
			typed[key] = text
		}
	}
	f.typed = typed
	return f
}

// newID makes the id of an entry that a form is about to ask for, so that
// handing the form in twice adds it once.
func (s *Server) newID() string {
	return sootline.NewID(s.App.Now(), s.App.Random()).String()
}

// offered lists the kinds that are added by hand and that the role may write: at
// a point those that can be about one.
func offered(role sootline.Role, atPoint bool) []kindChoice {
	var kinds []kindChoice
	for _, kind := range sootline.Kinds() {
		if kind.ByHand && role.May(kind.Role) && !(atPoint && kind.OfSite) {
			kinds = append(kinds, kindChoice{Kind: string(kind.Kind), Says: kind.Says})
		}
	}
	return kinds
}

func isOffered(kinds []kindChoice, kind string) bool {
	return slices.ContainsFunc(kinds, func(k kindChoice) bool { return k.Kind == kind })
}

// saysKind tells in words what an entry of a kind is; nothing of any other text.
func saysKind(kind string) string {
	facts, _ := sootline.KindNamed(sootline.Kind(kind))
	return facts.Says
}

// saysAdded tells what was just written down, of which point and how it went: a form
// says back what it understood. Where the address names no entry, it is the kind alone.
func saysAdded(survey *app.Survey, q url.Values) string {
	id, err := sootline.ParseID(q.Get("entry"))
	if err != nil {
		return saysKind(q.Get("added"))
	}
	line, err := survey.LogEntry(id)
	if err != nil {
		return ""
	}
	shown := logLineOf(survey, line)
	if shown.Ref == "" {
		return shown.Says
	}
	return shown.Ref + ", " + shown.Says
}

// drawn completes the form with its kinds and the fields of the chosen one.
func (f entryForm) drawn(action string, kinds []kindChoice) entryForm {
	f.Action, f.Kinds, f.Said, f.Seldom = action, slices.Clone(kinds), nil, nil
	if len(kinds) > 0 && !isOffered(kinds, f.Kind) {
		f.Kind = kinds[0].Kind
	}
	for i := range f.Kinds {
		f.Kinds[i].Chosen = f.Kinds[i].Kind == f.Kind
	}
	for _, field := range sootline.FieldsOf(sootline.Kind(f.Kind)) {
		drawn := drawField(field, f.typed[field.Key])
		if field.Seldom && drawn.Value == "" {
			f.Seldom = append(f.Seldom, drawn)
		} else {
			f.Said = append(f.Said, drawn)
		}
	}
	return f
}

func drawField(field sootline.Field, value string) saidField {
	drawn := saidField{Key: field.Key, Label: sootline.Capital(field.Label), Value: value, Input: field.Input}
	switch field.Input {
	case sootline.SamplesInput:
		drawn.Label, drawn.Hint = "Samples, in the unit of its type", "25 26 25"
	case sootline.WholeInput:
		drawn.Mode = "numeric"
	case sootline.NumberInput:
		drawn.Mode = "decimal"
	case sootline.DayInput:
		drawn.Mode, drawn.Hint = "numeric", "2026-01-15"
	case sootline.SettingsInput:
		drawn.Lines, drawn.Hint = 2, "sensitivity=high"
	case sootline.LinesInput:
		drawn.Lines, drawn.Hint = 2, "one to a line"
	case sootline.PlainInput:
		drawn.Lines, drawn.Hint = 3, "JSON, as docs/formats/log.md has it"
	case sootline.PhotoInput:
		drawn.Hint = "its SHA-256; a phone takes photos"
	case sootline.ChoiceInput:
		drawn.Choices = drawChoices(field, value)
	case sootline.TextInput:
		if field.Key == "text" || field.Key == "remark" || strings.Contains(value, "\n") { // a line alone would lose its ends
			drawn.Lines = 2
		}
	}
	drawn.Lines = min(12, max(drawn.Lines, strings.Count(value, "\n")+min(drawn.Lines, 1)))
	return drawn
}

// drawChoices lists the choices of a field, and what it says where that is none
// of them.
func drawChoices(field sootline.Field, value string) []saidChoice {
	choices := []saidChoice{{"", "not said", value == ""}}
	if field.Needed {
		choices[0].Says = "choose"
	}
	for _, c := range field.Choices {
		choices = append(choices, saidChoice{c.Value, c.Says, c.Value == value})
	}
	if !slices.ContainsFunc(choices, func(c saidChoice) bool { return c.Chosen }) {
		choices = append(choices, saidChoice{value, value, true})
	}
	return choices
}

// entryFormOf reads a form that was handed in.
func entryFormOf(values url.Values) entryForm {
	f := entryForm{
		ID: values.Get("id"), Kind: values.Get("kind"), Point: strings.TrimSpace(values.Get("point")), At: strings.TrimSpace(values.Get("at")),
		Sure: values.Get("sure") != "", Why: values.Get("why"), typed: sootline.Form{},
	}
	if values.Has("seen") {
		seen := values.Get("seen")
		f.Seen = &seen
	}
	for key := range values {
		if !slices.Contains(ownNames, key) {
			f.typed[key] = oneEnd(values.Get(key))
		}
	}
	return f
}

// oneEnd gives a text with the ends of lines as they are kept; browsers send them
// otherwise.
func oneEnd(text string) string { return strings.ReplaceAll(text, "\r\n", "\n") }

// asksForFields reports whether another kind was chosen than the one whose fields
// were shown: what it needs is shown before anything is written.
func (f entryForm) asksForFields(values url.Values) bool {
	return values.Get("do") == "show" || cmp.Or(values.Get("shown"), f.Kind) != f.Kind
}

// note makes the entry that the form asks for.
func (f entryForm) note(zone *time.Location, kinds []kindChoice) (app.Note, error) {
	id, err := sootline.ParseID(f.ID)
	if err != nil {
		return app.Note{}, lostNumber(err)
	}
	if !isOffered(kinds, f.Kind) {
		return app.Note{}, sootline.Errorf(sootline.Invalid, "choose what happened from the list", "%q is not a kind of entry that is added here", f.Kind)
	}
	at, err := typedMoment(f.At, zone)
	if err != nil {
		return app.Note{}, err
	}
	note := app.Note{ID: id, At: at.At, Day: at.Day, Point: f.Point, Sure: f.Sure}
	note.Body, err = sootline.BodyOf(sootline.Kind(f.Kind), f.typed)
	return note, err
}

// forWhom refuses a kind that is not offered because of who asks; nil where that is not why.
func (f entryForm) forWhom(role sootline.Role) error {
	body, err := sootline.BodyOf(sootline.Kind(f.Kind), f.typed)
	if err != nil {
		return nil // what it says is no entry, whoever asks
	}
	return sootline.Actor{Role: role}.MayWrite(body)
}

// mistaken gives the form back with what was typed, one sentence, and, where it
// may be a slip, the question whether it is so.
func (f entryForm) mistaken(r *http.Request, err error) entryForm {
	f.Trouble, f.WayOut = sentence(err), wayOut(r, err)
	f.Doubted = f.Sure || sootline.ErrorCode(err) == sootline.Doubtful
	return f
}

// addsEntry is a page with the form that adds an entry.
type addsEntry struct {
	kinds  []kindChoice
	point  *sootline.Point // nil: the form asks for it
	added  string          // where to go when it is written
	action string
	again  func(entryForm, int) error // shows the page with the form, and a status
}

// addEntry adds the entry that a form asks for. A form with a mistake comes back
// with what was typed and one sentence.
func (s *Server) addEntry(r *http.Request, survey *app.Survey, page addsEntry) (to string, err error) {
	form := entryFormOf(r.PostForm)
	form.AsksPoint = page.point == nil
	if len(page.kinds) == 1 {
		form.Kind = page.kinds[0].Kind
	}
	if form.asksForFields(r.PostForm) {
		return "", page.again(form.describing(page.point).drawn(page.action, page.kinds), http.StatusOK)
	}
	var written sootline.Entry
	note, err := form.note(survey.Zone, page.kinds)
	if !isOffered(page.kinds, form.Kind) {
		err = cmp.Or(form.forWhom(visitorOf(r).Role), err)
	}
	if err == nil {
		if page.point != nil {
			note.Point = page.point.ID.String()
		}
		written, err = s.as(r).AddEntry(r.Context(), survey.Register.Site.ID, note)
	}
	switch {
	case err == nil:
		return page.added + queryWord(form.Kind) + "&entry=" + written.ID.String() + "&" + doneQuery + "=" + written.ID.String(), nil
	case status(err) >= http.StatusInternalServerError:
		return "", err
	}
	return "", page.again(form.mistaken(r, err).drawn(page.action, page.kinds), status(err))
}

// typedMoment reads when something happened, as people type it, on the site's
// clock; nothing is now.
func typedMoment(text string, zone *time.Location) (sootline.Moment, error) {
	if strings.TrimSpace(text) == "" {
		return sootline.Moment{}, nil
	}
	return sootline.ParseMoment(text, zone)
}
