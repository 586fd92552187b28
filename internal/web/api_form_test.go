package web

import (
	"bytes"
	"mime/multipart"
	"net/http"
	"strings"
	"testing"

	"sootline/internal/api"
)

// A form with a field that nobody reads, and an answer of a file that is not there, are refused, and nothing is taken.
func TestStrayFields(t *testing.T) {
	s, _ := withDemo(t, nil)
	b := visit(t, s)
	site := api.Root + "/sites/" + surveyOf(t, s).Register.Site.ID.String()
	const list = "type,kind,low,high\nFernbeck,smoke,18,36\n"
	for _, c := range []struct {
		address, file string
		fields        map[string]string
		want          int
		says          string
	}{
		{"/intake", "files", map[string]string{"preview": "true"}, 422, "preview"},
		{"/intake", "files", map[string]string{"files ": "x"}, 422, "files "},
		{"/intake?preview=true&answer=y.csv/date=2026-01-02", "files", nil, 422, "y.csv"},
		{"/intake?preview=true", "files", nil, 200, `"added":1`},
		{"/numbers/found?loop=1.1", "file", map[string]string{"note": "true"}, 422, "note"},
	} {
		kind, body := formOf(t, c.file, "x.csv", list, c.fields)
		res := b.do("POST", site+c.address, body, func(r *http.Request) { r.Header.Set("Content-Type", kind) })
		if text := read(t, res); res.StatusCode != c.want || !strings.Contains(text, c.says) {
			t.Errorf("%s %v gives %d: %.300s", c.address, c.fields, res.StatusCode, text)
		}
	}
	if surveyOf(t, s).Register.Sheet("Fernbeck") != nil {
		t.Error("the type was taken in all the same")
	}
}

// formOf makes a form of a file and fields.
func formOf(t *testing.T, field, name, content string, fields map[string]string) (kind, body string) {
	t.Helper()
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	f, err := w.CreateFormFile(field, name)
	if err == nil {
		_, err = f.Write([]byte(content))
	}
	for key, value := range fields {
		if err == nil {
			err = w.WriteField(key, value)
		}
	}
	if err == nil {
		err = w.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	return w.FormDataContentType(), b.String()
}
