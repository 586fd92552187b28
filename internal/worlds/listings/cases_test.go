package listings

import (
	"slices"
	"testing"

	"sootline"
)

// Every case can be read, its truth written by the clerk is what the case wants, and its site is sound.
func TestCases(t *testing.T) {
	all, err := Cases()
	if err != nil {
		t.Fatal(err)
	}
	if len(all) < 60 {
		t.Errorf("only %d cases", len(all))
	}
	for _, c := range all {
		if c.Listing.Truth.Empty() || len(c.Listing.Data) == 0 || c.Says == "" {
			t.Errorf("%s states nothing", c.Name)
			continue
		}
		for _, e := range c.Listing.Site {
			if err := e.Check(); err != nil {
				t.Errorf("%s: %v", c.Name, err)
			}
		}
		if v := Score(c.Listing, perfect(c.Listing)); !slices.Contains(c.Wants, v.Class) {
			t.Errorf("%s: the truth itself is %s, wanted %v", c.Name, v, c.Wants)
		}
		if v := Score(c.Listing, Outcome{}); v.Class != Lost {
			t.Errorf("%s: doing nothing is %s", c.Name, v)
		}
	}
}

// Made sites are sound too: every entry could have been written.
func TestSitesAreSound(t *testing.T) {
	for seed := range uint64(200) {
		l := Make(seed)
		for _, e := range l.Site {
			if err := e.CheckNew(); err != nil {
				t.Fatalf("seed %d: %v", seed, err)
			}
		}
		if r := sootline.Fold(slices.Clone(l.Site), farFuture); len(r.Strays()) > 0 {
			t.Errorf("seed %d: points that nobody fitted", seed)
		}
	}
}
