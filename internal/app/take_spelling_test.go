package app

import (
	"context"
	"path/filepath"
	"slices"
	"testing"

	"sootline"
)

// TestSpellingsOfTypes: a spelling is taken as the one type that it can only mean; what
// may mean another device is asked, the likeliest first.
func TestSpellingsOfTypes(t *testing.T) {
	names := []string{"OPT-2", "OPT-3", "Heat 58 A", "Opt Heat", "AB 1 12", "AB 11 2"}
	for _, c := range []struct {
		said, sure string
		likely     []string
	}{
		{"opt 2", "OPT-2", nil},
		{"OPT2", "OPT-2", nil},
		{"2 OPT", "OPT-2", nil},
		{"heat opt", "Opt Heat", nil},
		{"heat-58-a", "Heat 58 A", nil},
		{"A Heat 58", "Heat 58 A", nil},
		{"AB-1-12", "AB 1 12", nil},
		{"AB 12 1", "", []string{"AB 1 12"}},
		{"OPT", "", []string{"OPT-2", "OPT-3"}},
		{"OPTT-2", "", []string{"OPT-2"}},
		{"OPT 2+", "", []string{"OPT-2"}},
		{"Otp-2", "", []string{"OPT-2"}},
		{"OPT-4", "", nil},
		{"Heat 58 B", "", nil},
		{"Beam 100", "", nil},
	} {
		if sure := certainly(c.said, names); sure != c.sure {
			t.Errorf("%q is certainly %q, want %q", c.said, sure, c.sure)
		}
		if got := likely(c.said, names); c.sure == "" && (len(got) == 0) != (len(c.likely) == 0) ||
			len(c.likely) > 0 && !slices.Equal(got[:min(len(got), len(c.likely))], c.likely) {
			t.Errorf("%q is likely %q, want %q first", c.said, got, c.likely)
		}
	}
	for said, want := range map[string]string{"Juniper 0": "Juniper O", "Juniper 1": "Juniper I", "Juniper 5": "Juniper S"} {
		if got := likely(said, []string{"Juniper H", "Juniper I", "Juniper O", "Juniper S"}); len(got) == 0 || got[0] != want {
			t.Errorf("%q is likely %q, want %q first", said, got, want)
		}
	}
	if sure := certainly("opt 2", []string{"OPT-2", "Opt2"}); sure != "" {
		t.Errorf("of two names that it may mean it chose %q", sure)
	}
}

const misspelled = `loop,address,type,area,location
1,1,Larch-2,Hall,a
1,2,larch 2,Hall,b
1,3,Larhc-2,Hall,c
`

// TestAliasHoldsForWhatWasTaken: what a spelling means is asked, kept, holds for what was
// taken before and after, and is taken back as an entry, which leaves all as it was written.
func TestAliasHoldsForWhatWasTaken(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	folder := files(t, map[string]string{"types.csv": "name,kind,low,high\nLarch-2,smoke,20,40\n", "points.csv": misspelled})
	path := filepath.Join(folder, "points.csv")
	take(t, a, site, filepath.Join(folder, "types.csv"))
	out := take(t, a, site, path)
	asked := out.Tables[0].Spellings
	if len(asked) != 1 || asked[0].Said != "Larhc-2" || asked[0].Rows != 1 || asked[0].Likely[0] != "Larch-2" {
		t.Fatalf("it asks %+v", asked)
	}
	types := func() (all []string) {
		for _, p := range register(t, a, site).Points() {
			all = append(all, p.Type)
		}
		return all
	}
	if got := types(); !slices.Equal(got, []string{"Larch-2", "Larch-2", "Larhc-2"}) {
		t.Fatalf("types %q", got)
	}
	e, err := a.SayAlias(context.Background(), site, asked[0].Answer("Larch-2"), false)
	if err != nil {
		t.Fatal(err)
	}
	if got := types(); !slices.Equal(got, []string{"Larch-2", "Larch-2", "Larch-2"}) {
		t.Errorf("with the alias, types %q", got)
	}
	if again := take(t, a, site, path); again.Added != 0 || len(again.Tables[0].Spellings) != 0 || again.Tables[0].Left != 0 {
		t.Errorf("taken again, %d are added, %d left, it asks %v", again.Added, again.Tables[0].Left, again.Tables[0].Spellings)
	}
	if _, err := a.Withdraw(context.Background(), site, Amendment{Entry: e.ID}); err != nil {
		t.Fatal(err)
	}
	if got := types(); got[2] != "Larhc-2" {
		t.Errorf("without the alias, types %q", got)
	}
}

