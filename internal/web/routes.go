package web

import (
	"net/http"

	"sootline/internal/app"
)

// route is an address, who may go there, and what answers.
type route struct {
	pattern string
	needs   app.Role
	answer  func(w http.ResponseWriter, r *http.Request) error
	menu    string // its name in the menu, or empty
	most    int64  // bytes that a body may have; 0: mostForm
}

// mostForm is room for any form typed by hand.
const mostForm = 64 << 10

// routes is every address of the web application.
func (s *Server) routes() []route {
	const anyone, technician, manager = app.Stranger, app.Technician, app.Manager
	return []route{
		{pattern: "GET /{$}", needs: technician, answer: s.showToday, menu: "Today"},
		{pattern: "POST /demo", needs: manager, answer: s.makeDemo},
		{pattern: "POST /seen", needs: technician, answer: s.markSeen},

		{pattern: "GET /site/{site}", needs: technician, answer: s.showSite, menu: "Site"},
		{pattern: "GET /site/{site}/loop", needs: technician, answer: s.showLoop, menu: "Loops"},
		{pattern: "GET /site/{site}/points", needs: technician, answer: s.showPoints, menu: "Points"},
		{pattern: "GET /site/{site}/questions", needs: technician, answer: s.showQuestions, menu: "Questions"},
		{pattern: "POST /site/{site}/questions/{key}", needs: technician, answer: s.answerQuestion},
		{pattern: "GET /site/{site}/point/{point}", needs: technician, answer: s.showPoint},
		{pattern: "POST /site/{site}/point/{point}", needs: technician, answer: s.addToPoint},

		{pattern: "GET /due", needs: technician, answer: s.showDue, menu: "Due"},
		{pattern: "GET /due.ics", needs: anyone, answer: s.giveCalendar},
		{pattern: "GET /site/{site}/due", needs: technician, answer: s.showDue},
		{pattern: "GET /site/{site}/due.ics", needs: anyone, answer: s.giveCalendar},
		{pattern: "POST /due/calendar", needs: technician, answer: s.makeCalendar},
		{pattern: "GET /site/{site}/visit", needs: technician, answer: s.showVisit, menu: "Visit"},
		{pattern: "POST /site/{site}/visit", needs: technician, answer: s.openVisit},
		{pattern: "POST /site/{site}/visit/close", needs: technician, answer: s.closeVisit},
		{pattern: "GET /site/{site}/visit/pack", needs: technician, answer: s.givePack},
		{pattern: "GET /site/{site}/visit/done", needs: technician, answer: s.giveDone},
		{pattern: "POST /site/{site}/visit/entries", needs: technician, answer: s.takeCaptures, most: mostCaptures},
		{pattern: "POST /photo", needs: technician, answer: s.takePhoto, most: app.MostPhoto + 1},
		{pattern: "GET /photo/{hash}", needs: technician, answer: s.givePhoto},
		{pattern: "GET /capture", needs: anyone, answer: s.showCapture},
		{pattern: "GET /sw.js", needs: anyone, answer: s.giveWorker},
		{pattern: "GET /phones", needs: technician, answer: s.showPhones, menu: "Phones"},
		{pattern: "POST /phones", needs: technician, answer: s.offerPairing},
		{pattern: "POST /phones/drop", needs: technician, answer: s.dropPhone},
		{pattern: "GET /pair", needs: anyone, answer: s.showPair},
		{pattern: "POST /pair", needs: anyone, answer: s.pair},
		{pattern: "GET /trust", needs: anyone, answer: s.giveTrust},

		{pattern: "GET /sign-in", needs: anyone, answer: s.showSignIn},
		{pattern: "POST /sign-in", needs: anyone, answer: s.signIn},
		{pattern: "POST /sign-out", needs: anyone, answer: s.signOut},
		{pattern: "POST /look", needs: anyone, answer: s.chooseLook},
		{pattern: "GET /static/{file}", needs: anyone, answer: s.giveAsset},
		{pattern: "GET /healthz", needs: anyone, answer: s.health},
		{pattern: "GET /metrics", needs: anyone, answer: s.metrics},
		{pattern: "/", needs: anyone, answer: s.nowhere},
	}
}

func (s *Server) mux() *http.ServeMux {
	mux := http.NewServeMux()
	for _, route := range s.routes() {
		mux.Handle(route.pattern, s.sessions.LoadAndSave(s.admit(route)))
	}
	return mux
}
