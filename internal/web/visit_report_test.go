package web

import (
	"bytes"
	"context"
	"image"
	"image/jpeg"
	"net/http"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/app"
)

// TestVisitPageHoldsItsReport: once a visit is closed its page has the message to send on, the way to its report and to
// the remedial list, and the photos that were taken; the message is the one that the address gives.
func TestVisitPageHoldsItsReport(t *testing.T) {
	s, site := withDemo(t, nil)
	b := visit(t, s)
	ctx := context.Background()
	line, err := s.App.Site(ctx, "")
	if err != nil {
		t.Fatal(err)
	}
	at := s.App.Now()
	opening := app.Opening{VisitWish: app.VisitWish{On: at.Add(-time.Hour), Minutes: 60}}
	for _, c := range app.Cautions() {
		opening.Confirmed = append(opening.Confirmed, c.Key)
	}
	if _, err := s.App.OpenVisit(ctx, line, opening); err != nil {
		t.Fatal(err)
	}
	var photo bytes.Buffer
	if err := jpeg.Encode(&photo, image.NewGray(image.Rect(0, 0, 8, 8)), nil); err != nil {
		t.Fatal(err)
	}
	if _, err := s.App.AddPhoto(ctx, line.ID, app.Note{At: at.Add(-time.Minute), Point: "1.1.001", Body: sootline.Note{Text: "the cover hangs"}}, photo.Bytes()); err != nil {
		t.Fatal(err)
	}
	if _, err := s.App.CloseVisit(ctx, line, app.Closing{At: at, Text: "the gate was locked"}); err != nil {
		t.Fatal(err)
	}
	page := b.get(site + "/visit")
	for _, want := range []string{"Message to send on", "the gate was locked", site + "/paper/visit.pdf", site + "/paper/remedial.html", "the cover hangs", "/photo/", "NEXT VISIT"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	res := b.do(http.MethodGet, site+"/paper/message.txt", "", nil)
	text := read(t, res)
	if res.StatusCode != http.StatusOK || !strings.HasPrefix(res.Header.Get("Content-Type"), "text/plain") || !strings.Contains(text, "the gate was locked") {
		t.Errorf("%d, %s:\n%s", res.StatusCode, res.Header.Get("Content-Type"), text)
	}
}
