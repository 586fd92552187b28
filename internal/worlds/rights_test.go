package worlds

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// fresh are the kinds that docs/formats/log.md may not have yet.
var fresh = []string{"defect", "followed", "mended", "retested", "issued", "pinned"}

// documented reads the kinds of entry off the log's format.
func documented(t *testing.T) []string {
	t.Helper()
	page, err := os.ReadFile("../../docs/formats/log.md")
	if err != nil {
		t.Fatal(err)
	}
	_, table, ok := strings.Cut(string(page), "| kind | body |")
	if !ok {
		t.Fatal("docs/formats/log.md has no table of kinds")
	}
	table, _, _ = strings.Cut(table, "\n\n")
	kinds := slices.Clone(fresh)
	for line := range strings.Lines(table) {
		cell, _, _ := strings.Cut(strings.TrimPrefix(line, "|"), "|")
		for _, m := range regexp.MustCompile("`([a-z]+)`").FindAllStringSubmatch(cell, -1) {
			if !slices.Contains(kinds, m[1]) {
				kinds = append(kinds, m[1])
			}
		}
	}
	return kinds
}

// TestRightsAreWhole: each kind has an answer for each act, target, role and door, once.
func TestRightsAreWhole(t *testing.T) {
	rows, err := Rights()
	if err != nil {
		t.Fatal(err)
	}
	got := map[Right]bool{}
	for _, r := range rows {
		if r.Reason == "" {
			t.Errorf("%+v: no reason", r)
		}
		r.Reason = ""
		other := r
		other.Allowed = !r.Allowed
		if got[r] || got[other] {
			t.Errorf("twice: %+v", r)
		}
		got[r] = true
	}
	want := 0
	for _, k := range documented(t) {
		for _, act := range []string{"write", "correct", "withdraw"} {
			targets := []string{"own", "another technician's", "a manager's", "one that a manager amended"}
			if act == "write" {
				targets = []string{"-"}
			}
			for _, target := range targets {
				for _, role := range []string{"reader", "technician", "manager"} {
					for _, door := range []string{"page", "api", "phone", "command line"} {
						want++
						r := Right{Kind: k, Act: act, Target: target, Role: role, Door: door}
						yes := r
						yes.Allowed = true
						if !got[r] && !got[yes] {
							t.Errorf("open: %+v", r)
						}
					}
				}
			}
		}
	}
	if len(rows) != want {
		t.Errorf("%d rows, %d cells", len(rows), want)
	}
}

// TestRightsHoldTogether: readers write nothing, more role is never less right, three doors agree, the phone is narrower.
func TestRightsHoldTogether(t *testing.T) {
	rows, err := Rights()
	if err != nil {
		t.Fatal(err)
	}
	allowed := map[Right]bool{}
	at := func(r Right) Right {
		return Right{Kind: r.Kind, Act: r.Act, Target: r.Target, Role: r.Role, Door: r.Door}
	}
	for _, r := range rows {
		allowed[at(r)] = r.Allowed
	}
	for _, r := range rows {
		k := at(r)
		page, technician := k, k
		page.Door, technician.Role = "page", "technician"
		switch {
		case r.Role == "reader" && r.Allowed:
			t.Errorf("a reader writes: %+v", r)
		case r.Role == "manager" && !r.Allowed && allowed[technician]:
			t.Errorf("a technician may what a manager may not: %+v", r)
		case r.Door == "phone" && r.Allowed && !allowed[page]:
			t.Errorf("a phone may what the page may not: %+v", r)
		case r.Door != "phone" && r.Allowed != allowed[page]:
			t.Errorf("doors differ: %+v", r)
		case r.Door == "phone" && r.Role == "manager" && r.Allowed != allowed[technician]:
			t.Errorf("a manager's phone has other rights than a technician's: %+v", r)
		}
	}
}
