package shape

import (
	"time"

	"sootline"
	"sootline/internal/app"
)

// Photos are the photos that a site's log names, the answer of `photo --json`.
type Photos struct {
	Site   string  `json:"site"`
	Photos []Photo `json:"photos"` // as they were taken
}

// Photo is a photo, and the entry that names it.
type Photo struct {
	Hash  string    `json:"hash"` // SHA-256 in hex
	Point string    `json:"point,omitempty"`
	At    time.Time `json:"at"`
	Entry string    `json:"entry"`
	Says  string    `json:"says"`
	By    string    `json:"by"`
	There bool      `json:"there"` // the book holds it
}

// OfPhotos shapes them.
func OfPhotos(site string, all []app.Photograph) Photos {
	shape := Photos{Site: site, Photos: []Photo{}}
	for _, p := range all {
		shape.Photos = append(shape.Photos, Photo{p.Hash, p.Ref, p.Entry.At, p.Entry.ID.String(), sootline.Say(p.Entry.Body), p.Entry.By, p.There})
	}
	return shape
}
