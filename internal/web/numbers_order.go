package web

import (
	"html/template"
	"net/http"
	"strconv"

	"sootline"
	"sootline/internal/app"
)

// orderPage lists in which order to set devices, to be ticked.
type orderPage struct {
	Frame
	loopPart
	ID, Shown string
	Trouble   string
	Says      []string // what it leaves out, and why
	Moved     int
	AtLeast   int // 0: no order is shorter than this one
	Sharing   int // devices that share a number with another before the first step
	Unknown   int // devices of which nobody said which number they carry
	Steps     []stepRow
	Noted     string
}

type stepRow struct {
	Turn, Place  int
	Do, From, To string
	Moves        bool // it is known where it stands
	Device       deviceLink
}

func (s *Server) showOrder(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	page, _, err := s.orderPage(r, survey)
	if err != nil {
		return err
	}
	page.Noted = s.saidBefore(r)
	return s.show(w, r, http.StatusOK, "order.html", page)
}

func (s *Server) orderPage(r *http.Request, survey *app.Survey) (*orderPage, app.NumberOrder, error) {
	page := &orderPage{Frame: Frame{Title: "Order of changes for " + survey.Register.Site.Name, Survey: survey}, ID: s.newID()}
	var err error
	if page.loopPart, err = loopIn(r, survey); err != nil || page.Loop == "" {
		return page, app.NumberOrder{}, err
	}
	orders, err := s.as(r).OrderNumbers(r.Context(), survey.Register.Site.ID, page.Loop)
	if err != nil {
		if status(err) >= http.StatusInternalServerError {
			return nil, app.NumberOrder{}, err
		}
		page.Trouble = sentence(err)
		return page, app.NumberOrder{}, nil
	}
	o := orders[0]
	for _, says := range o.Says() {
		page.Says = append(page.Says, sootline.AsSentence(says))
	}
	page.Moved, page.Shown = o.Moved, digest(o.Steps)
	page.Sharing, page.Unknown = o.Start().Sharing, o.Start().Unknown
	if !o.Shortest() {
		page.AtLeast = o.AtLeast
	}
	for i, step := range o.Steps {
		d := o.Loop.Devices[step.Device]
		page.Steps = append(page.Steps, stepRow{i + 1, i, step.Kind.String(), dash(step.From), dash(step.To), step.From > 0, deviceOf(survey, d.ID)})
	}
	return page, o, nil
}

// noteOrder writes down the steps that were ticked.
func (s *Server) noteOrder(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	page, order, err := s.orderPage(r, survey)
	if err != nil {
		return err
	}
	var done []int
	for _, text := range r.PostForm["done"] {
		i, err := strconv.Atoi(text)
		if err != nil {
			return sootline.Errorf(sootline.Invalid, "open the page again", "%q is no step", text)
		}
		done = append(done, i)
	}
	a, err := s.asForm(r)
	if err != nil {
		return err
	}
	again := page.Base + "/order?loop=" + queryWord(page.Loop)
	switch known, err := a.Noted(r.Context(), survey.Register.Site.ID); {
	case err != nil:
		return err
	case known:
		http.Redirect(w, r, again, http.StatusSeeOther)
		return nil
	case page.Trouble == "" && len(done) == 0:
		page.Trouble = "No step was ticked; nothing was written down."
	case page.Trouble == "" && page.Shown != r.PostForm.Get("shown"):
		page.Trouble = "The order has changed since it was shown; nothing was written down. This is the order now."
	}
	if page.Trouble != "" {
		return s.show(w, r, http.StatusConflict, "order.html", page)
	}
	n, err := a.NoteSteps(r.Context(), survey.Register.Site.ID, order, done)
	if err != nil {
		return err
	}
	s.goSaying(w, r, again, count(n, "device", "devices"))
	return nil
}

// cardsPage draws the setting cards of a loop.
type cardsPage struct {
	Frame
	loopPart
	Trouble string
	Asked   []askedLine
	Cards   []cardPart
}

// cardPart is a setting card as a page shows it: the picture, and the same in words
// for those who cannot see it.
type cardPart struct {
	Name    string
	Picture template.HTML
}

func cardOf(card *app.NumberCard) cardPart {
	return cardPart{card.Name, svg(app.CardPicture(card))}
}

// askedLine asks how the number of a type is set.
type askedLine struct {
	Says   string
	WayOut []wayLine
}

func askedOf(base string, asked []app.TypeHow) []askedLine {
	lines := make([]askedLine, len(asked))
	for i := range asked {
		reason, ways := asked[i].Ask()
		lines[i] = askedLine{sootline.AsSentence(reason), waysOf(base, ways)}
	}
	return lines
}

func (s *Server) showCards(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	page := &cardsPage{Frame: Frame{Title: "Setting cards of " + survey.Register.Site.Name, Survey: survey}}
	if page.loopPart, err = loopIn(r, survey); err != nil {
		return err
	}
	if page.Loop == "" {
		return s.show(w, r, http.StatusOK, "cards.html", page)
	}
	cards, asked, err := s.as(r).NumberCards(r.Context(), survey.Register.Site.ID, page.Loop, "")
	if err != nil {
		if status(err) >= http.StatusInternalServerError {
			return err
		}
		page.Trouble = sentence(err)
	}
	page.Asked = askedOf(siteAddress(survey), asked)
	for i := range cards {
		page.Cards = append(page.Cards, cardOf(&cards[i]))
	}
	return s.show(w, r, http.StatusOK, "cards.html", page)
}
