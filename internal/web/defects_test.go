package web

import (
	"bytes"
	"image"
	"image/jpeg"
	"mime/multipart"
	"net/http"
	"strings"
	"testing"

	"sootline"
)

// formWithPhoto writes a form with a photo as a browser does.
func formWithPhoto(t *testing.T, fields map[string]string, photo []byte) (kind, body string) {
	t.Helper()
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	for name, value := range fields {
		if err := w.WriteField(name, value); err != nil {
			t.Fatal(err)
		}
	}
	file, err := w.CreateFormFile("photo", "seen.jpg")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := file.Write(photo); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return w.FormDataContentType(), b.String()
}

// TestDefectByForms writes a defect down with a photo, follows it, mends it and
// tries it again, all by the pages' forms; every page says how it stands.
func TestDefectByForms(t *testing.T) {
	s, site := withDemo(t, nil)
	b := visit(t, s)
	var photo bytes.Buffer
	if err := jpeg.Encode(&photo, image.NewGray(image.Rect(0, 0, 8, 8)), nil); err != nil {
		t.Fatal(err)
	}
	send := func(address string, fields map[string]string, photo []byte, want int) string {
		t.Helper()
		if fields["id"] == "" {
			fields["id"] = s.newID()
		}
		kind, body := formWithPhoto(t, fields, photo)
		res := b.do(http.MethodPost, address, body, func(r *http.Request) { r.Header.Set("Content-Type", kind) })
		text := read(t, res)
		if res.StatusCode != want {
			t.Fatalf("%s %v gives %d, want %d: %.600s", address, fields, res.StatusCode, want, text)
		}
		return text
	}
	p := aSmokePoint(t, surveyOf(t, s))
	page := send(site+"/defects", map[string]string{"point": p.Ref().String(), "grade": "critical", "text": "cover gone"}, nil, http.StatusUnprocessableEntity)
	if !strings.Contains(page, "what kind of defect") || !strings.Contains(page, "cover gone") {
		t.Errorf("a defect of no kind is asked, and keeps what was typed: %.800s", page)
	}
	id := s.newID()
	for range 2 { // handed in twice it is written once
		send(site+"/defects", map[string]string{"id": id, "point": p.Ref().String(), "nature": "missing device", "grade": "critical", "text": "cover gone"}, photo.Bytes(), http.StatusSeeOther)
	}
	d := surveyOf(t, s).Register.Defect(idOf(id))
	if d == nil || len(d.Photos) != 1 || d.Point.ID != p.ID {
		t.Fatalf("got %+v", d)
	}
	address := site + "/defect/" + id
	for where, says := range map[string]string{
		"/": "1 critical", site: "cover gone", pointAddress(surveyOf(t, s), p): "cover gone", site + "/visit": "cover gone", site + "/defects": "cover gone", address: "/photo/" + d.Photos[0],
	} {
		if text := b.get(where); !strings.Contains(text, says) {
			t.Errorf("%s does not say %q", where, says)
		}
	}
	send(address, map[string]string{"kind": "followed", "told": "site office", "by_day": "soon"}, nil, http.StatusUnprocessableEntity)
	send(address, map[string]string{"kind": "followed", "told": "site office", "by_day": "2030-02-01"}, nil, http.StatusSeeOther)
	send(address, map[string]string{"kind": "mended", "text": "new head"}, nil, http.StatusSeeOther)
	if text := send(address, map[string]string{"kind": "mended"}, nil, http.StatusConflict); !strings.Contains(text, "was mended already") {
		t.Errorf("mended twice: %.600s", text)
	}
	send(address, map[string]string{"kind": "note", "text": "x"}, nil, http.StatusUnprocessableEntity)
	if text := b.get(address); !strings.Contains(text, "waits for its retest") || !strings.Contains(text, "told: site office") {
		t.Errorf("the page of the defect: %.2000s", text)
	}
	if text := send(address, map[string]string{"kind": "retested"}, nil, http.StatusUnprocessableEntity); !strings.Contains(text, "needs: how it went") {
		t.Errorf("an empty form closed a defect: %.600s", text)
	}
	send(address, map[string]string{"kind": "retested", "failed": "passed"}, nil, http.StatusSeeOther)
	if d := surveyOf(t, s).Register.Defect(idOf(id)); d.State != sootline.DefectClosed || len(d.Story) != 4 {
		t.Errorf("got %s after %d entries", d.State, len(d.Story))
	}
	if text := b.get(pointAddress(surveyOf(t, s), p)); strings.Contains(text, "What is wrong here") || !strings.Contains(text, "retested: in order") {
		t.Error("the point still says that something is wrong, or its story lacks the retest")
	}
}
