package app

import (
	"bytes"
	"image"
	"image/jpeg"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/check"
	"sootline/internal/exchange"
)

// exchanged brings what one book holds to another, in parcels of so much text, and gives
// what the last of them brought.
func exchanged(t *testing.T, from, to *App, most int) (out Exchanged, parcels int) {
	t.Helper()
	offer, err := from.Offer(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	want, err := to.Reply(t.Context(), offer)
	if err != nil {
		t.Fatal(err)
	}
	sent, err := from.Lacking(t.Context(), want, most)
	if err != nil {
		t.Fatal(err)
	}
	for i := range sent {
		if out, err = to.TakeParcel(t.Context(), &sent[i]); err != nil {
			t.Fatal(err)
		}
	}
	return out, len(sent)
}

// twoDesks are two books that hold a site with points, and a clock that goes on.
func twoDesks(t *testing.T) (office, laptop *App, site sootline.ID) {
	t.Helper()
	office, laptop = newApp(t, "office"), newApp(t, "laptop")
	clock := today
	tick := func() time.Time { clock = clock.Add(time.Minute); return clock }
	office.Now, laptop.Now = tick, tick
	laptop.Who.Name = "B. Tech"
	site = addSite(t, office)
	take(t, office, site, files(t, map[string]string{"schedule.csv": schedule})+"/schedule.csv")
	exchanged(t, office, laptop, MostParcel)
	return office, laptop, site
}

func apartFindings(t *testing.T, a *App, site sootline.ID) (found []sootline.Finding) {
	t.Helper()
	_, findings, err := a.Check(t.Context(), site, a.Now())
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range findings {
		if f.Code == check.ChangedApart {
			found = append(found, f)
		}
	}
	return found
}

// TestChangedApartIsFoundAndSettled: two hands that renumber one point apart are a finding
// on both sides once they exchanged, with both values, until one entry replaces both.
func TestChangedApartIsFoundAndSettled(t *testing.T) {
	office, laptop, site := twoDesks(t)
	point := register(t, office, site).Points()[1].ID.String()
	number := func(a *App, body sootline.Body) sootline.Entry {
		t.Helper()
		e, err := a.AddEntry(t.Context(), site, Note{Point: point, Body: body, Sure: true})
		if err != nil {
			t.Fatal(err)
		}
		return e
	}
	here := number(office, sootline.Addressed{Wanted: 40})
	there := number(laptop, sootline.Addressed{Wanted: 41})
	if found := apartFindings(t, office, site); len(found) != 0 {
		t.Errorf("found before anything was exchanged: %+v", found)
	}
	if out, _ := exchanged(t, laptop, office, MostParcel); out.Sites[0].Changed != 1 {
		t.Errorf("%+v", out)
	}
	exchanged(t, office, laptop, MostParcel)
	for _, a := range []*App{office, laptop} {
		found := apartFindings(t, a, site)
		if len(found) != 1 || len(found[0].Entries) != 2 || len(found[0].WayOut) != 2 {
			t.Fatalf("%+v", found)
		}
		for _, word := range []string{"the number that it should have", "A. Tech on 2026-01-20, number wanted 40", "B. Tech on 2026-01-20, number wanted 41, which holds"} {
			if !strings.Contains(found[0].Reason, word) {
				t.Errorf("%q does not say %q", found[0].Reason, word)
			}
		}
	}
	id := sootline.NewID(today, office.Random())
	for range 2 { // a button that is pressed twice
		written, err := office.Settle(t.Context(), site, Settling{ID: id, Entry: here.ID})
		if err != nil || len(written) != 1 || written[0].ID != id {
			t.Fatal(written, err)
		}
	}
	if _, err := laptop.Settle(t.Context(), site, Settling{Entry: sootline.NewID(today, office.Random())}); sootline.ErrorCode(err) != sootline.NotFound {
		t.Errorf("an entry that there is not: %v", err)
	}
	exchanged(t, office, laptop, MostParcel)
	for _, a := range []*App{office, laptop} {
		if found := apartFindings(t, a, site); len(found) != 0 {
			t.Errorf("after it was settled: %+v", found)
		}
		if p := register(t, a, site).Point(there.Point); p.Wanted != 40 {
			t.Errorf("the number wanted is %d", p.Wanted)
		}
	}
	if _, err := laptop.Settle(t.Context(), site, Settling{Entry: there.ID}); sootline.ErrorCode(err) != sootline.Conflict {
		t.Errorf("what is settled: %v", err)
	}
	number(laptop, sootline.Addressed{Wanted: 44})
	exchanged(t, laptop, office, MostParcel)
	if found := apartFindings(t, office, site); len(found) != 0 {
		t.Errorf("after one who knew it changed it: %+v", found)
	}
}

// TestTechnicianHandsInOwnLines: who does not keep the book hands in what he wrote himself
// and may write, and nothing that others wrote.
func TestTechnicianHandsInOwnLines(t *testing.T) {
	office, laptop, site := twoDesks(t)
	tech := *office
	tech.Who = sootline.Actor{Name: "B. Tech", Role: sootline.Technician, Station: "office"}
	lacking := func() *exchange.Parcel {
		t.Helper()
		want, err := office.Offer(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		sent, err := laptop.Lacking(t.Context(), want, MostParcel)
		if err != nil || len(sent) != 1 {
			t.Fatal(len(sent), err)
		}
		return &sent[0]
	}
	if _, err := laptop.AddEntry(t.Context(), site, Note{Body: sootline.Note{Text: "mine"}}); err != nil {
		t.Fatal(err)
	}
	if out, err := tech.TakeParcel(t.Context(), lacking()); err != nil || out.Sites[0].Added != 1 {
		t.Fatalf("his own: %+v, %v", out, err)
	}
	if _, err := laptop.AddEntry(t.Context(), site, Note{Body: sootline.Note{Text: "hers"}, By: "C. Other"}); err != nil {
		t.Fatal(err)
	}
	reader := tech
	reader.Who.Role = sootline.Reader
	elsewhere := tech
	elsewhere.Who.Scope = sootline.OnlySites()
	for what, want := range map[string]struct {
		who  *App
		code sootline.Code
	}{"another's": {&tech, sootline.Forbidden}, "by a reader": {&reader, sootline.Forbidden}, "of another site": {&elsewhere, sootline.NotFound}} {
		if _, err := want.who.TakeParcel(t.Context(), lacking()); sootline.ErrorCode(err) != want.code {
			t.Errorf("%s: %v", what, err)
		}
	}
	if _, err := reader.Exchange(t.Context(), lacking()); sootline.ErrorCode(err) != sootline.Forbidden {
		t.Errorf("a reader exchanges: %v", err)
	}
	offer, err := laptop.Offer(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if answer, err := elsewhere.Exchange(t.Context(), offer); err != nil || len(answer.Vectors)+len(answer.Runs) != 0 {
		t.Errorf("who is bound elsewhere is told %+v, %v", answer, err)
	}
}

// TestMuchGoesInSeveralParcels: each is taken in by itself, so that a transfer that was cut
// goes on; photos go with the lines that name them, or are asked for.
func TestMuchGoesInSeveralParcels(t *testing.T) {
	office, laptop, site := twoDesks(t)
	var picture bytes.Buffer
	if err := jpeg.Encode(&picture, image.NewGray(image.Rect(0, 0, 20, 20)), nil); err != nil {
		t.Fatal(err)
	}
	for range 40 {
		if _, err := office.AddEntry(t.Context(), site, Note{Body: sootline.Note{Text: strings.Repeat("long ", 20)}}); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := office.AddPhoto(t.Context(), site, Note{Point: "1.1.001"}, picture.Bytes()); err != nil {
		t.Fatal(err)
	}
	offer, err := laptop.Offer(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	sent, err := office.Lacking(t.Context(), offer, 4000)
	if err != nil || len(sent) < 4 {
		t.Fatal(len(sent), err)
	}
	if _, err := laptop.TakeParcel(t.Context(), &sent[1]); sootline.ErrorCode(err) != sootline.Conflict {
		t.Errorf("the second before the first: %v", err)
	}
	if _, err := laptop.TakeParcel(t.Context(), &sent[0]); err != nil {
		t.Fatal(err)
	}
	_, left := exchanged(t, office, laptop, 4000)
	if left != len(sent)-1 {
		t.Errorf("after the first of %d parcels was taken in, %d go", len(sent), left)
	}
	lacks, err := laptop.Lacks(t.Context(), mustOffer(t, office))
	if err != nil || !lacks.None() {
		t.Errorf("%+v, %v", lacks, err)
	}
	photos, err := laptop.Photographs(t.Context(), site)
	if err != nil || len(photos) != 1 || !photos[0].There {
		t.Errorf("%+v, %v", photos, err)
	}
}

func mustOffer(t *testing.T, a *App) *exchange.Parcel {
	t.Helper()
	offer, err := a.Offer(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return offer
}

// TestPhotoIsAskedFor: a picture that a book lacks comes when it is asked for, and no other.
func TestPhotoIsAskedFor(t *testing.T) {
	office, laptop, site := twoDesks(t)
	var picture bytes.Buffer
	if err := jpeg.Encode(&picture, image.NewGray(image.Rect(0, 0, 20, 20)), nil); err != nil {
		t.Fatal(err)
	}
	if _, err := office.AddPhoto(t.Context(), site, Note{Point: "1.1.001"}, picture.Bytes()); err != nil {
		t.Fatal(err)
	}
	sent, err := office.Lacking(t.Context(), mustOffer(t, laptop), MostParcel)
	if err != nil || len(sent) != 1 || len(sent[0].Photos) != 1 {
		t.Fatal(len(sent), err)
	}
	sent[0].Photos = nil // it was lost on the way
	if _, err := laptop.TakeParcel(t.Context(), &sent[0]); err != nil {
		t.Fatal(err)
	}
	out, parcels := exchanged(t, office, laptop, MostParcel)
	if parcels != 1 || out.Photos != 1 || len(out.Sites) != 0 {
		t.Errorf("%d parcels, %+v", parcels, out)
	}
	other, err := office.KeepPhoto(t.Context(), site, append(picture.Bytes(), 0)) // that no entry names
	if err != nil {
		t.Fatal(err)
	}
	offer := mustOffer(t, laptop)
	offer.Vectors[0].Photos = []string{other}
	if sent, err := office.Lacking(t.Context(), offer, MostParcel); err != nil || len(sent) != 0 {
		t.Errorf("a photo that no entry names is given: %+v, %v", sent, err)
	}
}

// TestForgedLinesAreRefused: lines in the name of this book's own station, and a log that
// says something else under the same numbers, are not taken in.
func TestForgedLinesAreRefused(t *testing.T) {
	office, laptop, site := twoDesks(t)
	if _, err := office.AddEntry(t.Context(), site, Note{Body: sootline.Note{Text: "one"}}); err != nil {
		t.Fatal(err)
	}
	forger := newApp(t, "office")
	exchanged(t, laptop, forger, MostParcel)
	forger.Who.Station = "office"
	ends, err := forger.Book.Ranges(t.Context(), site)
	if err != nil || len(ends) != 1 {
		t.Fatal(ends, err)
	}
	chain := sootline.Chain{Seq: ends[0].Last, Hash: ends[0].Hash}
	e := sootline.Entry{ID: sootline.NewID(today, forger.Random()), Site: site, At: today, Noted: today, By: "A. Tech", Station: "office", Body: sootline.Note{Text: "two"}}
	text, err := chain.Seal(nil, &e)
	if err != nil {
		t.Fatal(err)
	}
	run, err := exchange.NewRun([]exchange.Line{{Text: text, Entry: e}}, false, nil)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := office.TakeParcel(t.Context(), &exchange.Parcel{Runs: []exchange.Run{run}}); sootline.ErrorCode(err) != sootline.Conflict {
		t.Errorf("another line of its own number: %v", err)
	}
	fresh := newApp(t, "office")
	exchanged(t, laptop, fresh, MostParcel)
	if _, err := fresh.TakeParcel(t.Context(), &exchange.Parcel{Runs: []exchange.Run{run}}); err == nil {
		t.Error("an unsigned line in the name of the book's own station is taken in")
	}
}
