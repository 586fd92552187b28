package web

import (
	"encoding/json"
	"net/http"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
)

// showBenchRun gives the page of a run. It holds no data: a phone keeps it, and asks
// for the run, or has it. Who may not see the site gets no page of it either.
func (s *Server) showBenchRun(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.line(r); err != nil {
		return err
	}
	return s.showBenchShell(w, r)
}

// showBenchShell gives the page of every run, as a phone keeps it to go on without network.
func (s *Server) showBenchShell(w http.ResponseWriter, _ *http.Request) error {
	return s.showKept(w, "bench_run.html")
}

// giveBench gives a run with all that its page needs without network; without the
// cards where the page has them.
func (s *Server) giveBench(w http.ResponseWriter, r *http.Request) error {
	line, err := s.line(r)
	if err != nil {
		return err
	}
	a := s.as(r)
	run, err := a.Bench(r.Context(), line, r.PathValue("run"))
	if err != nil {
		return err
	}
	given := shape.OfBench(run, s.App.Book.Station(a.Who.Station), a.Who.Name)
	given.Phone = a.MayCapture(r.Context()) == nil
	given.Book, given.KeptAt = s.App.Book.Era(), s.keptAt()
	if r.URL.Query().Get("without") == "cards" {
		given.DropCards()
	}
	return s.giveJSON(w, r, given)
}

// benchAct is what the page of a run asks to be written, where it hands no entries in.
type benchAct struct {
	ID       sootline.ID       `json:"id"` // of the first entry
	Act      string            `json:"act"`
	Point    string            `json:"point"`
	Serial   string            `json:"serial"`
	Batch    string            `json:"batch"`
	Made     string            `json:"made"`
	Type     string            `json:"type"`
	Number   int               `json:"number"`
	Read     int               `json:"read"`
	Modes    map[string]string `json:"modes"`
	Samples  []float64         `json:"samples"`
	Seconds  float64           `json:"seconds"`
	Zone     string            `json:"zone"`
	Area     string            `json:"area"`
	Location string            `json:"location"`
	Floor    string            `json:"floor"`
	Why      string            `json:"why"`
	Record   sootline.ID       `json:"record"`
	Sure     bool              `json:"sure"`
}

// actOnBench writes what the page of a run asks for, and gives the run as it is then.
func (s *Server) actOnBench(w http.ResponseWriter, r *http.Request) error {
	line, err := s.line(r)
	if err != nil {
		return err
	}
	var act benchAct
	if err := json.NewDecoder(r.Body).Decode(&act); err != nil {
		return unreadableCaptures(err)
	}
	a, run := s.as(r), r.PathValue("run")
	a.Form = act.ID
	switch act.Act {
	case "done":
		var given app.BenchGiven
		if given, err = act.given(); err == nil {
			_, err = a.BenchDone(r.Context(), line, run, given)
		}
	case "skip":
		err = a.BenchSkip(r.Context(), line, run, act.Point, act.Why)
	case "reject":
		err = a.BenchReject(r.Context(), line, run, act.Point, act.device(), act.Why)
	case "undo":
		_, err = a.BenchUndo(r.Context(), line, run, act.Record, act.Sure)
	case "end":
		_, err = a.CloseBench(r.Context(), line, run, act.Why, act.Sure)
	default:
		err = sootline.Errorf(sootline.Invalid, "", "at the bench nothing is called %q", act.Act)
	}
	if err != nil {
		return err
	}
	return s.giveBench(w, r)
}

func (act *benchAct) unit() sootline.Unit {
	return sootline.Unit{Serial: act.Serial, Batch: act.Batch, Made: act.Made}
}

func (act *benchAct) device() sootline.BoxDevice {
	return sootline.BoxDevice{Unit: act.unit(), Type: act.Type}
}

// given is what was typed of the device in hand.
func (act *benchAct) given() (app.BenchGiven, error) {
	g := app.BenchGiven{Zone: act.Zone, Area: act.Area, Location: act.Location, Floor: act.Floor, Sure: act.Sure}
	g.Unit, g.Type, g.Number, g.Read, g.Modes, g.Samples, g.Seconds = act.unit(), act.Type, act.Number, act.Read, act.Modes, act.Samples, act.Seconds
	var err error
	if act.Point != "" {
		if g.Point, err = sootline.ParseID(act.Point); err != nil {
			err = sootline.Errorf(sootline.Invalid, "", "a place is named by its id: %w", err)
		}
	}
	return g, err
}
