package web

import (
	"net/http"

	"sootline"
	"sootline/internal/app"
)

// route is an address, who may go there, and what answers.
type route struct {
	pattern string
	needs   sootline.Role
	answer  func(w http.ResponseWriter, r *http.Request) error
	menu    string // its name in the menu, or empty
	book    bool   // it concerns the book as a whole: not for whoever is bound to sites
	most    int64  // bytes that a body may have; 0: mostForm
	phone   bool   // the page of the phone asks, which reads JSON, of trouble too
}

// mostForm is room for any form typed by hand.
const mostForm = 64 << 10

// mostPaper is room for the file of a paper.
const mostPaper = 64 << 20

// routes is every address of the web application.
func (s *Server) routes() []route {
	const anyone, reader, technician, manager = sootline.Stranger, sootline.Reader, sootline.Technician, sootline.Manager
	return []route{
		{pattern: "GET /{$}", needs: reader, answer: s.showToday, menu: "Today"},
		{pattern: "POST /demo", needs: manager, book: true, answer: s.makeDemo},
		{pattern: "POST /seen", needs: technician, answer: s.markSeen},
		{pattern: "GET /sites/add", needs: manager, book: true, answer: s.showAddSite},
		{pattern: "POST /sites/add", needs: manager, book: true, answer: s.addSite},
		{pattern: "GET /find", needs: reader, answer: s.showSearch},

		{pattern: "GET /due", needs: reader, answer: s.showDueEverywhere, menu: "Due"},
		{pattern: "GET /due.ics", needs: anyone, answer: s.giveCalendar},
		{pattern: "POST /due/calendar", needs: technician, answer: s.makeCalendar},

		{pattern: "GET /phones", needs: technician, answer: s.showPhones, menu: "Phones"},
		{pattern: "POST /phones", needs: technician, answer: s.offerPairing},
		{pattern: "POST /phones/drop", needs: technician, answer: s.dropPhone},
		{pattern: "GET /pair", needs: anyone, answer: s.showPair},
		{pattern: "POST /pair", needs: anyone, answer: s.pair},
		{pattern: "GET /trust", needs: anyone, answer: s.giveTrust},

		{pattern: "GET /site/{site}", needs: reader, answer: s.showSite, menu: "Site"},
		{pattern: "GET /site/{site}/points", needs: reader, answer: s.showPoints, menu: "Points"},
		{pattern: "POST /site/{site}/points", needs: technician, answer: s.actOnPoints},
		{pattern: "GET /site/{site}/points/add", needs: technician, answer: s.showAddPoint},
		{pattern: "POST /site/{site}/points/add", needs: technician, answer: s.addPoint},
		{pattern: "POST /site/{site}/undo", needs: technician, answer: s.undoDeed},
		{pattern: "GET /site/{site}/point/{point}", needs: reader, answer: s.showPoint},
		{pattern: "GET /site/{site}/point/{point}/place", needs: technician, answer: s.showPlace},
		{pattern: "POST /site/{site}/point/{point}/place", needs: technician, answer: s.describePoint},
		{pattern: "POST /site/{site}/point/{point}", needs: technician, answer: s.addToPoint},
		{pattern: "POST /site/{site}/point/{point}/device", needs: technician, answer: s.noteDevice},
		{pattern: "POST /site/{site}/point/{point}/replace", needs: technician, answer: s.replaceDevice},
		{pattern: "GET /site/{site}/loop", needs: reader, answer: s.showLoop, menu: "Loops"},

		{pattern: "GET /site/{site}/defects", needs: reader, answer: s.showDefects, menu: "Defects"},
		{pattern: "POST /site/{site}/defects", needs: technician, answer: s.addDefect, most: mostStep},
		{pattern: "GET /site/{site}/defect/{defect}", needs: reader, answer: s.showDefect},
		{pattern: "POST /site/{site}/defect/{defect}", needs: technician, answer: s.stepDefect, most: mostStep},

		{pattern: "GET /site/{site}/due", needs: reader, answer: s.showDue},
		{pattern: "GET /site/{site}/due.ics", needs: anyone, answer: s.giveCalendar},
		{pattern: "GET /site/{site}/visit", needs: reader, answer: s.showVisit, menu: "Visit"},
		{pattern: "POST /site/{site}/visit", needs: technician, answer: s.openVisit},
		{pattern: "POST /site/{site}/visit/close", needs: technician, answer: s.closeVisit},
		{pattern: "GET /site/{site}/visit/pack", needs: technician, phone: true, answer: s.givePack},
		{pattern: "GET /site/{site}/visit/done", needs: reader, phone: true, answer: s.giveDone},
		{pattern: "POST /site/{site}/visit/entries", needs: technician, phone: true, answer: s.takeCaptures, most: mostCaptures},
		{pattern: "POST /photo", needs: technician, phone: true, answer: s.takePhoto, most: app.MostPhoto + 1},
		{pattern: "GET /photo/{hash}", needs: reader, answer: s.givePhoto},
		{pattern: "GET /capture", needs: anyone, answer: s.showCapture},
		{pattern: "GET /sw.js", needs: anyone, answer: s.giveWorker},

		{pattern: "GET /site/{site}/questions", needs: reader, answer: s.showQuestions, menu: "Questions"},
		{pattern: "POST /site/{site}/questions/{key}", needs: technician, answer: s.answerQuestion},

		{pattern: "GET /site/{site}/intake", needs: technician, answer: s.showIntakes, menu: "Intake"},
		{pattern: "POST /site/{site}/intake", needs: technician, answer: s.upload, most: mostUpload},
		{pattern: "GET /site/{site}/intake/{intake}", needs: technician, answer: s.showIntake},
		{pattern: "POST /site/{site}/intake/{intake}", needs: technician, answer: s.workOnIntake},
		{pattern: "POST /site/{site}/intake/undo", needs: technician, answer: s.undoTake},
		{pattern: "GET /site/{site}/intake/{intake}/left/{file}", needs: technician, answer: s.giveLeft},

		{pattern: "GET /site/{site}/numbers", needs: reader, answer: s.showNumbers, menu: "Numbers"},
		{pattern: "GET /site/{site}/numbers/plan", needs: reader, answer: s.showPlan},
		{pattern: "POST /site/{site}/numbers/plan", needs: technician, answer: s.acceptPlan},
		{pattern: "POST /site/{site}/numbers/plan/undo", needs: technician, answer: s.undoPlan},
		{pattern: "GET /site/{site}/numbers/order", needs: reader, answer: s.showOrder},
		{pattern: "POST /site/{site}/numbers/order", needs: technician, answer: s.noteOrder},
		{pattern: "GET /site/{site}/numbers/cards", needs: reader, answer: s.showCards},
		{pattern: "GET /site/{site}/numbers/found", needs: technician, answer: s.showFound},
		{pattern: "POST /site/{site}/numbers/found", needs: technician, answer: s.keepFound, most: mostList},
		{pattern: "POST /site/{site}/numbers/found/{list}", needs: technician, answer: s.noteFound},

		{pattern: "GET /site/{site}/bench", needs: reader, answer: s.showBenches, menu: "Bench"},
		{pattern: "POST /site/{site}/bench", needs: technician, answer: s.openBench, most: mostList},
		{pattern: "GET /site/{site}/bench/{run}", needs: reader, answer: s.showBenchRun},
		{pattern: "POST /site/{site}/bench/{run}", needs: technician, phone: true, answer: s.actOnBench},
		{pattern: "GET /site/{site}/bench/{run}/pack", needs: reader, phone: true, answer: s.giveBench},
		{pattern: "GET /bench", needs: anyone, answer: s.showBenchShell},

		{pattern: "GET /site/{site}/power", needs: reader, answer: s.showPower, menu: "Loop power"},
		{pattern: "GET /site/{site}/power/advice", needs: reader, answer: s.showAdvice},
		{pattern: "GET /site/{site}/power/find", needs: reader, answer: s.showFind},
		{pattern: "GET /site/{site}/power/lead", needs: reader, answer: s.showLead},
		{pattern: "POST /site/{site}/power/lead", needs: technician, answer: s.noteLead},
		{pattern: "GET /site/{site}/power/design", needs: reader, answer: s.showDesign},
		{pattern: "POST /site/{site}/power/design", needs: manager, answer: s.keepDesign, most: mostList},
		{pattern: "GET /site/{site}/battery", needs: reader, answer: s.showBattery, menu: "Battery"},

		{pattern: "GET /site/{site}/alarms", needs: reader, answer: s.showAlarms, menu: "Alarms"},
		{pattern: "POST /site/{site}/alarms", needs: technician, answer: s.addAlarm},

		{pattern: "GET /site/{site}/listening", needs: reader, answer: s.showListening, menu: "Listening"},
		{pattern: "POST /site/{site}/listening", needs: manager, answer: s.changeListening, most: mostMap},
		{pattern: "GET /site/{site}/listening/{source}", needs: technician, answer: s.showTeach},
		{pattern: "POST /site/{site}/listening/{source}", needs: technician, answer: s.teach},

		{pattern: "GET /site/{site}/papers", needs: reader, answer: s.showPapers, menu: "Papers"},
		{pattern: "POST /site/{site}/papers", needs: technician, answer: s.checkPaper, most: mostPaper},
		{pattern: "GET /site/{site}/paper/{file}", needs: reader, answer: s.givePaper},
		{pattern: "POST /site/{site}/paper/{file}", needs: technician, answer: s.issuePaper},
		{pattern: "GET /firm/logo", needs: reader, answer: s.giveLogo},

		{pattern: "GET /site/{site}/log", needs: reader, answer: s.showLog, menu: "Log"},
		{pattern: "POST /site/{site}/log", needs: technician, answer: s.addToLog},
		{pattern: "GET /site/{site}/log/verify", needs: reader, answer: s.verifyLog},
		{pattern: "GET /site/{site}/log/export", needs: reader, answer: s.exportLog},
		{pattern: "GET /site/{site}/log/readable", needs: reader, answer: s.giveReadable},
		{pattern: "GET /site/{site}/log/{entry}", needs: reader, answer: s.showEntry},
		{pattern: "POST /site/{site}/log/{entry}", needs: technician, answer: s.amendEntry},

		{pattern: "GET /site/{site}/apart", needs: reader, answer: s.showApart},
		{pattern: "POST /site/{site}/apart", needs: technician, answer: s.settleApart},

		{pattern: "GET /site/{site}/settings", needs: reader, answer: s.showSettings, menu: "Settings"},
		{pattern: "POST /site/{site}/settings", needs: manager, answer: s.writeSetting(factsSetting())},
		{pattern: "GET /site/{site}/settings/loop", needs: reader, answer: s.showSetting(loopSetting(), supplySetting())},
		{pattern: "POST /site/{site}/settings/loop", needs: manager, answer: s.writeSetting(loopSetting(), supplySetting())},
		{pattern: "POST /site/{site}/settings/supply", needs: manager, answer: s.writeSetting(supplySetting(), loopSetting())},
		{pattern: "GET /site/{site}/settings/loads", needs: reader, answer: s.showSetting(loadsSetting())},
		{pattern: "POST /site/{site}/settings/loads", needs: manager, answer: s.writeSetting(loadsSetting())},
		{pattern: "GET /site/{site}/settings/area", needs: reader, answer: s.showSetting(areaSetting())},
		{pattern: "POST /site/{site}/settings/area", needs: manager, answer: s.writeSetting(areaSetting())},
		{pattern: "GET /site/{site}/settings/type", needs: reader, answer: s.showSetting(sheetSetting())},
		{pattern: "POST /site/{site}/settings/type", needs: manager, answer: s.writeSetting(sheetSetting())},
		{pattern: "GET /site/{site}/settings/how", needs: reader, answer: s.showSetting(howSetting())},
		{pattern: "POST /site/{site}/settings/how", needs: manager, answer: s.writeSetting(howSetting())},
		{pattern: "GET /site/{site}/settings/rules", needs: reader, answer: s.showSetting(rulesSetting())},
		{pattern: "POST /site/{site}/settings/rules", needs: manager, answer: s.writeSetting(rulesSetting())},
		{pattern: "GET /site/{site}/settings/wanted", needs: reader, answer: s.showWanted},
		{pattern: "POST /site/{site}/settings/wanted", needs: technician, answer: s.writeWanted},
		{pattern: "POST /site/{site}/settings/alias", needs: technician, answer: s.sayAlias},
		{pattern: "GET /people", needs: manager, book: true, answer: s.showPeople},
		{pattern: "POST /people", needs: manager, book: true, answer: s.addPerson},
		{pattern: "POST /people/invite", needs: manager, book: true, answer: s.invitePerson},
		{pattern: "POST /people/token", needs: manager, book: true, answer: s.changeTokens},
		{pattern: "GET /welcome/{key}", needs: anyone, answer: s.showWelcome},
		{pattern: "POST /welcome/{key}", needs: anyone, answer: s.acceptInvitation},
		{pattern: "POST /people/change", needs: manager, book: true, answer: s.changePerson},
		{pattern: "GET /people/journal", needs: manager, book: true, answer: s.showJournal},
		{pattern: "GET /people/journal/{format}", needs: manager, book: true, answer: s.giveJournal},
		{pattern: "GET /backups", needs: manager, book: true, answer: s.showBackups},
		{pattern: "GET /account", needs: reader, answer: s.showAccount},
		{pattern: "POST /account", needs: reader, answer: s.changeAccount},
		{pattern: "POST /account/passkey/begin", needs: reader, answer: s.forScript(s.beginPasskey)},
		{pattern: "POST /account/passkey", needs: reader, answer: s.forScript(s.addPasskey)},
		{pattern: "POST /sign-in/passkey/begin", needs: anyone, answer: s.forScript(s.beginPasskeySignIn)},
		{pattern: "POST /sign-in/passkey", needs: anyone, answer: s.forScript(s.signInByPasskey)},

		{pattern: "GET /sign-in", needs: anyone, answer: s.showSignIn},
		{pattern: "POST /sign-in", needs: anyone, answer: s.signIn},
		{pattern: "POST /sign-out", needs: anyone, answer: s.signOut},
		{pattern: "POST /look", needs: anyone, answer: s.chooseLook},
		{pattern: "GET /static/{file}", needs: anyone, answer: s.giveAsset},
		{pattern: "GET /healthz", needs: anyone, answer: s.health},
		{pattern: "GET /metrics", needs: anyone, answer: s.metrics},
		{pattern: "/api/v1/", needs: anyone, answer: s.answerAPI, most: mostCall},
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
