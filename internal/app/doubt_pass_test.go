package app

import (
	"context"
	"path/filepath"
	"testing"
	"time"

	"sootline"
	"sootline/internal/listing"
)

// doubtful counts the findings about passes whose text may speak against them.
func doubtfulIn(t *testing.T, a *App, site sootline.ID) int {
	t.Helper()
	_, findings, err := a.Check(context.Background(), site, a.Now().Add(time.Hour))
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, f := range findings {
		if f.Code == PassDoubtful {
			n++
		}
	}
	return n
}

// passBook is a site with three points.
func passBook(t *testing.T) (*App, sootline.ID, *sootline.Point) {
	t.Helper()
	a := newApp(t, "laptop")
	site := addSite(t, a)
	take(t, a, site, filepath.Join(files(t, map[string]string{"points.csv": schedule}), "points.csv"))
	return a, site, register(t, a, site).Points()[0]
}

// TestPassTypedWithWordsOfFailure: a pass whose text speaks of a failure is asked about, and kept by whoever is
// certain; a correction is asked about likewise.
func TestPassTypedWithWordsOfFailure(t *testing.T) {
	a, site, p := passBook(t)
	failed, err := a.AddEntry(t.Context(), site, Note{Point: p.Ref().String(), Body: sootline.Tested{Failed: true, Text: "still no alarm"}})
	if err != nil {
		t.Fatal(err)
	}
	for _, body := range []sootline.Body{sootline.Tested{Text: "still no alarm"}, sootline.Retested{Defect: failed.ID, Text: "still loose"}} {
		if _, err := a.AddEntry(t.Context(), site, Note{Point: p.Ref().String(), Body: body}); sootline.ErrorCode(err) != sootline.Doubtful {
			t.Errorf("%v: %v", body, err)
		}
	}
	if _, err := a.Correct(t.Context(), site, Amendment{Entry: failed.ID}, func(holds sootline.Entry) (sootline.Corrected, error) {
		c := AsItHolds(holds)
		c.Body = sootline.Tested{Text: "still no alarm"}
		return c, nil
	}); sootline.ErrorCode(err) != sootline.Doubtful {
		t.Errorf("corrected to a pass: %v", err)
	}
	sure, err := a.AddEntry(t.Context(), site, Note{Point: p.Ref().String(), Body: sootline.Tested{Text: "no alarm at the brigade, as agreed"}, Sure: true})
	if err != nil {
		t.Fatal(err)
	}
	if !sure.Body.(sootline.Tested).Certain || doubtfulIn(t, a, site) != 0 {
		t.Errorf("%+v, %d findings", sure.Body, doubtfulIn(t, a, site))
	}
	plain, err := a.AddEntry(t.Context(), site, Note{Point: p.Ref().String(), Body: sootline.Tested{Text: "from the ladder"}, Sure: true})
	if err != nil || plain.Body.(sootline.Tested).Certain {
		t.Errorf("%+v, %v", plain.Body, err)
	}
}

// TestPassHandedInWithWordsOfFailure: a phone's entry is kept, and is a finding until somebody is certain of it.
func TestPassHandedInWithWordsOfFailure(t *testing.T) {
	a, site, p := passBook(t)
	c := Capture{ID: sootline.DerivedID(a.Now(), []byte("x")), At: a.Now(), Point: p.ID, Body: sootline.Tested{Text: "never came in"}}
	handed, err := a.HandIn(t.Context(), site, []Capture{c})
	if err != nil || len(handed.Kept) != 1 {
		t.Fatal(handed, err)
	}
	if n := doubtfulIn(t, a, site); n != 1 {
		t.Fatalf("%d findings", n)
	}
	if _, err := a.Correct(t.Context(), site, Amendment{Entry: c.ID, Sure: true}, func(holds sootline.Entry) (sootline.Corrected, error) {
		return AsItHolds(holds), nil
	}); err != nil {
		t.Fatal(err)
	}
	if n := doubtfulIn(t, a, site); n != 0 {
		t.Errorf("certain of it: %d findings", n)
	}
}

// TestPassAnsweredOfAListing: who answered that such a row passed is not asked again, and the row taken again adds
// nothing, whether a book has it with the certainty or from before.
func TestPassAnsweredOfAListing(t *testing.T) {
	a, site, p := passBook(t)
	list := "point,date,event,result,remark\n" + p.Ref().String() + ",2025-03-01,tested,ok,still no alarm at the brigade\n"
	path := filepath.Join(files(t, map[string]string{"tests.csv": list}), "tests.csv")
	answer := []listing.Profile{{Outcomes: map[string]listing.Reply{"tested | ok | still no alarm at the brigade": listing.ReplyPassed}}}
	if out := takeWith(t, a, site, path, answer); out.Added != 1 {
		t.Fatalf("added %d", out.Added)
	}
	if n := doubtfulIn(t, a, site); n != 0 {
		t.Errorf("%d findings", n)
	}
	if out := takeWith(t, a, site, path, answer); out.Added != 0 || out.Tables[0].Same != 1 {
		t.Errorf("again: added %d", out.Added)
	}
}
