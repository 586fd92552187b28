package papers

import (
	"bytes"
	"context"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/pgtest"
	"sootline/internal/store"
)

// written writes a story into a book of its own.
func written(t *testing.T, s *Story) (*app.App, store.SiteLine) {
	t.Helper()
	book, err := store.Open(context.Background(), pgtest.Book(t), true, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := book.Close(); err != nil {
			t.Error(err)
		}
	})
	a := &app.App{Book: book, Who: sootline.Actor{Name: s.Person, Role: sootline.Manager, Station: "laptop"}, Now: time.Now, Logs: app.NewLogs(64 << 20)}
	site, err := s.Write(context.Background(), a)
	if err != nil {
		t.Fatal(err)
	}
	return a, site
}

func exported(t *testing.T, a *app.App, site store.SiteLine) string {
	t.Helper()
	var b bytes.Buffer
	if _, err := a.Export(context.Background(), site.ID, &b); err != nil {
		t.Fatal(err)
	}
	var entries strings.Builder
	for line := range strings.Lines(b.String()) {
		if !strings.HasPrefix(line, `{"head"`) { // which holds the station's key, drawn anew for each book
			entries.WriteString(line)
		}
	}
	return entries.String()
}

// The use cases take every story as it is, and the log holds what the story says; the same seed gives the same log.
func TestStoriesAreWritten(t *testing.T) {
	for _, shape := range Shapes() {
		for seed := range uint64(2) {
			s := Draw(shape, seed)
			a, site := written(t, s)
			r, err := a.Register(context.Background(), site.ID, time.Time{})
			if err != nil {
				t.Fatal(err)
			}
			kinds := map[sootline.Kind]int{}
			lines := bytes.Split([]byte(exported(t, a, site)), []byte("\n"))
			for _, k := range []sootline.Kind{"unreached", "visit", "alarm", "disabled", "restored", "defect", "mended", "followed", "tested", "read"} {
				for _, line := range lines {
					if bytes.Contains(line, []byte(`"kind":"`+string(k)+`"`)) {
						kinds[k]++
					}
				}
			}
			if len(r.Points()) != len(s.Points) {
				t.Errorf("%s %d: %d points of %d", shape, seed, len(r.Points()), len(s.Points))
			}
			if kinds["unreached"] != len(s.Unreached) || kinds["disabled"] != len(s.Disabled) || kinds["restored"] != len(s.Restored) {
				t.Errorf("%s %d: %v", shape, seed, kinds)
			}
			if shape == Full && (kinds["visit"] != 2 || kinds["alarm"] != 1 || kinds["defect"] != 2 || kinds["mended"] != 2 || len(s.Photos) != 2 || len(s.Outside) != 5 || len(s.Unreached) != 12) {
				t.Errorf("%s %d: %v", shape, seed, kinds)
			}
			if shape == Unrecorded && kinds["visit"]+kinds["tested"]+kinds["read"] != 0 {
				t.Errorf("%s %d: %v", shape, seed, kinds)
			}
		}
	}
	first, site := written(t, Draw(Full, 5))
	again, site2 := written(t, Draw(Full, 5))
	if exported(t, first, site) != exported(t, again, site2) {
		t.Error("the same story gives another log")
	}
}
