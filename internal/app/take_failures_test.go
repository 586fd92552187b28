package app

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sootline"
	"sootline/internal/listing"
)

const failures = `point,date,event,result,remark
1.1.1,2025-03-01,tested,ok,
1.1.2,2025-03-01,tested,failed,
1.1.3,2025-03-01,tested,ok,base cracked
1.1.1,2025-03-02,tested: fail,nok,third floor
1.1.2,2025-03-02,no access,,
1.1.3,2025-03-03,HS,,
`

// TestFailuresAreNoPasses: what a listing says of failed tests arrives as failures, what is open lies in the left
// rows until the answer is given, and an answer changes those rows alone.
func TestFailuresAreNoPasses(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	folder := files(t, map[string]string{"points.csv": strings.ReplaceAll(strings.Replace(schedule, "loop", "panel,loop", 1), "\n1,", "\n1,1,"), "tests.csv": failures})
	take(t, a, site, filepath.Join(folder, "points.csv"))
	path := filepath.Join(folder, "tests.csv")

	out := takeWith(t, a, site, path, nil)
	want := map[sootline.Kind]int{sootline.TestedKind: 3, sootline.UnreachedKind: 1, sootline.FaultKind: 1}
	for kind, n := range want {
		if out.Tables[0].Added[kind] != n {
			t.Errorf("added %v, want %v", out.Tables[0].Added, want)
		}
	}
	left, err := os.ReadFile(out.Tables[0].LeftFile)
	if err != nil || out.Tables[0].Left != 1 || !strings.Contains(string(left), `tested | ok | base cracked`) {
		t.Errorf("%d rows left: %s %v", out.Tables[0].Left, left, err)
	}
	if passes, failed := countTests(register(t, a, site)); passes != 1 || failed != 2 {
		t.Errorf("%d passes and %d failures, want 1 and 2", passes, failed)
	}

	answer := []listing.Profile{{Outcomes: map[string]listing.Reply{"tested | ok | base cracked": listing.ReplyFailed}}}
	again := takeWith(t, a, site, path, answer)
	if again.Added != 1 || again.Tables[0].Same != 5 || again.Tables[0].Left != 0 {
		t.Errorf("with the answer: added %d, %d known, %d left", again.Added, again.Tables[0].Same, again.Tables[0].Left)
	}
	if passes, failed := countTests(register(t, a, site)); passes != 1 || failed != 3 {
		t.Errorf("%d passes and %d failures, want 1 and 3", passes, failed)
	}
}

func takeWith(t *testing.T, a *App, site sootline.ID, path string, profiles []listing.Profile) *Outcome {
	t.Helper()
	in, err := a.Look(context.Background(), site, []string{path}, profiles)
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := in.Close(); err != nil {
			t.Error(err)
		}
	}()
	out, err := a.Take(context.Background(), site, in, TakeOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func countTests(r *sootline.Register) (passes, failed int) {
	for _, p := range r.Points() {
		for _, e := range p.Events {
			switch {
			case e.Kind == sootline.TestedKind && e.Failed:
				failed++
			case e.Kind == sootline.TestedKind:
				passes++
			}
		}
	}
	return passes, failed
}
