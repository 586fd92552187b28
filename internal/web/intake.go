package web

import (
	"mime"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"time"

	"sootline"
	"sootline/internal/app"
)

// shortWork is how long a page waits for work that may be over soon.
const shortWork = 1500 * time.Millisecond

// intakesPage asks for files, and lists those that wait.
type intakesPage struct {
	Frame
	ID, Address string
	Most        string
	Trouble     string
	WayOut      []wayLine
	Waiting     []intakeLine
	Acts        []actLine
	MoreActs    int
}

type intakeLine struct{ Names, Address, Began, By, Stage string }

func (s *Server) showIntakes(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "intakes.html", s.intakesPage(survey))
}

func (s *Server) intakesPage(survey *app.Survey) *intakesPage {
	page := &intakesPage{
		Frame: Frame{Title: "Intake for " + survey.Register.Site.Name, Survey: survey}, ID: s.newID(),
		Address: siteAddress(survey) + "/intake", Most: strconv.Itoa(mostUpload >> 20),
	}
	page.addActs(survey)
	says := map[stage]string{waiting: "not looked at", looking: "being looked at", ready: "ready to be taken in", taking: "being taken in", taken: "taken in"}
	for _, in := range s.intakes.at(survey.Register.Site.ID) {
		in.mu.Lock()
		page.Waiting = append(page.Waiting, intakeLine{sootline.Joined(in.names...), in.address(), local(in.began, survey.Zone), in.by, says[in.at]})
		in.mu.Unlock()
	}
	return page
}

// upload keeps the files that were handed in, and begins to look at them.
func (s *Server) upload(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	up, err := s.receive(w, r)
	if err != nil {
		return s.refuseUpload(w, r, survey, err)
	}
	id, err := sootline.ParseID(up.fields["id"])
	if err != nil {
		err = lostNumber(err)
	} else if len(up.names) == 0 {
		err = sootline.Errorf(sootline.Invalid, "choose one or several, or drop them on the field", "no file was handed in")
	}
	if err != nil {
		return s.refuseUpload(w, r, survey, dropping(up.folder, err))
	}
	a := s.as(r)
	in, err := s.intakes.put(&intake{id: id.String(), site: survey.Register.Site.ID, by: a.Who.Name, began: s.App.Now(), log: s.Log, names: up.names}, up.folder)
	if err != nil {
		return s.refuseUpload(w, r, survey, err)
	}
	if in.stage() == waiting {
		in.look(a, "", nil)
	}
	http.Redirect(w, r, in.address(), http.StatusSeeOther)
	return nil
}

// dropping removes a folder whose upload is refused.
func dropping(folder string, err error) error {
	if removing := os.RemoveAll(folder); removing != nil {
		return removing
	}
	return err
}

func (s *Server) refuseUpload(w http.ResponseWriter, r *http.Request, survey *app.Survey, err error) error {
	if status(err) >= http.StatusInternalServerError {
		return err
	}
	page := s.intakesPage(survey)
	page.Trouble, page.WayOut = sentence(err), wayOut(r, err)
	return s.show(w, r, status(err), "intakes.html", page)
}

// intakeOf gives the survey of the site and the intake that the address names.
func (s *Server) intakeOf(r *http.Request) (*app.Survey, *intake, error) {
	survey, _, err := s.survey(r)
	if err != nil {
		return nil, nil, err
	}
	in := s.intakes.of(survey.Register.Site.ID.String(), r.PathValue("intake"))
	if in == nil {
		return nil, nil, sootline.Errorf(sootline.NotFound, "hand the files in again", "there is no such intake; what was dropped, given up for a later one, or lay there when the server stopped, is gone")
	}
	return survey, in, nil
}

func (s *Server) showIntake(w http.ResponseWriter, r *http.Request) error {
	survey, in, err := s.intakeOf(r)
	if err != nil {
		return err
	}
	in.wait(shortWork)
	in.mu.Lock()
	defer in.mu.Unlock()
	page, err := in.page(survey, r.URL.Query())
	if err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "intake.html", page)
}

