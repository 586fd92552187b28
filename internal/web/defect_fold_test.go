package web

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
)

// pointStory is what happened at a point, as a phone is told of it.
type pointStory struct {
	Before []shape.PackDefect `json:"before"`
	Works  []shape.VisitEntry `json:"works"`
	want   string
}

// TestPhoneFoldsDefectsAlike folds 2,000 random stories of a point on the phone and
// in the register: the same defects are open and mended in both.
func TestPhoneFoldsDefectsAlike(t *testing.T) {
	s, _ := withDemo(t, nil)
	ctx, address := openBrowser(t, s)
	do(t, ctx, chromedp.Navigate(address+"/capture"))
	random := rand.New(rand.NewPCG(7, 11))
	stories, waiting := make([]pointStory, 2000), 0
	for i := range stories {
		stories[i] = randomStory(random, i)
		if stories[i].want != "" {
			waiting++
		}
	}
	text, err := json.Marshal(stories)
	if err != nil {
		t.Fatal(err)
	}
	got := get(t, ctx, chromedp.Evaluate[[]string](string(text)+`.map(s => VisitDefects.at(s.before, s.works).map(d => d.id + " " + d.state + ";").sort().join(""))`))
	for i, story := range stories {
		if got[i] != story.want {
			t.Fatalf("before %v, then %v: the phone has %q, the register %q", story.Before, story.Works, got[i], story.want)
		}
	}
	if waiting < 800 {
		t.Errorf("only %d stories leave something open", waiting)
	}
}

func randomStory(random *rand.Rand, n int) pointStory {
	begin := time.Date(2026, 1, 5, 8, 0, 0, 0, time.UTC)
	site, point := sootline.DerivedID(begin, []byte("site")), sootline.DerivedID(begin, []byte("point"))
	var log []sootline.Entry
	story := pointStory{Works: []shape.VisitEntry{}}
	opened := 1 + random.IntN(5) // so many entries are of before the visit
	for i := range opened + random.IntN(8) {
		at := begin.Add(time.Duration(i) * time.Hour)
		var known []sootline.ID
		for _, d := range sootline.Fold(log, at).Defects() {
			if i < opened || d.Waits() || !d.Since.Before(begin.Add(time.Duration(opened)*time.Hour)) {
				known = append(known, d.ID)
			}
		}
		e := sootline.Entry{ID: sootline.DerivedID(at, fmt.Append(nil, n, i)), Site: site, At: at, Noted: at, Station: "p", Seq: int64(i + 1), Point: point, Body: randomStep(random, known)}
		if i == opened {
			story.Before = packOfDefects(sootline.Fold(log, at))
		}
		if i >= opened {
			story.Works = append(story.Works, shape.VisitEntry{ID: e.ID.String(), At: at.UnixMilli(), Point: point.String(), Kind: string(e.Body.Kind()), Body: e.Body})
		}
		log = append(log, e)
	}
	if len(log) == opened {
		story.Before = packOfDefects(sootline.Fold(log, begin.AddDate(0, 0, 9)))
	}
	for _, d := range sootline.Fold(log, begin.AddDate(0, 0, 9)).Defects() { // their ids are in the order of time
		if d.Waits() {
			story.want += d.ID.String() + " " + string(d.State) + ";"
		}
	}
	return story
}

func packOfDefects(r *sootline.Register) []shape.PackDefect {
	for _, p := range r.Strays() { // no fitting is written down for it
		return shape.OfPackDefects(&app.VisitPack{Before: r, DueList: app.DueList{Zone: time.UTC}}, p)
	}
	return []shape.PackDefect{}
}

func randomStep(random *rand.Rand, known []sootline.ID) sootline.Body {
	failed := random.IntN(2) == 0
	step := random.IntN(9)
	if len(known) == 0 && step > 5 {
		step -= 5
	}
	switch step {
	case 0, 1:
		return sootline.Tested{Failed: failed}
	case 2, 3:
		return sootline.Fault{Cause: []string{"base cracked", "Base  cracked", "no answer"}[random.IntN(3)]}
	case 4:
		return sootline.Defect{Nature: []sootline.DefectNature{sootline.Damage, sootline.Obstruction}[random.IntN(2)], Grade: sootline.MinorDefect, Text: "seen"}
	case 5:
		return []sootline.Body{sootline.Replaced{}, sootline.Cleaned{}}[random.IntN(2)]
	case 6:
		return sootline.Retested{Defect: known[random.IntN(len(known))], Failed: failed}
	}
	return sootline.Mended{Defect: known[random.IntN(len(known))]}
}
