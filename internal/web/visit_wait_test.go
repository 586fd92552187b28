package web

import (
	"context"
	"encoding/json"
	"net/url"
	"testing"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
)

// TestPhonesAreToldAtOnce: two phones that wait behind the mark they have are answered within a second of an entry, and it is in
// the answer; without a mark nobody waits.
func TestPhonesAreToldAtOnce(t *testing.T) {
	s, site := withDemo(t, nil)
	b := visit(t, s)
	openAt(t, b, site, nil)
	began := time.Now()
	first := doneOf(t, b, site)
	if first.Mark == "" || time.Since(began) > waitMost/2 {
		t.Fatalf("without a mark: mark %q after %s", first.Mark, time.Since(began))
	}
	type told struct {
		at   time.Time
		done shape.VisitDone
	}
	answers := make(chan told, 2)
	for range 2 {
		other := visit(t, s)
		go func() {
			body := other.get(site + "/visit/done?after=" + url.QueryEscape(first.Mark))
			var done shape.VisitDone
			_ = json.Unmarshal([]byte(body), &done)
			answers <- told{time.Now(), done}
		}()
	}
	time.Sleep(300 * time.Millisecond)
	line, err := s.App.Site(context.Background(), "")
	if err != nil {
		t.Fatal(err)
	}
	r, err := s.App.Register(context.Background(), line.ID, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	point := r.Points()[0].Ref().String()
	wrote := time.Now()
	if _, err := s.App.AddEntry(context.Background(), line.ID, app.Note{Point: point, Body: sootline.Tested{Text: "heard from printer: alarm"}}); err != nil {
		t.Fatal(err)
	}
	written := time.Now()
	for range 2 {
		a := <-answers
		if a.done.Mark == first.Mark || a.at.Before(wrote) {
			t.Errorf("answered before it was written: %+v", a.done)
		}
		if late := a.at.Sub(written); late > time.Second {
			t.Errorf("told %s after it was written", late)
		}
	}
}
