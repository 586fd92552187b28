package web

import (
	"net/http"
	"slices"

	"sootline"
	"sootline/internal/app"
)

// questionsPage lists what nobody wrote down and the readings ask about.
type questionsPage struct {
	Frame
	Asked    []questionLines
	HeldBack int // questions that wait until those are answered
}

// questionLines is a question with its evidence, and the form that answers it.
type questionLines struct {
	Key, Kind, Address string
	Points             []pointLink
	Evidence           []string
	Question           string
	CanSayYes          bool
	From, To           string // days between which it was
	ID                 string // of the entry that the answer writes
	Back               string
	Why, At            string // as typed
	Trouble            string
}

func (s *Server) showQuestions(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.judged(r)
	if err != nil {
		return err
	}
	return s.showAsked(w, r, http.StatusOK, s.questionsPage(survey))
}

func (s *Server) showAsked(w http.ResponseWriter, r *http.Request, status int, page *questionsPage) error {
	return s.show(w, r, status, "questions.html", page)
}

func (s *Server) questionsPage(survey *app.Survey) *questionsPage {
	page := &questionsPage{Frame: Frame{Title: "Questions about " + survey.Register.Site.Name, Survey: survey}, HeldBack: survey.Judged().HeldBack}
	for _, q := range survey.Asked() {
		page.Asked = append(page.Asked, s.questionOf(survey, q, siteAddress(survey)+"/questions"))
	}
	return page
}

// questionsOf lists the open questions about one point.
func (s *Server) questionsOf(survey *app.Survey, p *sootline.Point) []questionLines {
	var asked []questionLines
	for _, q := range survey.Asked() {
		if slices.Contains(q.Points, p) {
			asked = append(asked, s.questionOf(survey, q, pointAddress(survey, p)))
		}
	}
	return asked
}

func (s *Server) questionOf(survey *app.Survey, q app.Asked, back string) questionLines {
	last := len(q.Evidence) - 1
	lines := questionLines{
		Key: q.Key, Kind: string(q.Kind), Address: siteAddress(survey) + "/questions/" + q.Key, ID: s.newID(), Back: back,
		Evidence: q.Evidence[:last], Question: q.Evidence[last], CanSayYes: len(q.Say) > 0,
		From: day(q.From, survey.Zone), To: day(q.To, survey.Zone),
	}
	for _, p := range q.Points {
		lines.Points = append(lines.Points, pointLink{p.Ref().String(), pointAddress(survey, p)})
	}
	return lines
}

// answerQuestion writes the answer down.
func (s *Server) answerQuestion(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	reply, err := replyOf(r, survey)
	if err == nil {
		_, err = s.as(r).Answer(r.Context(), survey.Register.Site.ID, r.PathValue("key"), reply)
	}
	if err == nil {
		http.Redirect(w, r, localPath(r.PostForm.Get("back")), http.StatusSeeOther)
		return nil
	}
	if sootline.ErrorCode(err) != sootline.Invalid {
		return err
	}
	page := s.questionsPage(survey)
	for i := range page.Asked {
		if q := &page.Asked[i]; q.Key == r.PathValue("key") {
			q.Trouble, q.Why, q.At = sentence(err), r.PostForm.Get("why"), r.PostForm.Get("at")
		}
	}
	return s.showAsked(w, r, status(err), page)
}

func replyOf(r *http.Request, survey *app.Survey) (app.Reply, error) {
	id, err := sootline.ParseID(r.PostForm.Get("id"))
	if err != nil {
		return app.Reply{}, lostNumber(err)
	}
	answer := r.PostForm.Get("answer")
	if answer != "yes" && answer != "no" {
		return app.Reply{}, sootline.Errorf(sootline.Invalid, "", "an answer is yes or no")
	}
	reply := app.Reply{ID: id, Yes: answer == "yes", Why: r.PostForm.Get("why")}
	if reply.Yes {
		at, err := typedMoment(r.PostForm.Get("at"), survey.Zone)
		if err != nil {
			return reply, err
		}
		reply.At, reply.Day = at.At, at.Day
	}
	return reply, nil
}
