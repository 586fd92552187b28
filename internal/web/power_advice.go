package web

import (
	"fmt"
	"net/http"

	"sootline"
	"sootline/internal/app"
)

// advicePage is what would help a loop.
type advicePage struct {
	Frame
	circuitTabs
	Type    string
	Comes   string // what it comes to
	Types   []string
	Lines   []labelled
	Rooms   []roomLine // the roomiest first
	Others  []roomLine
	Assumed []string
	Trouble string
}

type roomLine struct {
	Where, Why string
	More       int
}

func (s *Server) showAdvice(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	page := &advicePage{Frame: Frame{Title: "Advice on loops of " + survey.Register.Site.Name, Survey: survey}, Type: r.URL.Query().Get("type"), Types: typeNames(survey)}
	id, err := page.choose(survey, r, "power/advice")
	if err != nil {
		return err
	}
	if page.Loop == "" {
		return s.show(w, r, http.StatusOK, "advice.html", page)
	}
	code := http.StatusOK
	advice, err := s.as(r).AdviseLoop(r.Context(), survey.Register.Site.ID, survey.On, id, page.Type)
	switch {
	case err == nil:
		page.tell(advice)
	case status(err) >= http.StatusInternalServerError:
		return err
	default:
		code, page.Trouble = status(err), sentence(err)
	}
	return s.show(w, r, code, "advice.html", page)
}

func (p *advicePage) concludes() conclusion { return conclusion{Says: p.Comes} }

func (p *advicePage) tell(advice *app.LoopAdvice) {
	p.Comes = sootline.AsSentence(comesOf(advice))
	p.Lines = []labelled{
		{"Longer cable", fmt.Sprintf("%v in all at most; longer, %s", advice.Stretch.Metres, advice.Stretch.Reason)},
		{"Cross-section", advice.CrossSection.Reason},
	}
	if advice.NextIsolator != nil {
		p.Lines = append(p.Lines, labelled{"One more isolator", advice.NextIsolator.Reason})
	}
	p.Lines = append(p.Lines, labelled{"Isolators as a set", advice.Isolators.Sentence()})
	if advice.Type != "" {
		p.Lines = append(p.Lines, labelled{"Numbers", fmt.Sprintf("the loop has %s left", count(advice.Numbers, "number", "numbers"))})
	}
	for _, room := range advice.Rooms {
		p.Rooms = append(p.Rooms, roomLine{room.Between, room.Reason, room.More})
	}
	const most = 10
	if len(p.Rooms) > most {
		p.Rooms, p.Others = p.Rooms[:most], p.Rooms[most:]
	}
	p.Assumed = advice.Assumed
}

// comesOf says whether the cable has room left, which is what advice begins with.
func comesOf(advice *app.LoopAdvice) string {
	s := &advice.Stretch
	switch {
	case s.Factor < 1:
		return fmt.Sprintf("the cable is too long already: %.2f times its length would do", s.Factor)
	case s.Factor > 1000:
		return "the length of the cable stops nothing"
	}
	return fmt.Sprintf("the cable may be %.2f times as long at most", s.Factor)
}
