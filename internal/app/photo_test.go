package app

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/jpeg"
	"testing"
	"time"

	"sootline"
)

// TestPhotoQuota: a person and a site have so many photos a day; what is there
// already costs nothing, another person goes on, and so does tomorrow.
func TestPhotoQuota(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	a.Photos = &PhotoQuota{Person: 3, Site: 5}
	now := time.Date(2026, 1, 20, 10, 0, 0, 0, time.UTC)
	a.Now = func() time.Time { return now }
	n := 0
	keep := func(who string, want sootline.Code) {
		t.Helper()
		n++
		a.Who.Name = who
		_, err := a.KeepPhoto(context.Background(), site, []byte(fmt.Sprint("\xff\xd8\xff", n)))
		if sootline.ErrorCode(err) != want {
			t.Errorf("photo %d of %s: %v, want %q", n, who, err, want)
		}
	}
	for range 3 {
		keep("A", "")
	}
	keep("A", TooMany)
	if _, err := a.KeepPhoto(context.Background(), site, []byte("\xff\xd8\xff1")); err != nil {
		t.Errorf("a photo that is there already is counted: %v", err)
	}
	keep("B", "")
	keep("B", "")
	keep("C", TooMany) // the site's
	site = sootline.ID{}
	keep("C", "") // from an older page
	now = now.Add(24 * time.Hour)
	keep("A", "")
}

// TestPhotoSize: a picture that is small as a file and vast once unpacked is refused.
func TestPhotoSize(t *testing.T) {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, 64, 64)), nil); err != nil {
		t.Fatal(err)
	}
	if err := checkPhoto(b.Bytes()); err != nil {
		t.Error(err)
	}
	vast := b.Bytes()
	at := bytes.Index(vast, []byte{0xff, 0xc0}) // the frame's head: length, precision, lines, samples a line (T.81, B.2.2)
	copy(vast[at+5:], []byte{0xff, 0xff, 0xff, 0xff})
	if err := checkPhoto(vast); sootline.ErrorCode(err) != sootline.Invalid {
		t.Errorf("a picture of 65,535 by 65,535: %v", err)
	}
}
