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

// headOfPhoto is how a picture of 8 by 8 begins: start, frame and the head of a scan (T.81, B.2.2 and B.2.3).
const headOfPhoto = "\xff\xd8\xff\xc0\x00\x0b\x08\x00\x08\x00\x08\x01\x01\x11\x00\xff\xda\x00\x02"

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
		_, err := a.KeepPhoto(context.Background(), site, []byte(fmt.Sprint(headOfPhoto, n)))
		if sootline.ErrorCode(err) != want {
			t.Errorf("photo %d of %s: %v, want %q", n, who, err, want)
		}
	}
	for range 3 {
		keep("A", "")
	}
	keep("A", TooMany)
	if _, err := a.KeepPhoto(context.Background(), site, []byte(headOfPhoto+"1")); err != nil {
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

// TestPhotoSize: a picture that is small as a file and vast once unpacked is refused, and so is what says no size.
func TestPhotoSize(t *testing.T) {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, 64, 64)), nil); err != nil {
		t.Fatal(err)
	}
	if err := checkPhoto(b.Bytes()); err != nil {
		t.Error(err)
	}
	for what, content := range map[string]string{
		"no picture behind its first bytes":     "\xff\xd8\xff\xe0 a small picture",
		"one without a size":                    "\xff\xd8\xff\xda\x00\x02",
		"one of no lines":                       headOfPhoto[:7] + "\x00\x00" + headOfPhoto[9:],
		"65,535 by 65,535 in an unusual coding": "\xff\xd8\xff\xc9\x00\x0b\x08\xff\xff\xff\xff\x01\x01\x11\x00\xff\xda\x00\x02",
	} {
		if err := checkPhoto([]byte(content)); sootline.ErrorCode(err) != sootline.Invalid {
			t.Errorf("%s: %v", what, err)
		}
	}
	vast := b.Bytes()
	at := bytes.Index(vast, []byte{0xff, 0xc0}) // the frame's head: length, precision, lines, samples a line (T.81, B.2.2)
	copy(vast[at+5:], []byte{0xff, 0xff, 0xff, 0xff})
	if err := checkPhoto(vast); sootline.ErrorCode(err) != sootline.Invalid {
		t.Errorf("a picture of 65,535 by 65,535: %v", err)
	}
}
