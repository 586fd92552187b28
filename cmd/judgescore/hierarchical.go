package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"math"
	"os/exec"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"sootline"
	"sootline/internal/worlds/levels"
)

// hierarchical judges by a model of levels and drifts that vary by type, area and run, which a general library
// fits to each site by itself (scripts/peer_hierarchical.py). Values farther than the width of the band outside it
// are left out before, as whoever looks at a picture of them would. The level of a point at any time is taken to be
// normal with the mean and variance that the model gives; a point without readings has those of its type and
// area. What the model says nothing of, the printed limits judge. Values are told in widths of the band from
// its middle, dirt upwards, so that types of all scales share the spread between runs.
func hierarchical(entries []sootline.Entry, now, next time.Time) []levels.Answer {
	all := subjects(entries, now)
	said, err := library.ask(telling(all))
	if err != nil {
		panic(err) // not reached where it was asked first whether it can be: see judgeNamed
	}
	answers := make([]levels.Answer, 0, len(all))
	told := 0
	for i := range all {
		s := &all[i]
		a := s.byLimits()
		if s.told() {
			if estimate := said[told]; estimate != nil {
				a = s.outcome(s.byModel(estimate), now, next)
			}
			told++
		}
		answers = append(answers, a)
	}
	return answers
}

// wild is how far from the middle of the band a value may lie, in widths of it.
const wild = 1.5

// told reports whether the model can know the point: its type has a band with two ends.
func (s *subject) told() bool { return s.band.Complete() }

// site is what the script is told.
type site struct {
	Points []heard `json:"points"`
}

type heard struct {
	Type int       `json:"type"`
	Area int       `json:"area"`
	Runs []readRun `json:"runs"`
}

type readRun struct {
	T []float64 `json:"t"`
	Y []float64 `json:"y"`
}

// estimate is what the script says of a point: level at the beginning of its run, drift a year, and the
// variance of the level, the covariance and the variance of the drift; nil: nothing.
type estimate []float64

func telling(all []subject) site {
	types, areas := map[string]int{}, map[string]int{}
	told := site{Points: []heard{}}
	for i := range all {
		s := &all[i]
		if !s.told() {
			continue
		}
		h := heard{Type: numbered(types, sootline.TypeKey(s.point.Type)), Area: numbered(areas, s.point.Place.Area)}
		for _, r := range s.runs {
			out := readRun{T: []float64{}, Y: []float64{}}
			for i, y := range r.y {
				if share := s.share(y); math.Abs(share) <= wild {
					out.T, out.Y = append(out.T, r.t[i]), append(out.Y, share)
				}
			}
			h.Runs = append(h.Runs, out)
		}
		told.Points = append(told.Points, h)
	}
	return told
}

func numbered(seen map[string]int, name string) int {
	if _, known := seen[name]; !known {
		seen[name] = len(seen)
	}
	return seen[name]
}

// share gives a value in widths of its band from its middle, dirt upwards.
func (s *subject) share(y float64) float64 {
	share := (y-*s.band.Low)/(*s.band.High-*s.band.Low) - 0.5
	if s.falls() {
		return -share
	}
	return share
}

func (s *subject) byModel(e estimate) belief {
	return func(t float64) (below, above float64) {
		fit, sd := e[0]+e[1]*t, math.Sqrt(max(1e-12, e[2]+2*e[3]*t+e[4]*t*t))
		clean, dirty := distuv.UnitNormal.CDF((-0.5-fit)/sd), distuv.UnitNormal.CDF((fit-0.5)/sd)
		if s.falls() {
			return dirty, clean
		}
		return clean, dirty
	}
}

// library runs the script, as many times at once as it is asked at once.
var library = &scripts{}

type scripts struct{ idle chan *script }

type script struct {
	in  *json.Encoder
	out *bufio.Reader
}

func init() { library.idle = make(chan *script, 64) }

func (l *scripts) ask(told site) ([]estimate, error) {
	var s *script
	select {
	case s = <-l.idle:
	default:
		var err error
		if s, err = newScript(); err != nil {
			return nil, err
		}
	}
	if err := s.in.Encode(told); err != nil {
		return nil, fmt.Errorf("peer_hierarchical.py: %w", err)
	}
	line, err := s.out.ReadBytes('\n')
	if err != nil {
		return nil, fmt.Errorf("peer_hierarchical.py: %w", err)
	}
	var said []estimate
	if err := json.Unmarshal(line, &said); err != nil || len(said) != len(told.Points) {
		return nil, fmt.Errorf("peer_hierarchical.py said %d of %d points: %w", len(said), len(told.Points), err)
	}
	l.idle <- s
	return said, nil
}

// ready reports why the script cannot be asked, if so.
func (l *scripts) ready() error {
	if _, err := l.ask(site{Points: []heard{}}); err != nil {
		return fmt.Errorf("the hierarchical peer cannot be asked; it needs /usr/bin/python3 with python3-statsmodels: %w", err)
	}
	return nil
}

// newScript starts Debian's Python, which has python3-statsmodels. It ends with the command that started it.
func newScript() (*script, error) {
	path, err := inProject("scripts/peer_hierarchical.py")
	if err != nil {
		return nil, err
	}
	command := exec.Command("/usr/bin/python3", path)
	command.Env = append(command.Environ(), "OPENBLAS_NUM_THREADS=1", "OMP_NUM_THREADS=1")
	in, err := command.StdinPipe()
	if err != nil {
		return nil, err
	}
	out, err := command.StdoutPipe()
	if err != nil {
		return nil, err
	}
	if err := command.Start(); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return &script{json.NewEncoder(in), bufio.NewReaderSize(out, 1<<20)}, nil
}
