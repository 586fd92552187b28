package attack

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"sootline/internal/worlds"
)

// Amendments of one entry are ordered by what each saw, whatever clocks said: a log of some hundred entries, each amended
// by two stations that know some of each other's amendments, and what the program says of them against the recount's reading.

// amendedLog is a forged log of notes and amendments of them, of two stations, by clocks that say anything.
func amendedLog(rng *rand.Rand, name string, n int) (site string, log string, notes []string) {
	first := newSite(name, "UTC", "s-aaaaaaaaaa")
	second := &forged{site: first.site, station: "s-bbbbbbbbbb"}
	clock := func() time.Time { return time.Now().AddDate(0, 0, -1-rng.IntN(7000)).Truncate(time.Millisecond) }
	for i := range n {
		at := clock()
		note := first.entry(uuid7(at), "", at, "note", fmt.Sprintf(`{"text":"note %d first"}`, i))
		notes = append(notes, note)
		var direct, all []string
		for k := range 1 + rng.IntN(6) {
			station := first
			if rng.IntN(2) == 0 {
				station = second
			}
			when := clock()
			id := uuid7(when)
			if len(all) > 0 && rng.IntN(3) == 0 {
				station.entry(id, "", when, "withdrawn", fmt.Sprintf(`{"entry":%q,"why":"a slip"}`, all[rng.IntN(len(all))]))
				all = append(all, id)
				continue
			}
			seen := ""
			for _, d := range direct {
				if rng.IntN(2) == 0 {
					seen += fmt.Sprintf(",%q", d)
				}
			}
			if seen != "" {
				seen = `,"seen":[` + seen[1:] + `]`
			}
			if rng.IntN(5) == 0 {
				station.entry(id, "", when, "withdrawn", fmt.Sprintf(`{"entry":%q,"why":"a slip"%s}`, note, seen))
			} else {
				station.entry(id, "", when, "corrected", fmt.Sprintf(`{"entry":%q,"why":"a slip","at":%q,"kind":"note","body":{"text":"note %d as of %d"}%s}`, note, stamp(at), i, k, seen))
			}
			direct, all = append(direct, id), append(all, id)
		}
	}
	return first.site, first.out.String() + second.out.String(), notes
}

func TestAmendmentsBySight(t *testing.T) {
	b := newBox(t)
	site, log, notes := amendedLog(rand.New(rand.NewPCG(3, 1)), "Mill", atMost(150, 1500))
	b.must("log", "import", b.write("amended.jsonl", log))
	b.person("M", "manager", managerWord)
	s := b.serve()
	m := s.signIn("M", managerWord)
	lines, err := worlds.ReadLog(strings.NewReader(log))
	if err != nil {
		t.Fatal(err)
	}
	want, err := worlds.Texts(lines)
	if err != nil {
		t.Fatal(err)
	}
	red, amended := 0, 0
	for i, id := range notes {
		a := m.get("/api/v1/sites/" + site + "/log/entries/" + id)
		got, ok := textThatHolds(a.body)
		if !a.ok() || !ok {
			t.Fatalf("%v: %s", a, a.body)
		}
		if want[id] != fmt.Sprintf("note %d first", i) {
			amended++
		}
		if got != want[id] {
			if red++; red <= 5 {
				t.Errorf("the program says %q, the recount %q, of:\n%s", got, want[id], about(log, id))
			}
		}
	}
	t.Logf("%d of %d entries say what they were not written as; %d are read otherwise", amended, len(notes), red)
	if red > 5 {
		t.Errorf("and %d more", red-5)
	}
}

// about are the lines of a log that name an entry, or what names it.
func about(log, id string) (out string) {
	names := []string{id}
	for range 4 {
		for line := range strings.Lines(log) {
			for _, n := range names {
				if strings.Contains(line, `"entry":"`+n) && !strings.Contains(strings.Join(names, " "), line[7:43]) {
					names = append(names, line[7:43])
				}
			}
		}
	}
	for line := range strings.Lines(log) {
		for _, n := range names {
			if line[7:43] == n {
				out += line
			}
		}
	}
	return out
}

// textThatHolds is what an entry of the API says as it was amended, "" where it is taken back.
func textThatHolds(body string) (string, bool) {
	var e struct {
		Body    struct{ Text string }
		Amended *struct {
			Kind string
			Body struct{ Body struct{ Text string } }
		}
	}
	err := json.Unmarshal([]byte(body), &e)
	if e.Amended == nil {
		return e.Body.Text, err == nil
	}
	return e.Amended.Body.Body.Text, err == nil
}
