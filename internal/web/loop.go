package web

import (
	"net/http"
	"slices"

	"sootline"
	"sootline/internal/app"
)

// loopPage is one loop, drawn as a ring.
type loopPage struct {
	Frame
	Loops   []loopChoice
	Loop    string
	Numbers string
	Ring    *drawing
	Sizes   []loopChoice // of the drawing
	Table   string       // the address of its points as a table
}

type loopChoice struct {
	Name, Address string
	Current       bool
}

// showLoop shows the loop that the address names, or the first one.
func (s *Server) showLoop(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.judged(r)
	if err != nil {
		return err
	}
	page := &loopPage{Frame: Frame{Title: "Loops of " + survey.Register.Site.Name, Survey: survey}}
	loops := survey.Register.Loops()
	if len(loops) == 0 {
		return s.show(w, r, http.StatusOK, "loop.html", page)
	}
	id := loops[0].LoopID
	if name := r.URL.Query().Get("of"); name != "" {
		if id, err = survey.LoopNamed(name); err != nil {
			return err
		}
	}
	page.tell(survey, id, r.URL.Query().Get("zoom"))
	return s.show(w, r, http.StatusOK, "loop.html", page)
}

func (p *loopPage) tell(survey *app.Survey, id sootline.LoopID, zoom string) {
	for _, loop := range survey.Register.Loops() {
		p.Loops = append(p.Loops, loopChoice{loop.String(), "?of=" + queryWord(loop.String()), loop.LoopID == id})
	}
	p.Loop = id.String()
	p.Table = siteAddress(survey) + "/points?loop=" + queryWord(p.Loop)
	p.Numbers = numbersOf(survey.Register.Loop(id))
	onIt := func(point *sootline.Point) bool { return point.LoopID() == id }
	if slices.ContainsFunc(survey.Register.Points(), onIt) {
		p.Ring = drawingOf(survey.Ring(id, func(point *sootline.Point) string { return pointAddress(survey, point) }), "ring")
		p.Sizes = []loopChoice{{"Whole", "?of=" + queryWord(p.Loop), true}}
		for _, size := range [...]string{"2", "4"} {
			p.Sizes = append(p.Sizes, loopChoice{size + " times", "?of=" + queryWord(p.Loop) + "&zoom=" + size, size == zoom})
			if size == zoom {
				p.Ring.Zoom, p.Sizes[0].Current = size, false
			}
		}
	}
}
