package web

import (
	"strings"
	"testing"

	"sootline"
	"sootline/internal/store"
)

// What else was read at a point stands on its page, each with its unit and what
// to do, and the most pressing decides.
func TestPointTellsOtherQuantities(t *testing.T) {
	s, _ := withDemo(t, nil)
	survey := surveyOf(t, s)
	p := aSmokePoint(t, survey)
	sheet := *survey.Register.Sheet(p.Type)
	sheet.Others = []sootline.Quantity{{Name: "compensation used", Unit: "%", Bands: []sootline.Band{{High: new(80.0)}}, PooledSD: new(2.0)}}
	now := s.App.Now()
	site := survey.Register.Site.ID
	add := func(point sootline.ID, body sootline.Body) {
		t.Helper()
		e := sootline.Entry{
			ID: sootline.NewID(now, s.App.Random()), Site: site, At: sootline.Instant(now), Noted: sootline.Instant(now),
			By: "L. Local", Station: s.App.Who.Station, Point: point, Body: body,
		}
		err := s.App.Book.Write(t.Context(), func(tx *store.Tx) error {
			return tx.Append(site, s.App.Who.Station, func(w *store.Writer) error { return w.Add(e) })
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	add(sootline.ID{}, sootline.Sheet{TypeSheet: sheet})
	add(p.ID, sootline.Read{Samples: []float64{95}, Quantity: "compensation used"})
	page := visit(t, s).get(pointAddress(surveyOf(t, s), p))
	for _, part := range []string{"Also read", "<dt>compensation used</dt>", "95\u202f%", "band up to 80\u202f%", "above its high limit of 80 %", "read 95, compensation used"} {
		if !strings.Contains(page, part) {
			t.Errorf("the page does not say %q", part)
		}
	}
}
