package paper

import (
	"bytes"
	"encoding/base64"
	"html/template"
	"image/jpeg"
	"slices"

	"codeberg.org/go-pdf/fpdf"
)

// Photos are pictures that stand packed, as many a row as are easily seen.
type Photos struct{ Photos []Photo }

// Photo is a picture with what is to be seen on it.
type Photo struct {
	JPEG    []byte // upright, and no larger than paper needs; empty: there is none, and the caption says why
	Caption string
	Hash    string // by which the book keeps it: SHA-256 in hex
}

func (Photos) isBlock() {}

// photosAcross is how many photos stand in a row.
const photosAcross = 3

// photos puts photos on the page, a row as high as its highest.
func (p *press) photos(b Photos) {
	const gap, tallest = 3.0, 62.0
	wide := (p.width - gap*(photosAcross-1)) / photosAcross
	for row := range slices.Chunk(b.Photos, photosAcross) {
		p.font(false, small)
		high, words := 0.0, 0
		names := make([]string, len(row))
		sizes := make([][2]float64, len(row))
		captions := make([][]string, len(row))
		for i, photo := range row {
			names[i] = p.registered(photo)
			sizes[i] = p.photoSize(photo, names[i], wide, tallest)
			captions[i] = p.wrap(p.printable(photo.Caption), wide)
			high, words = max(high, sizes[i][1]), max(words, len(captions[i]))
		}
		p.room(high + float64(words)*p.line() + 4)
		for i := range row {
			x := margin + float64(i)*(wide+gap)
			if names[i] != "" {
				p.ImageOptions(names[i], x, p.y, sizes[i][0], sizes[i][1], false, fpdf.ImageOptions{ImageType: "JPG"}, 0, "")
			}
			for n, line := range captions[i] {
				p.write(x, p.y+high+1+float64(n)*p.line(), line)
			}
		}
		p.y += high + float64(words)*p.line() + 4
	}
}

// registered makes a photo known to the library once, by its hash; "" where there is none to print.
func (p *press) registered(photo Photo) string {
	if len(photo.JPEG) == 0 {
		return ""
	}
	name := "photo-" + photo.Hash
	if p.GetImageInfo(name) == nil {
		p.RegisterImageOptionsReader(name, fpdf.ImageOptions{ImageType: "JPG"}, bytes.NewReader(photo.JPEG))
	}
	return name
}

// photoSize fits a photo into a box, in millimetres.
func (p *press) photoSize(photo Photo, name string, wide, high float64) [2]float64 {
	if name == "" {
		return [2]float64{}
	}
	shape, err := jpeg.DecodeConfig(bytes.NewReader(photo.JPEG))
	if err != nil || shape.Width < 1 || shape.Height < 1 {
		return [2]float64{}
	}
	scale := min(wide/float64(shape.Width), high/float64(shape.Height))
	return [2]float64{float64(shape.Width) * scale, float64(shape.Height) * scale}
}

// URL puts the photo into a page itself.
func (p Photo) URL() template.URL {
	return template.URL("data:image/jpeg;base64," + base64.StdEncoding.EncodeToString(p.JPEG)) //nolint:gosec // a JPEG that was made for the paper
}

// table names the photos, for forms that hold no pictures.
func (b Photos) table() *Table {
	t := &Table{Title: "Photos", Columns: []Column{{Name: "photo"}, {Name: "SHA-256"}}}
	for _, photo := range b.Photos {
		t.Rows = append(t.Rows, []Cell{Text(photo.Caption), Text(photo.Hash)})
	}
	return t
}
