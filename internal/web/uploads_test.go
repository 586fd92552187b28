package web

import (
	"bytes"
	"context"
	"fmt"
	"mime/multipart"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sootline"
	"sootline/internal/app"
)

// TestFormFilesGo: what a form's files were put into is gone when the request is
// over, taken or refused: net/http removes only what hangs on its own request.
func TestFormFilesGo(t *testing.T) {
	s, site := withDemo(t, nil)
	b := visit(t, s)
	t.Setenv("TMPDIR", t.TempDir())
	id := strings.TrimPrefix(site, "/site/")
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	part, err := w.CreateFormFile("files", "readings.csv")
	if err == nil {
		_, err = part.Write([]byte("point,date,value\n" + strings.Repeat("1.001,2026-01-05,24\n", 50_000)))
	}
	if err == nil {
		err = w.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	for _, address := range []string{"/api/v1/sites/" + id + "/intake?preview=true", "/api/v1/sites/none/intake", "/api/v1/sites/" + id + "/numbers/found?loop=1", "/site/none/defects"} {
		b.do(http.MethodPost, address, body.String(), func(r *http.Request) { r.Header.Set("Content-Type", w.FormDataContentType()) })
		if left, err := os.ReadDir(os.TempDir()); err != nil || len(left) > 0 {
			t.Errorf("after POST %s there is left: %v %v", address, left, err)
		}
	}
}

// TestIntakeQuotas: of one person a few intakes wait; the oldest of theirs goes
// for the next, with a sentence, and another's never.
func TestIntakeQuotas(t *testing.T) {
	folder := t.TempDir()
	kept := intakes{folder: folder}
	mill, quarry := sootline.ID{1}, sootline.ID{2}
	n := 0
	put := func(by string, site sootline.ID, at stage) (*intake, error) {
		n++
		in := &intake{id: fmt.Sprintf("%03d", n), site: site, by: by, at: at, began: today, names: []string{fmt.Sprintf("list-%d.csv", n)}}
		arriving, err := os.MkdirTemp(folder, ".arriving-*")
		if err != nil {
			t.Fatal(err)
		}
		return kept.put(in, arriving)
	}
	must := func(by string, site sootline.ID, at stage) *intake {
		t.Helper()
		in, err := put(by, site, at)
		if err != nil {
			t.Fatal(err)
		}
		return in
	}
	other := must("M", mill, ready)
	first := must("T", mill, ready)
	must("T", quarry, waiting)
	done := must("T", mill, taken)
	for range quota.person - 3 {
		must("T", mill, looking)
	}
	if in := must("T", mill, looking); in.gaveUp != "" || kept.of(done.site.String(), done.id) != nil {
		t.Errorf("what is in the book already is to go first, without a word: %q", in.gaveUp)
	}
	in := must("T", mill, looking)
	if in.gaveUp != "list-2.csv" || kept.of(mill.String(), first.id) != nil {
		t.Errorf("the oldest goes and is named, got %q", in.gaveUp)
	}
	must("T", mill, looking)
	if _, err := put("T", mill, waiting); sootline.ErrorCode(err) != sootline.Conflict {
		t.Errorf("where all of a person's are worked on, none is given up: %v", err)
	}
	if kept.of(mill.String(), other.id) == nil {
		t.Error("another person's intake was given up")
	}
	for i := len(kept.at(mill)); i < quota.site; i++ {
		must(fmt.Sprint("P", i), mill, ready)
	}
	if _, err := put("X", mill, waiting); sootline.ErrorCode(err) != sootline.Conflict {
		t.Errorf("a site takes so many, and a stranger to all of them is refused: %v", err)
	}
	if in := must("M", mill, waiting); in.gaveUp != "list-1.csv" {
		t.Errorf("at a full site one's own goes: %q", in.gaveUp)
	}
	must("X", quarry, waiting)
	folders, err := filepath.Glob(filepath.Join(folder, "*"))
	if err != nil || len(folders) != len(kept.kept) {
		t.Errorf("%d folders for %d intakes", len(folders), len(kept.kept))
	}
	if arriving, _ := filepath.Glob(filepath.Join(folder, ".arriving-*")); len(arriving) > 0 {
		t.Errorf("refused, and left: %v", arriving)
	}
}

// TestIntakePanics: a fault in the work of one intake ends neither the server nor
// the intake; who waits reads a sentence, and the log has the place.
func TestIntakePanics(t *testing.T) {
	var log bytes.Buffer
	in := &intake{id: "1", folder: t.TempDir(), log: &log, names: []string{"list.csv"}}
	in.work(&app.App{}, []stage{waiting}, looking, func(context.Context, *app.App) (stage, error) { panic("invented") })
	<-in.done
	if in.at != waiting || in.trouble == nil || !strings.Contains(sentence(in.trouble), "nobody foresaw") {
		t.Errorf("after a panic it is at %v, with %v", in.at, in.trouble)
	}
	if !strings.Contains(log.String(), "invented") || !strings.Contains(log.String(), "uploads_test.go") {
		t.Errorf("the log says:\n%s", log.String())
	}
	in.work(&app.App{}, []stage{waiting}, looking, func(context.Context, *app.App) (stage, error) { return ready, nil })
	<-in.done
	if in.at != ready || in.trouble != nil {
		t.Errorf("looked at again it is at %v, with %v", in.at, in.trouble)
	}
}

// TestUploadFields: a form has few fields, and what is too much is refused and not cut.
func TestUploadFields(t *testing.T) {
	s, site := withDemo(t, nil)
	b := visit(t, s)
	for name, fields := range map[string][]string{
		"many":  slices.Repeat([]string{"x"}, 2000),
		"large": {strings.Repeat("x", mostForm+1)},
	} {
		var body bytes.Buffer
		w := multipart.NewWriter(&body)
		for i, field := range fields {
			if err := w.WriteField(fmt.Sprint("field", i), field); err != nil {
				t.Fatal(err)
			}
		}
		if err := w.Close(); err != nil {
			t.Fatal(err)
		}
		res := b.do(http.MethodPost, site+"/intake", body.String(), func(r *http.Request) { r.Header.Set("Content-Type", w.FormDataContentType()) })
		if text := read(t, res); res.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(text, "more than is typed by hand") {
			t.Errorf("%s fields: %d\n%.600s", name, res.StatusCode, text)
		}
	}
	if left, err := filepath.Glob(filepath.Join(s.Uploads, "*")); err != nil || len(left) > 0 {
		t.Errorf("refused, and left: %v %v", left, err)
	}
}

// TestListQuota: the lists of one person push out none of another's.
func TestListQuota(t *testing.T) {
	s := newServer(t, nil)
	keep := func(who string) string {
		folder, err := os.MkdirTemp(s.Uploads, ".arriving-*")
		if err != nil {
			t.Fatal(err)
		}
		id, err := s.keepList(&upload{fields: map[string]string{"id": s.newID(), "text": "1 2 3"}, folder: folder}, who)
		if err != nil {
			t.Fatal(err)
		}
		return id
	}
	other := keep("M")
	for range mostLists + 5 {
		keep("T")
	}
	if _, err := s.listAt(other); err != nil {
		t.Errorf("another person's list is gone: %v", err)
	}
	if lists, err := filepath.Glob(filepath.Join(s.Uploads, "found-*")); err != nil || len(lists) != mostLists+1 {
		t.Errorf("%d lists lie there, %v", len(lists), err)
	}
}
