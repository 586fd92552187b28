package web

import (
	"cmp"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
)

// benchPage lists the runs at the bench, and begins one.
type benchPage struct {
	Frame
	Address string
	ID      string
	Trouble string
	WayOut  []wayLine
	Runs    []benchLine // the latest first
	Loops   []string
	Places  int // that are not set as wanted
	Form    benchForm
	Ask     bool // whether whoever begins it is to say that it is so
}

// benchForm is what was typed to begin a run.
type benchForm struct {
	Name, Loop, With, First, By, From, Box string
}

// benchLine is a run in the list.
type benchLine struct {
	Name, Address, Began, Ended, By string
	Done, Places, Left, Rejected    int
	TimeLeft, Gone                  string

	Record, Labels string // addresses of papers
}

func (s *Server) showBenches(w http.ResponseWriter, r *http.Request) error {
	page, err := s.benchPage(r)
	if err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "bench.html", page)
}

func (s *Server) benchPage(r *http.Request) (*benchPage, error) {
	survey, _, err := s.survey(r)
	if err != nil {
		return nil, err
	}
	line, err := s.line(r)
	if err != nil {
		return nil, err
	}
	page := &benchPage{
		Frame: Frame{Title: "Bench of " + survey.Register.Site.Name, Survey: survey}, Address: siteAddress(survey) + "/bench", ID: s.newID(),
		Form: benchForm{With: "plan", First: string(sootline.PlaceFirst), By: string(app.BenchByNumber)},
	}
	for _, l := range survey.Register.Loops() {
		page.Loops = append(page.Loops, l.LoopID.String())
	}
	page.Places = app.BenchOpening{}.Count(survey.Register)
	runs, err := s.as(r).Benches(r.Context(), line)
	for i := len(runs) - 1; i >= 0; i-- {
		page.Runs = append(page.Runs, benchLineOf(runs[i], page.Address))
	}
	return page, err
}

func benchLineOf(run *app.BenchRun, address string) benchLine {
	pr, paper := run.Progress(), strings.TrimSuffix(address, "/bench")+"/paper/"
	line := benchLine{
		Name: run.Title(), Address: address + "/" + run.ID.String(), Began: local(run.Opened.At, run.Zone), By: run.Opened.By,
		Done: pr.Done, Places: pr.Places, Left: len(run.Unfinished()), Rejected: pr.Rejected,
		Gone: run.Gone(), Record: paper + "bench.pdf?run=" + run.ID.String(), Labels: paper + "labels.pdf?run=" + run.ID.String(),
	}
	if run.Closed != nil {
		line.Ended = local(run.Closed.At, run.Zone)
	} else if pr.TimeLeft > 0 {
		line.TimeLeft = count(int(pr.TimeLeft.Round(time.Minute).Minutes()), "minute", "minutes")
	}
	return line
}

// openBench begins a run, and leads to it.
func (s *Server) openBench(w http.ResponseWriter, r *http.Request) error {
	page, err := s.benchPage(r)
	if err != nil {
		return err
	}
	up, err := s.receive(w, r)
	if err != nil {
		return err
	}
	defer os.RemoveAll(up.folder) //nolint:errcheck // what cannot be removed goes with the temporary folder
	page.Form = benchForm{up.fields["name"], up.fields["loop"], up.fields["with"], up.fields["first"], up.fields["by"], up.fields["from"], up.fields["box"]}
	run, err := s.begin(r, page, up)
	if err == nil {
		http.Redirect(w, r, page.Address+"/"+run.ID.String(), http.StatusSeeOther)
		return nil
	}
	code := status(err)
	if code >= http.StatusInternalServerError {
		return err
	}
	page.Trouble, page.WayOut, page.Ask = sentence(err), wayOut(r, err), sootline.ErrorCode(err) == sootline.Doubtful
	return s.show(w, r, code, "bench.html", page)
}

// begin opens the run that the form asks for.
func (s *Server) begin(r *http.Request, page *benchPage, up *upload) (*app.BenchRun, error) {
	line, err := s.line(r)
	if err != nil {
		return nil, err
	}
	id, err := sootline.ParseID(up.fields["id"])
	if err != nil {
		return nil, sootline.Errorf(sootline.Invalid, "open the page again", "the form lost its number on the way: %w", err)
	}
	opening, err := page.Form.opening()
	if err != nil {
		return nil, err
	}
	opening.Sure = up.fields["sure"] != ""
	if opening.Box, err = boxOf(r, up, opening.Sure); err != nil {
		return nil, err
	}
	a := s.as(r)
	a.Form = id
	return a.OpenBench(r.Context(), line, opening)
}

func (f *benchForm) opening() (app.BenchOpening, error) {
	o := app.BenchOpening{
		Name: strings.TrimSpace(f.Name), Loop: strings.TrimSpace(f.Loop), First: sootline.BenchFirst(f.First), By: app.BenchOrder(f.By),
		All: f.With == "all", Empty: f.With == "nothing",
	}
	if from := strings.TrimSpace(f.From); from != "" {
		n, err := strconv.Atoi(from)
		if err != nil || n < 1 {
			return o, sootline.Errorf(sootline.Invalid, "for example 1", "%q is not a number that a device can have", from)
		}
		o.From = n
	}
	return o, nil
}

// boxOf reads the list of the box, from a file or as it was pasted. Lines that name no
// device are asked about, not passed over.
func boxOf(r *http.Request, up *upload, sure bool) ([]sootline.BoxDevice, error) {
	name := "the list"
	path := filepath.Join(up.folder, "pasted.txt")
	switch {
	case len(up.names) > 1:
		return nil, sootline.Errorf(sootline.Invalid, "", "one list at a time")
	case len(up.names) == 1:
		name, path = up.names[0], filepath.Join(up.folder, up.names[0])
	case strings.TrimSpace(up.fields["box"]) == "":
		return nil, nil
	default:
		if err := os.WriteFile(path, []byte(up.fields["box"]), 0o600); err != nil {
			return nil, err
		}
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close() //nolint:errcheck // it was only read
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	box, troubles, err := app.ReadBox(r.Context(), name, f, info.Size())
	if err == nil && len(troubles) > 0 && !sure {
		err = sootline.Errorf(sootline.Doubtful, "mend the list; or begin without these lines", "%s", cmp.Or(strings.Join(troubles[:min(3, len(troubles))], "; ")+more(len(troubles)-3), name))
	}
	return box, err
}

func more(n int) string {
	if n <= 0 {
		return ""
	}
	return fmt.Sprintf("; and %d more", n)
}