// workOnIntake does with an intake what its page was asked to.
func (s *Server) workOnIntake(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	survey, in, err := s.intakeOf(r)
	if err != nil {
		return err
	}
	a, table := s.as(r), r.PostForm.Get("table")
	switch r.PostForm.Get("do") {
	case "look":
		in.look(a, "", nil)
	case "answer":
		in.look(a, r.PostForm.Get("answer"), answered(table, r.PostForm.Get("question"), r.PostForm.Get("answer")))
	case "spelling":
		in.look(a, "", in.spelled(r.PostForm))
	case "allow":
		in.look(a, "", in.allowed(r.PostForm.Get("effect"), r.PostForm.Get("yes") != ""))
	case "learned":
		in.look(a, "", learned(table))
	case "columns":
		in.look(a, "", in.chosen(table, r.PostForm))
	case "without":
		in.leaveOut(a, r.PostForm.Get("name"))
	case "take":
		if err := in.mayTake(visitorOf(r).Role); err != nil {
			return err
		}
		in.take(a)
	case "stop":
		in.halt()
	case "drop":
		if err := s.intakes.drop(in); err != nil {
			return err
		}
		http.Redirect(w, r, siteAddress(survey)+"/intake", http.StatusSeeOther)
		return nil
	default:
		return sootline.Errorf(sootline.Invalid, "", "nobody knows what to do with the intake")
	}
	in.wait(shortWork)
	address := in.address()
	if table != "" && table != "0" {
		address += "?table=" + queryWord(table)
	}
	http.Redirect(w, r, address, http.StatusSeeOther)
	return nil
}

// tableOf finds a table by its place.
func tableOf(in *app.Intake, place string) (*app.IntakeTable, error) {
	n, err := strconv.Atoi(place)
	if err != nil || n < 0 || n >= len(in.Tables) {
		return nil, sootline.Errorf(sootline.NotFound, "", "there is no such table in these files")
	}
	return in.Tables[n], nil
}

func answered(place, question, answer string) func(*app.Intake) error {
	return func(in *app.Intake) error {
		table, err := tableOf(in, place)
		if err != nil {
			return err
		}
		return table.Answer(question, answer)
	}
}

// chosen is what the form says of a table: its kind, what its columns hold, and
// whether large values are taken as they are.
func (in *intake) chosen(place string, form map[string][]string) func(*app.Intake) error {
	first := func(name string) string {
		if values := form[name]; len(values) > 0 {
			return values[0]
		}
		return ""
	}
	return func(opened *app.Intake) error {
		table, err := tableOf(opened, place)
		if err != nil {
			return err
		}
		in.asIs = first("asis") != ""
		columns := make([]string, len(table.Columns))
		for i, c := range table.Columns {
			columns[i] = string(c.Field)
			if field := first("column" + strconv.Itoa(i)); field != "" {
				columns[i] = field
			}
		}
		return table.Choose(first("kind"), columns)
	}
}

// allowed notes a yes to one way in which what is known would be undone, or takes it back.
func (in *intake) allowed(effect string, yes bool) func(*app.Intake) error {
	return func(*app.Intake) error {
		effects, err := app.ParseEffects([]string{effect})
		if err != nil {
			return err
		}
		in.allow = slices.DeleteFunc(slices.Clone(in.allow), func(e app.Effect) bool { return e == effects[0] })
		if yes {
			in.allow = append(in.allow, effects[0])
		}
		return nil
	}
}

// mayTake says why an intake cannot be taken in now, by somebody of that role.
func (in *intake) mayTake(role sootline.Role) error {
	in.mu.Lock()
	defer in.mu.Unlock()
	if in.at != ready {
		return nil // it is being taken in already, or was, or the page says what is the matter
	}
	for _, table := range in.opened.Tables {
		_, blocked := table.Blocking()
		switch {
		case blocked:
			return sootline.Errorf(sootline.Invalid, "go back and answer it", "%s: a question is open", tableName(table))
		case isSheets(table) && !role.May(sootline.Manager):
			return sootline.Errorf(sootline.Forbidden, "ask a manager to take these files in, or leave that one out", "%s holds type sheets, which are for a manager", tableName(table))
		}
	}
	return nil
}

func isSheets(table *app.IntakeTable) bool { return table.Kind == app.Kinds()[0] }

// giveLeft hands out the rows of a table that could not be used, to be mended.
func (s *Server) giveLeft(w http.ResponseWriter, r *http.Request) error {
	_, in, err := s.intakeOf(r)
	if err != nil {
		return err
	}
	name := r.PathValue("file")
	if !slices.Contains(in.leftFiles(), name) {
		return sootline.Errorf(sootline.NotFound, "", "no rows were left in a file of that name")
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": name}))
	http.ServeFile(w, r, filepath.Join(in.folder, name))
	return nil
}

// leftFiles are the names of the files with the rows that could not be used.
func (in *intake) leftFiles() []string {
	in.mu.Lock()
	defer in.mu.Unlock()
	var names []string
	if in.at == taken {
		for _, t := range in.outcome.Tables {
			if t.LeftFile != "" {
				names = append(names, filepath.Base(t.LeftFile))
			}
		}
	}
	return names
}
