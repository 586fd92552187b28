package web

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"net/http"
	"strconv"
	"time"

	"sootline/internal/app"
	"sootline/internal/shape"
)

// journalPage shows what was done with people, phones and ways in.
type journalPage struct {
	Frame
	Events []eventLine
	Broken string
	WayOut []wayLine
	Older  int64 // before which number the next page begins; 0: there is none
}

type eventLine struct{ When, What, By, Whom, Detail, From string }

// journalLines is how many lines of the journal a page has.
const journalLines = 100

func (s *Server) showJournal(w http.ResponseWriter, r *http.Request) error {
	events, broken, err := s.as(r).SecurityEvents(r.Context(), beforeOf(r), journalLines)
	if err != nil {
		return err
	}
	page := &journalPage{Frame: Frame{Title: "Journal of security events"}}
	if broken != nil {
		page.Broken, page.WayOut = sentence(broken), wayOut(r, broken)
	}
	for _, e := range events {
		page.Events = append(page.Events, eventLine{local(e.At, s.Zone), string(e.What), e.By, e.Whom, e.Detail, e.From})
	}
	if len(events) == journalLines && events[len(events)-1].Seq > 1 {
		page.Older = events[len(events)-1].Seq
	}
	return s.show(w, r, http.StatusOK, "journal.html", page)
}

func beforeOf(r *http.Request) int64 {
	before, err := strconv.ParseInt(r.URL.Query().Get("before"), 10, 64)
	if err != nil {
		return 0 // from the end
	}
	return before
}

// giveJournal gives the journal as a file, the latest first: CSV for spreadsheets,
// JSON for programs.
func (s *Server) giveJournal(w http.ResponseWriter, r *http.Request) error {
	events, broken, err := s.as(r).SecurityEvents(r.Context(), beforeOf(r), app.MostEvents)
	if err != nil {
		return err
	}
	if r.PathValue("format") == "json" {
		w.Header().Set("Content-Disposition", `attachment; filename="security-events.json"`)
		return s.giveJSON(w, r, shape.OfSecurityEvents(events, broken))
	}
	var text bytes.Buffer
	out := csv.NewWriter(&text)
	rows := [][]string{{"number", "at", "what", "by", "whom", "detail", "from"}}
	for _, e := range events {
		rows = append(rows, []string{fmt.Sprint(e.Seq), e.At.Format(time.RFC3339), string(e.What), guarded(e.By), guarded(e.Whom), guarded(e.Detail), guarded(e.From)})
	}
	if err := out.WriteAll(rows); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	w.Header().Set("Content-Disposition", `attachment; filename="security-events.csv"`)
	_, err = w.Write(text.Bytes())
	return s.wentAway(r, err)
}

// guarded keeps a spreadsheet from running a cell as a formula.
func guarded(cell string) string {
	if cell != "" && bytes.ContainsRune([]byte("=+-@\t\r"), rune(cell[0])) {
		return "'" + cell
	}
	return cell
}