// TestAnsweredSpellingIsOfTheTake: an answer given with a take is an entry of it, holds for
// its rows, and goes when the take is taken back. A name of its own is not asked again.
func TestAnsweredSpellingIsOfTheTake(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	folder := files(t, map[string]string{"types.csv": "name,kind,low,high\nLarch-2,smoke,20,40\n", "points.csv": misspelled})
	take(t, a, site, filepath.Join(folder, "types.csv"))
	for _, means := range []string{"Larch-2", "Larhc-2"} {
		in, err := a.Look(context.Background(), site, []string{filepath.Join(folder, "points.csv")}, nil)
		if err != nil {
			t.Fatal(err)
		}
		out, err := a.Take(context.Background(), site, in, TakeOptions{Aliases: []sootline.Alias{{Of: sootline.AliasType, Said: "Larhc-2", Means: means}}})
		if err != nil || len(out.Tables[0].Spellings) != 0 {
			t.Fatalf("%v, it asks %v", err, out.Tables[0].Spellings)
		}
		if p := register(t, a, site).Points()[2]; p.Type != means {
			t.Errorf("type %q, want %q", p.Type, means)
		}
		undo(t, a, site, out.Act.ID.String(), false)
		if r := register(t, a, site); len(r.Aliases()) != 0 || len(r.Points()) != 0 {
			t.Errorf("taken back, %d aliases and %d points hold", len(r.Aliases()), len(r.Points()))
		}
	}
}

// TestNamesOfPeopleAndCauses: near spellings of a person and a cause are asked, and an
// alias holds for what is counted by cause and for who did the next take's work.
func TestNamesOfPeopleAndCauses(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	folder := files(t, map[string]string{
		"points.csv": schedule,
		"one.csv":    "point,date,event,cause,by\n1.001,2025-02-01,alarm,cooking,B. Fielding\n",
		"two.csv":    "point,date,event,cause,by\n1.001,2025-03-01,alarm,coking,B. Feilding\n",
		"three.csv":  "point,date,event,cause,by\n1.001,2025-04-01,alarm,coking,B. Feilding\n",
	})
	take(t, a, site, filepath.Join(folder, "points.csv"))
	take(t, a, site, filepath.Join(folder, "one.csv"))
	asked := take(t, a, site, filepath.Join(folder, "two.csv")).Tables[0].Spellings
	if len(asked) != 2 || asked[0].Likely[0] != "cooking" || asked[1].Likely[0] != "B. Fielding" {
		t.Fatalf("it asks %+v", asked)
	}
	for _, s := range asked {
		if _, err := a.SayAlias(context.Background(), site, s.Answer(s.Likely[0]), false); err != nil {
			t.Fatal(err)
		}
	}
	out := take(t, a, site, filepath.Join(folder, "three.csv"))
	if len(out.Tables[0].Spellings) != 0 {
		t.Errorf("it asks again: %+v", out.Tables[0].Spellings)
	}
	events := register(t, a, site).Points()[0].Events
	for _, e := range events {
		if e.Cause != "cooking" {
			t.Errorf("an alarm is counted under %q", e.Cause)
		}
	}
	if by := events[len(events)-1].Entry.By; by != "B. Fielding" {
		t.Errorf("the work is %q's", by)
	}
}
