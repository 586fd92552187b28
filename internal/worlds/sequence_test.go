package worlds

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"
)

// TestSequence: one source gives one story of n acts; in many stories everything that can be tried is tried.
func TestSequence(t *testing.T) {
	seen := map[string]int{}
	for i := range uint64(300) {
		s := Sequence(rand.New(rand.NewPCG(5, i)), 40)
		if again := Sequence(rand.New(rand.NewPCG(5, i)), 40); !reflect.DeepEqual(s, again) {
			t.Fatal("one source gave two stories")
		}
		if len(s.Acts) != 40 || len(s.Points) < 4 || len(s.Loops) < 1 {
			t.Fatalf("%d acts, %d points, %d loops", len(s.Acts), len(s.Points), len(s.Loops))
		}
		for k, a := range s.Acts {
			check(t, s, k, a)
			for _, what := range []string{
				"kind " + a.Kind, "role " + a.Role, "door " + a.Door, a.What, "odd " + a.Odd,
				a.What + " by " + a.Role + " at " + a.Door, "clock " + a.Door + " " + fmt.Sprint(a.Clock),
			} {
				seen[what]++
			}
		}
	}
	for _, k := range kinds {
		if seen["kind "+k] == 0 {
			t.Errorf("nobody writes %s", k)
		}
	}
	for _, role := range []string{"manager", "technician", "reader"} {
		for _, door := range []string{"page", "api", "phone", "command line"} {
			for _, what := range []string{"write", "correct", "withdraw", "again", "again otherwise"} {
				if seen[what+" by "+role+" at "+door] == 0 {
					t.Errorf("no %s by a %s at %s", what, role, door)
				}
			}
		}
	}
	for door, wrong := range clocks {
		for _, by := range wrong {
			if seen["clock "+door+" "+fmt.Sprint(by)] == 0 {
				t.Errorf("never a clock wrong by %v at %s", by, door)
			}
		}
	}
	for _, odd := range []string{
		"a point that is not there", "has not happened yet", "another site", "amends what is not there", "a body that cannot be",
		"changes nothing", "one id says two things",
	} {
		if seen["odd "+odd] == 0 {
			t.Errorf("never: %s", odd)
		}
	}
	if plain := seen["odd "]; plain < 300*40/2 {
		t.Errorf("only %d acts are not odd", plain)
	}
}

// check holds one act against what its fields promise.
func check(t *testing.T, s Story, k int, a Act) {
	t.Helper()
	if (a.What == "write" || a.What == "correct") && (!json.Valid(a.Body) || a.Kind == "") {
		t.Errorf("act %d: %q says %s", k, a.Kind, a.Body)
	}
	if a.What != "write" && a.Odd != "amends what is not there" && (a.Of < 0 || a.Of >= k) {
		t.Errorf("act %d: is about act %d", k, a.Of)
	}
	if a.Point >= len(s.Points) && a.Odd == "" {
		t.Errorf("act %d: point %d of %d", k, a.Point, len(s.Points))
	}
	id := func(n int) string { return fmt.Sprint("id", n) }
	if got := string(Resolve(a.Body, id, id)); strings.Contains(got, "@") {
		t.Errorf("act %d: not resolved: %s", k, got)
	}
}

// TestResolve puts ids in, and leaves what is none.
func TestResolve(t *testing.T) {
	got := Resolve(json.RawMessage(`{"defect":"@act:12","points":["@point:0","x@y"]}`),
		func(n int) string { return fmt.Sprint("a", n) }, func(n int) string { return fmt.Sprint("p", n) })
	if want := `{"defect":"a12","points":["p0","x@y"]}`; string(got) != want {
		t.Errorf("%s, want %s", got, want)
	}
}

// TestAnswer finds a row, and says where there is none.
func TestAnswer(t *testing.T) {
	table, err := Rights()
	if err != nil {
		t.Fatal(err)
	}
	if r, ok := Answer(table, "sheet", "withdraw", "own", "manager", "phone"); !ok || r.Allowed {
		t.Errorf("%+v %v", r, ok)
	}
	if r, ok := Answer(table, "tested", "write", "-", "technician", "phone"); !ok || !r.Allowed {
		t.Errorf("%+v %v", r, ok)
	}
	if _, ok := Answer(table, "nonsense", "write", "-", "manager", "page"); ok {
		t.Error("an answer for a kind that is none")
	}
}
