package worlds

import (
	"slices"
	"testing"
)

var (
	reachRoles = []string{"customer", "reader", "technician", "manager"}
	reachDoors = []string{"page", "api", "phone", "token", "command line"}
	reachKinds = []string{"all", "given", "other"}
)

// TestReachIsWhole: each act has an answer and a reason for each role, reach and door, once.
func TestReachIsWhole(t *testing.T) {
	rows, err := Reaches()
	if err != nil {
		t.Fatal(err)
	}
	got, acts := map[Reach]bool{}, []string{}
	for _, r := range rows {
		if !slices.Contains([]string{ReachAllowed, ReachRefused, ReachNotThere, ReachByKind}, r.Answer) || r.Reason == "" {
			t.Errorf("no answer, or no reason: %+v", r)
		}
		k := Reach{Act: r.Act, Role: r.Role, Reach: r.Reach, Door: r.Door}
		if got[k] {
			t.Errorf("twice: %+v", r)
		}
		got[k] = true
		if !slices.Contains(acts, r.Act) {
			acts = append(acts, r.Act)
		}
	}
	for _, act := range acts {
		for _, role := range reachRoles {
			for _, reach := range reachKinds {
				for _, door := range reachDoors {
					if k := (Reach{Act: act, Role: role, Reach: reach, Door: door}); !got[k] {
						t.Errorf("open: %+v", k)
					}
				}
			}
		}
	}
	if want := len(acts) * len(reachRoles) * len(reachKinds) * len(reachDoors); len(rows) != want {
		t.Errorf("%d rows, %d cells", len(rows), want)
	}
}

// may says how much an answer gives.
func may(answer string) int {
	return map[string]int{ReachNotThere: 0, ReachRefused: 0, ReachByKind: 1, ReachAllowed: 2}[answer]
}

// TestReachHoldsTogether: nothing at other sites, nothing written by a customer, and bound is never more than unbound.
func TestReachHoldsTogether(t *testing.T) {
	rows, err := Reaches()
	if err != nil {
		t.Fatal(err)
	}
	cells := map[Reach]string{}
	for _, r := range rows {
		cells[Reach{Act: r.Act, Role: r.Role, Reach: r.Reach, Door: r.Door}] = r.Answer
	}
	for _, r := range rows {
		k := Reach{Act: r.Act, Role: r.Role, Reach: r.Reach, Door: r.Door}
		all, api, page := k, k, k
		all.Reach, api.Door, page.Door = "all", "api", "page"
		own := r.Act == "change the own account" || r.Act == "pair a phone" // of no site
		read := r.Act == "list sites" || r.Act == "read a site" || own
		switch {
		case r.Reach == "other" && !own && may(r.Answer) > 0:
			t.Errorf("at another site: %+v", r)
		case r.Role == "customer" && !read && may(r.Answer) > 0:
			t.Errorf("a customer: %+v", r)
		case r.Role != "customer" && r.Reach == "given" && may(r.Answer) > may(cells[all]):
			t.Errorf("more by being bound: %+v", r)
		case r.Door == "token" && may(r.Answer) > may(cells[api]):
			t.Errorf("a token may what the API may not: %+v", r)
		case r.Door == "phone" && may(r.Answer) > may(cells[page]):
			t.Errorf("a phone may what the page may not: %+v", r)
		}
	}
}

// TestScopedRightsAreWhole: each row of rights.csv stands for each reach, with customers and tokens beside it.
func TestScopedRightsAreWhole(t *testing.T) {
	rights, err := Rights()
	if err != nil {
		t.Fatal(err)
	}
	rows, err := ScopedRights()
	if err != nil {
		t.Fatal(err)
	}
	if want := len(rights) / 3 * 4 / 4 * 5 * 3; len(rows) != want { // four roles for three, five doors for four, three reaches
		t.Errorf("%d rows, not %d", len(rows), want)
	}
	for _, r := range rows {
		switch {
		case r.Answer != ReachAllowed && r.Answer != ReachRefused && r.Answer != ReachNotThere:
			t.Errorf("no answer: %+v", r)
		case r.Allowed && (r.Role == "customer" || r.Role == "reader" || r.Reach == "other"):
			t.Errorf("writes: %+v", r)
		}
		if old, ok := Answer(rights, r.Kind, r.Act, r.Target, r.Role, r.Door); ok && r.Reach == "all" && old.Allowed != r.Allowed {
			t.Errorf("who is bound to nothing is answered otherwise than before: %+v", r)
		}
	}
}
