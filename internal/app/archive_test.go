package app

import (
	"archive/zip"
	"bytes"
	"context"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"strings"
	"testing"

	"sootline"
	"sootline/internal/store"
)

// pictureOf makes a picture of two halves, dark at the left.
func pictureOf(t *testing.T, wide, high int) *image.Gray {
	t.Helper()
	m := image.NewGray(image.Rect(0, 0, wide, high))
	for y := range high {
		for x := range wide {
			m.SetGray(x, y, color.Gray{Y: map[bool]uint8{true: 20, false: 230}[x < wide/2]})
		}
	}
	return m
}

func asJPEGBytes(t *testing.T, m image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// held puts an EXIF part with an orientation in front of a JPEG (EXIF 2.3; TIFF 6.0: one entry of type SHORT).
func heldAs(content []byte, turn byte, order string) []byte {
	tiff := "MM\x00*\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00" + string(turn) + "\x00\x00\x00\x00\x00\x00"
	if order == "II" {
		tiff = "II*\x00\x08\x00\x00\x00\x01\x00\x12\x01\x03\x00\x01\x00\x00\x00" + string(turn) + "\x00\x00\x00\x00\x00\x00\x00"
	}
	part := "Exif\x00\x00" + tiff
	head := []byte{0xff, 0xd8, 0xff, 0xe1, byte((len(part) + 2) >> 8), byte(len(part) + 2)}
	return append(append(head, part...), content[2:]...)
}

// TestUpright: a photo that the camera held turned stands upright, is no larger than asked for, and one that needs nothing
// is left as it is. Of a picture dark at its left, each turn says where the dark ends.
func TestUpright(t *testing.T) {
	plain := asJPEGBytes(t, pictureOf(t, 40, 20))
	if got, err := Upright(plain, 100); err != nil || !bytes.Equal(got, plain) {
		t.Errorf("a photo that needs nothing is changed: %v", err)
	}
	for turn, dark := range map[byte]image.Point{ // where the dark half is to be seen
		2: {35, 10}, 3: {35, 10}, 4: {5, 10}, 5: {10, 5}, 6: {10, 5}, 7: {10, 35}, 8: {10, 35},
	} {
		for _, order := range []string{"MM", "II"} {
			made, err := Upright(heldAs(plain, turn, order), 100)
			if err != nil {
				t.Fatal(err)
			}
			m, err := jpeg.Decode(bytes.NewReader(made))
			if err != nil {
				t.Fatal(err)
			}
			if turned := m.Bounds().Dx() == 20; turned != (turn > 4) {
				t.Errorf("turn %d: %v", turn, m.Bounds())
			}
			if r, _, _, _ := m.At(dark.X, dark.Y).RGBA(); r>>8 > 100 {
				t.Errorf("turn %d, %s: it is not dark at %v", turn, order, dark)
			}
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, pictureOf(t, 300, 100)); err != nil {
		t.Fatal(err)
	}
	made, err := Upright(b.Bytes(), 60)
	if err != nil {
		t.Fatal(err)
	}
	if shape, err := jpeg.DecodeConfig(bytes.NewReader(made)); err != nil || shape.Width != 60 || shape.Height != 20 {
		t.Errorf("%+v, %v", shape, err)
	}
	for _, bad := range []string{"", "no picture", headOfPhoto} {
		if _, err := Upright([]byte(bad), 60); sootline.ErrorCode(err) != sootline.Invalid {
			t.Errorf("%q: %v", bad, err)
		}
	}
}

// TestArchive: a log goes with its photos into another book, the same bytes each time.
func TestArchive(t *testing.T) {
	ctx := context.Background()
	a := newApp(t, "laptop")
	site := addSite(t, a)
	for i := range 3 {
		if _, err := a.AddPhoto(ctx, site, Note{Body: sootline.Note{Text: "as left"}}, asJPEGBytes(t, pictureOf(t, 40+i, 20))); err != nil {
			t.Fatal(err)
		}
	}
	gone := strings.Repeat("a", 64)
	if _, err := a.AddEntry(ctx, site, Note{Body: sootline.Note{Photo: gone}}); err != nil {
		t.Fatal(err)
	}
	var first, second bytes.Buffer
	out, err := a.ExportArchive(ctx, site, &first)
	if err != nil || out.Photos != 3 || len(out.Missing) != 1 || out.Missing[0] != gone {
		t.Fatalf("%+v, %v", out, err)
	}
	if _, err := a.ExportArchive(ctx, site, &second); err != nil || !bytes.Equal(first.Bytes(), second.Bytes()) {
		t.Errorf("the same log gives other bytes: %v", err)
	}
	photos, err := a.Photographs(ctx, site)
	if err != nil || len(photos) != 4 {
		t.Fatalf("%+v, %v", photos, err)
	}
	b := newApp(t, "other")
	for i, want := range []int{out.Lines, 0} {
		in, err := b.Import(ctx, bytes.NewReader(first.Bytes()))
		if err != nil || in.Added != want || in.Photos != 3 {
			t.Errorf("import %d: %+v, %v", i+1, in, err)
		}
	}
	there, err := b.Photographs(ctx, site)
	if err != nil || len(there) != 4 {
		t.Fatalf("%+v, %v", there, err)
	}
	for i := range there {
		if there[i].There != (there[i].Hash != gone) || there[i].Hash != photos[i].Hash {
			t.Errorf("photo %d: %+v", i, there[i])
		}
	}
}

// TestArchiveAltered: an archive in which anything was altered is refused whole.
func TestArchiveAltered(t *testing.T) {
	ctx := context.Background()
	a := newApp(t, "laptop")
	site := addSite(t, a)
	if _, err := a.AddPhoto(ctx, site, Note{Body: sootline.Note{Text: "as left"}}, asJPEGBytes(t, pictureOf(t, 40, 20))); err != nil {
		t.Fatal(err)
	}
	var whole bytes.Buffer
	if _, err := a.ExportArchive(ctx, site, &whole); err != nil {
		t.Fatal(err)
	}
	for name, spoil := range map[string]func(name string, content []byte) (string, []byte){
		"a photo altered": func(name string, content []byte) (string, []byte) {
			if strings.HasPrefix(name, archivePhotos) {
				content = append(bytes.Clone(content), 0)
			}
			return name, content
		},
		"a photo of nobody": func(name string, content []byte) (string, []byte) {
			if strings.HasPrefix(name, archivePhotos) {
				content = asJPEGBytes(t, pictureOf(t, 9, 9))
				name = archivePhotos + store.PhotoHash(content) + archiveEnding
			}
			return name, content
		},
		"a file beside": func(name string, content []byte) (string, []byte) {
			return strings.Replace(name, "photos/", "../", 1), content
		},
		"no lines": func(name string, content []byte) (string, []byte) {
			return strings.Replace(name, "entries", "photos/x", 1), content
		},
		"a line altered": func(name string, content []byte) (string, []byte) {
			return name, bytes.Replace(content, []byte("as left"), []byte("as lost"), 1)
		},
	} {
		b := newApp(t, "other")
		if _, err := b.Import(ctx, bytes.NewReader(respoiled(t, whole.Bytes(), spoil))); err == nil {
			t.Errorf("%s: it is taken", name)
		}
		if sites, err := b.Sites(ctx); err != nil || len(sites) != 0 {
			t.Errorf("%s: %d sites, %v", name, len(sites), err)
		}
	}
}

// respoiled writes an archive anew with each part as spoil has it.
func respoiled(t *testing.T, archive []byte, spoil func(name string, content []byte) (string, []byte)) []byte {
	t.Helper()
	in, err := zip.NewReader(bytes.NewReader(archive), int64(len(archive)))
	if err != nil {
		t.Fatal(err)
	}
	var made bytes.Buffer
	out := zip.NewWriter(&made)
	for _, f := range in.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		var content bytes.Buffer
		if _, err := content.ReadFrom(r); err != nil {
			t.Fatal(err)
		}
		name, spoiled := spoil(f.Name, content.Bytes())
		w, err := out.Create(name)
		if err == nil {
			_, err = w.Write(spoiled)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := out.Close(); err != nil {
		t.Fatal(err)
	}
	return made.Bytes()
}
