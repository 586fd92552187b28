package app

import (
	"testing"
	"time"

	"sootline"
)

// A time that has not come yet is asked, also one of today; clocks differ by a minute.
func TestDoubtedTimes(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	for ahead, asked := range map[time.Duration]bool{-time.Hour: false, 0: false, 50 * time.Second: false, 2 * time.Minute: true, 3 * time.Hour: true, 20 * time.Hour: true} {
		note := Note{At: today.Add(ahead), Body: sootline.Note{Text: "x" + ahead.String()}}
		_, err := a.AddEntry(t.Context(), site, note)
		if (sootline.ErrorCode(err) == sootline.Doubtful) != asked {
			t.Errorf("%v ahead gives %v", ahead, err)
		}
		note.Sure = true
		if _, err := a.AddEntry(t.Context(), site, note); asked && err != nil {
			t.Errorf("%v ahead, being certain, gives %v", ahead, err)
		}
	}
	if _, err := a.AddEntry(t.Context(), site, Note{At: today.Add(time.Hour), Day: true, Body: sootline.Note{Text: "a day"}}); err != nil {
		t.Errorf("today as a day gives %v", err)
	}
}

// The name of a site is clean by whatever way it comes.
func TestSiteNamesAreClean(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	for what, err := range map[string]error{
		"a new site": func() error { _, err := a.AddSite(t.Context(), NewSite{Name: "Mill\x1b[2J"}); return err }(),
		"a rename":   a.SetFacts(t.Context(), site, sootline.Opened{Name: "Mi\u200bll"}),
		"an entry": func() error {
			_, err := a.AddEntry(t.Context(), site, Note{Body: sootline.Opened{Name: "Mill\nWorks"}})
			return err
		}(),
	} {
		if sootline.ErrorCode(err) != sootline.Invalid {
			t.Errorf("%s gives %v", what, err)
		}
	}
}
