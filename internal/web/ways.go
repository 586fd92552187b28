package web

import (
	"net/http"
	"strings"

	"sootline"
)

// wayLine is a way out as a page words it: a sentence, and the page on which to
// do it.
type wayLine struct{ Text, Address, Label string }

// wayPage is where the pages have a use case: below the site, or for the whole
// book. Where they have none, words say where else it is done.
type wayPage struct {
	address, label string
	ofBook         bool
	of             bool // its first argument is what the page is of
	words          string
}

// wayPages is the one table from use cases to pages.
func wayPages() map[sootline.Use]wayPage {
	const atMachine = " at the machine that keeps the book."
	log, numbers := wayPage{address: "/log", label: "Log"}, wayPage{address: "/settings/loop", label: "Numbers of the loop"}
	visit, points := wayPage{address: "/visit", label: "Visit"}, wayPage{address: "/points", label: "Points"}
	atBench := wayPage{address: "/bench", label: "Bench"}
	defects := wayPage{address: "/defects", label: "Defects"}
	today, site := wayPage{address: "/", label: "Today", ofBook: true}, wayPage{address: "", label: "Site"}
	return map[sootline.Use]wayPage{
		sootline.AddSite:          {address: "/sites/add", label: "Add a site", ofBook: true},
		sootline.ListSites:        today,
		sootline.RenameSite:       {address: "/settings", label: "Settings"},
		sootline.ShowSite:         site,
		sootline.StateLoop:        numbers,
		sootline.StateFacts:       {address: "/settings", label: "Settings"},
		sootline.StateLoads:       {address: "/settings/loads", label: "Load list", of: true},
		sootline.MakeDemo:         today,
		sootline.TakeListings:     {address: "/intake", label: "Intake"},
		sootline.ListTakes:        {address: "/intake", label: "Intake"},
		sootline.UndoTake:         {address: "/intake", label: "Intake"},
		sootline.ListAliases:      {address: "/settings", label: "Settings"},
		sootline.CheckSite:        site,
		sootline.PlanNumbers:      {address: "/numbers/plan", label: "Plan of numbers"},
		sootline.NoteNumber:       points,
		sootline.ReadDevice:       points,
		sootline.ListSettings:     {address: "/settings/wanted", label: "Settings wanted"},
		sootline.ListPoints:       points,
		sootline.SayHowSet:        {address: "/settings/how", label: "How its number is set", of: true},
		sootline.ListQuestions:    {address: "/questions", label: "Questions"},
		sootline.ListStandbyRules: {address: "/battery", label: "Battery"},
		sootline.ReadLog:          log,
		sootline.AddEntry:         log,
		sootline.ListKinds:        log,
		sootline.CorrectEntry:     log,
		sootline.WithdrawEntry:    log,
		sootline.SettleFact:       {address: "/apart", label: "Changed in two places"},
		sootline.ExportLog:        {address: "/log/export", label: "Export"},
		sootline.ExportReadable:   {address: "/log/readable", label: "Export of what can be read"},
		sootline.VerifyLog:        {address: "/log/verify", label: "Check of the log"},
		sootline.RestoreBackup:    {words: "Backups are put back" + atMachine},
		sootline.RebuildIndex:     {words: "The index is rebuilt" + atMachine},
		sootline.MakeHeads:        {words: "What lists say is made anew" + atMachine},
		sootline.OpenVisit:        visit,
		sootline.CloseVisit:       visit,
		sootline.WalkVisit:        visit,
		sootline.ListSources:      {address: "/listening", label: "Listening"},
		sootline.TeachSource:      {address: "/listening", label: "Listening"},
		sootline.OpenBench:        atBench,
		sootline.BenchDevice:      atBench,
		sootline.ShowBench:        atBench,
		sootline.UndoBench:        atBench,
		sootline.ReopenBench:      {words: "A run that has ended goes on" + atMachine},
		sootline.ListDefects:      defects,
		sootline.StepDefect:       defects,
		sootline.Give:             {}, // the form is there already
	}
}

// waysOf words ways out; base is the address of the site, or empty.
func waysOf(base string, ways sootline.Ways) []wayLine {
	pages := wayPages()
	lines := make([]wayLine, 0, len(ways))
	for _, w := range ways {
		page := pages[w.Use]
		line := wayLine{Text: joinedSentences(sootline.AsSentence(w.Text), page.words)}
		switch {
		case page.ofBook:
			line.Address, line.Label = page.address, page.label
		case page.label != "" && base != "":
			line.Address, line.Label = base+page.address, page.label
			if page.of && len(w.With) > 0 {
				line.Address += "?of=" + queryWord(w.With[0])
			}
		}
		lines = append(lines, line)
	}
	return lines
}

// wayOut words the ways out of an error, for the site that the request is about.
func wayOut(r *http.Request, err error) []wayLine {
	base := ""
	if site := r.PathValue("site"); site != "" {
		base = "/site/" + site
	}
	return waysOf(base, sootline.ErrorWays(err))
}

// replaced replaces what the sentences of ways say.
func replaced(lines []wayLine, with func(string) string) []wayLine {
	for i := range lines {
		lines[i].Text = with(lines[i].Text)
	}
	return lines
}

func joinedSentences(a, b string) string { return strings.TrimSpace(a + " " + b) }
