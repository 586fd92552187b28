package web

import (
	"bytes"
	"fmt"
	"maps"
	"net/http"
	"os"
	"slices"
	"testing"

	"sootline"
	"sootline/internal/api"
	"sootline/internal/app"
	"sootline/internal/worlds"
)

// noDoor are rows that cannot be tried as they stand, since the door has no way to
// do it; whether a body that is handed in is refused there is tried all the same.
var noDoor = map[string]string{
	"issued at page":            "a paper is issued by its use case, and not handed in",
	"issued at api":             "a paper is issued by its use case, and not handed in",
	"issued at command line":    "a paper is issued by its use case, and not handed in",
	"taken at page":             "a take is told of by its use cases, and not handed in",
	"taken at api":              "a take is told of by its use cases, and not handed in",
	"taken at command line":     "a take is told of by its use cases, and not handed in",
	"visit at page":             "a visit begins and ends by its use cases, and is not handed in",
	"visit at api":              "a visit begins and ends by its use cases, and is not handed in",
	"visit at command line":     "a visit begins and ends by its use cases, and is not handed in",
	"bench at page":             "a run begins and ends by its use cases, and is not handed in",
	"bench at api":              "a run begins and ends by its use cases, and is not handed in",
	"bench at command line":     "a run begins and ends by its use cases, and is not handed in",
	"benched at page":           "what is done at the bench is written by its use cases, and a phone hands it in",
	"benched at api":            "what is done at the bench is written by its use cases, and a phone hands it in",
	"benched at command line":   "what is done at the bench is written by its use cases, and a phone hands it in",
	"listening at page":         "a source is kept and taught by its use cases, and not handed in",
	"listening at api":          "a source is kept and taught by its use cases, and not handed in",
	"listening at command line": "a source is kept and taught by its use cases, and not handed in",
	"loads at api":              "a load list is written whole by its use case, and not handed in",
	"loads at command line":     "a load list is written whole by its use case, and not handed in",
	"pinned at page":            "the pages make no backup and take no log in",
	"pinned at api":             "an import pins, which TestPinnedByImport tries",
	"pinned at command line":    "an import pins, which TestPinnedByImport tries",
}

// TestRightsAtEveryDoor tries every row of the table of rights, which was written
// without sight of the program, at its door.
func TestRightsAtEveryDoor(t *testing.T) {
	inMemory(t)
	w := newRightsWorld(t)
	w.kindsHaveRows()
	red, tried, skipped := map[string]int{}, 0, map[string]bool{}
	for _, row := range w.table {
		x := w.ready(row)
		door := row.Kind + " at " + row.Door
		facts, _ := sootline.KindNamed(sootline.Kind(row.Kind))
		want := row.Allowed
		if row.Act == "write" && want && noDoor[door] != "" {
			skipped[door] = true
			if !facts.ByProgram {
				continue
			}
			want = false // never by a body that was handed in
		}
		var got doorSaid
		none := false
		switch row.Door {
		case "page":
			got, none = w.atPage(w.people[row.Role], x)
		case "api":
			got = w.atAPI(w.people[row.Role], x)
		case "phone":
			got = w.atPhone(w.phones[row.Role], x)
		case "command line":
			got = w.atCommand(x)
		}
		if none {
			if noDoor[door] == "" {
				t.Errorf("%s has no way to write %s", row.Door, row.Kind)
			}
			continue
		}
		tried++
		name := fmt.Sprintf("%s %s, %s, by a %s at %s", row.Act, row.Kind, row.Target, row.Role, row.Door)
		holds := w.holds(x)
		switch {
		case got.yes != holds && (holds || row.Act != "write" || !facts.ByProgram):
			t.Errorf("%s: the door says %v, and the log holds it: %v: %s", name, got.yes, holds, got.words)
		case holds != want:
			red[fmt.Sprintf("%s %s, %s, by a %s", row.Act, row.Kind, row.Target, row.Role)]++
			t.Logf("%s is %v, want %v (%s): %s", name, holds, want, row.Reason, got.words)
		case !want && !got.forbidden && noDoor[door] == "" && !amendsAmendment(row):
			t.Errorf("%s is refused for another reason than who asks: %s", name, got.words)
		}
	}
	t.Logf("%d of %d rows tried; without a door: %v", tried, len(w.table), slices.Sorted(maps.Keys(skipped)))
	w.holdRed(red)
}

// amendsAmendment says that a row corrects an amendment, which is impossible
// whoever asks.
func amendsAmendment(row worlds.Right) bool {
	if row.Act == "withdraw" && row.Target == "one that a manager amended" && (row.Kind == "corrected" || row.Kind == "withdrawn") {
		return true // it was taken back, and nobody takes back what was taken back
	}
	if row.Act == "withdraw" && row.Kind == "opened" {
		return true // nobody takes it back
	}
	return row.Act == "correct" && (row.Kind == "corrected" || row.Kind == "withdrawn")
}

// redRights are rows that the program answers otherwise.
var redRights = []string{
	// What amends a correction is its withdrawal; taken back already, it is not taken back twice.
	"withdraw corrected, one that a manager amended, by a manager",
	"withdraw withdrawn, one that a manager amended, by a manager",
}

// holdRed holds what is answered otherwise against the list of what is known to be.
func (w *rightsWorld) holdRed(red map[string]int) {
	w.t.Helper()
	for row, doors := range red {
		if !slices.Contains(redRights, row) {
			w.t.Errorf("%s is answered otherwise at %d doors", row, doors)
		}
	}
	for _, row := range redRights {
		if red[row] == 0 {
			w.t.Errorf("%s is answered as it should be: take it off the list", row)
		}
	}
	if len(red) > 0 && !w.t.Failed() {
		w.t.Logf("%d rows are answered otherwise, with their reason: %v", len(red), redRights)
	}
}

// kindsHaveRows fails for a kind that the table does not know, and for one that
// the table knows alone.
func (w *rightsWorld) kindsHaveRows() {
	w.t.Helper()
	rows := map[string]int{}
	for _, row := range w.table {
		rows[row.Kind]++
	}
	for _, kind := range sootline.Kinds() {
		if rows[string(kind.Kind)] != (1+4+4)*3*4 {
			w.t.Errorf("kind %s has %d rows in the table of rights", kind.Kind, rows[string(kind.Kind)])
		}
		delete(rows, string(kind.Kind))
	}
	if len(rows) > 0 {
		w.t.Errorf("the table of rights has kinds that are none: %v", rows)
	}
}

// inMemory puts what a test writes into memory, where there is such a place.
func inMemory(t *testing.T) {
	t.Helper()
	if info, err := os.Stat("/dev/shm"); err == nil && info.IsDir() {
		t.Setenv("TMPDIR", "/dev/shm")
	}
}

// TestFittedByIntake: points come by a schedule at the page, for a technician and a
// manager, and not for a reader.
func TestFittedByIntake(t *testing.T) {
	inMemory(t)
	w := newRightsWorld(t)
	for role, b := range w.people {
		row, _ := worlds.Answer(w.table, "fitted", "write", "-", role, "page")
		site := w.site("by " + role) // a site of its own
		before := w.count(site.id, sootline.FittedKind)
		if row.Allowed {
			b.takeIn("/site/"+site.id.String(), "points.csv", pointFile)
		} else if res := b.do(http.MethodPost, "/site/"+site.id.String()+"/intake", "", nil); res.StatusCode != http.StatusForbidden {
			t.Errorf("an intake by a %s gives %d", role, res.StatusCode)
		}
		if came := w.count(site.id, sootline.FittedKind) > before; came != row.Allowed {
			t.Errorf("points came by a %s: %v, want %v", role, came, row.Allowed)
		}
	}
}

// TestPinnedByImport: a log that is taken in is pinned, at the API and on the
// command line, by a manager alone; nothing of it comes in with others.
func TestPinnedByImport(t *testing.T) {
	inMemory(t)
	for role := range roleNames {
		for _, door := range []string{"api", "command line"} {
			w, other := newRightsWorld(t), newRightsWorld(t)
			other.s.App.Who.Station = "tablet"
			site := other.site("note")
			if _, err := other.s.App.AddEntry(t.Context(), site.id, app.Note{Body: sootline.Note{Text: "seen"}}); err != nil {
				t.Fatal(err)
			}
			var log bytes.Buffer
			if _, err := other.s.App.Export(t.Context(), site.id, &log); err != nil {
				t.Fatal(err)
			}
			row, _ := worlds.Answer(w.table, "pinned", "write", "-", role, door)
			said := ""
			if door == "api" {
				said = w.said(w.people[role].do(http.MethodPost, api.Root+"/log/import", log.String(), func(r *http.Request) { r.Header.Set("Content-Type", "application/jsonl") })).words
			} else {
				a := *w.s.App
				a.Who.Name, a.Who.Role = roleNames[role], sootline.Role(role)
				_, err := a.Import(t.Context(), &log)
				said = fmt.Sprint(err)
			}
			if got := w.count(site.id, sootline.PinnedKind) > 0; got != row.Allowed {
				t.Errorf("an import by a %s at %s pins: %v, want %v: %s", role, door, got, row.Allowed, said)
			}
			if n := w.count(site.id, sootline.NoteKind); (n > 0) != row.Allowed {
				t.Errorf("an import by a %s at %s brings %d notes", role, door, n)
			}
		}
	}
}

// count counts the entries of a kind in a site's log.
func (w *rightsWorld) count(site sootline.ID, kind sootline.Kind) int {
	w.t.Helper()
	log, err := w.s.App.LogOf(w.t.Context(), site)
	if sootline.ErrorCode(err) == sootline.NotFound {
		return 0 // nothing was let in that would have made the site
	}
	if err != nil {
		w.t.Fatal(err)
	}
	n := 0
	for _, e := range log.Entries() {
		if e.Body.Kind() == kind {
			n++
		}
	}
	return n
}
