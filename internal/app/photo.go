package app

import (
	"bytes"
	"context"
	"image/jpeg"
	"sync"
	"time"

	"sootline"
	"sootline/internal/store"
)

// MostPhoto is the most bytes that a photo may have; a phone shrinks it before.
const MostPhoto = 1 << 20

// mostPixels is how large a picture may be once a browser unpacks it: a few
// kilobytes of JPEG can say that they are 65,535 by 65,535, which is 17 GB.
const mostPixels = 50_000_000

// TooMany is the code of an error that time mends: more than a quota allows.
const TooMany sootline.Code = "too many"

const asJPEG = "the capture page makes one of any picture"

// PhotoQuota bounds how many photos are kept in a day: of one person with all
// their phones, and of one site. It counts in memory, anew after a start.
type PhotoQuota struct {
	Person, Site int // a day

	mu      sync.Mutex
	day     string // UTC
	persons map[string]int
	sites   map[sootline.ID]int
}

// NewPhotoQuota gives the quota of a server: a day's visit of a large site has some
// hundred photos (our estimate), and a photo has 1 MB at the most.
func NewPhotoQuota() *PhotoQuota { return &PhotoQuota{Person: 500, Site: 2000} }

// take counts a photo, or refuses it; giveBack takes it off again.
func (q *PhotoQuota) take(who string, site sootline.ID, now time.Time) error {
	q.mu.Lock()
	defer q.mu.Unlock()
	if day := now.UTC().Format(time.DateOnly); day != q.day {
		q.day, q.persons, q.sites = day, map[string]int{}, map[sootline.ID]int{}
	}
	const way = "what is on a phone stays there and goes on tomorrow (UTC); nothing is lost"
	switch {
	case q.persons[who] >= q.Person:
		return sootline.Errorf(TooMany, way, "the book keeps %d photos of one person in a day, and has them", q.Person)
	case !site.Zero() && q.sites[site] >= q.Site:
		return sootline.Errorf(TooMany, way, "the book keeps %d photos of one site in a day, and has them", q.Site)
	}
	q.persons[who]++
	q.sites[site]++
	return nil
}

func (q *PhotoQuota) giveBack(who string, site sootline.ID) {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.persons[who]--
	q.sites[site]--
}

// KeepPhoto keeps a picture once, under the hash by which entries name it. A site
// that is not known, as an older page of a phone does not name it, is zero: then
// its person's quota alone counts. What the book has already costs nothing.
func (a *App) KeepPhoto(ctx context.Context, site sootline.ID, content []byte) (hash string, err error) {
	captures := a.Who
	captures.HandsIn = true // a photo is part of what is captured
	if err := captures.MayDo(sootline.Technician); err != nil {
		return "", err
	}
	if !site.Zero() {
		if err := a.Who.MaySee(site); err != nil {
			return "", err
		}
	}
	if err := checkPhoto(content); err != nil {
		return "", err
	}
	hash = store.PhotoHash(content)
	if there, err := a.Book.Photo(ctx, hash); err != nil || there != nil {
		return hash, err
	}
	if a.Photos != nil {
		if err := a.Photos.take(a.Who.Name, site, a.Now()); err != nil {
			return "", err
		}
	}
	err = a.Book.WriteRows(ctx, func(tx *store.Tx) error { return tx.PutPhoto(hash, content) })
	if err != nil && a.Photos != nil {
		a.Photos.giveBack(a.Who.Name, site)
	}
	return hash, err
}

// checkPhoto looks at a picture without unpacking it. One of which the size cannot be
// read is refused: a browser might read it, and find it vast. What comes behind the
// size is not looked at: half a picture may be the only one there is.
func checkPhoto(content []byte) error {
	switch {
	case len(content) > MostPhoto:
		return sootline.Errorf(sootline.Invalid, "make it smaller", "a photo has at most %d kB", MostPhoto>>10)
	case !bytes.HasPrefix(content, []byte("\xff\xd8\xff")): // how every JPEG begins (ITU-T T.81, B.1.1.3)
		return sootline.Errorf(sootline.Invalid, asJPEG, "a photo is kept as JPEG")
	}
	size, err := jpeg.DecodeConfig(bytes.NewReader(content))
	switch {
	case err != nil || size.Width < 1 || size.Height < 1:
		return sootline.Errorf(sootline.Invalid, asJPEG, "the size of this JPEG cannot be read")
	case size.Width*size.Height > mostPixels:
		return sootline.Errorf(sootline.Invalid, "make it smaller", "a photo has at most %d million pixels", mostPixels/1_000_000)
	}
	return nil
}

// Photo gives the picture of a hash. To whoever is bound to sites, it is there where an
// entry of one of them names it.
func (a *App) Photo(ctx context.Context, hash string) ([]byte, error) {
	seen, err := a.seesPhoto(ctx, hash)
	if err != nil {
		return nil, err
	}
	var content []byte
	if seen {
		content, err = a.Book.Photo(ctx, hash)
	}
	if err == nil && content == nil {
		err = sootline.Errorf(sootline.NotFound, "it may still be on the phone that took it", "the book does not hold this photo")
	}
	return content, err
}

func (a *App) seesPhoto(ctx context.Context, hash string) (bool, error) {
	if !a.Who.Scope.Bound() {
		return true, nil
	}
	sites, err := a.Sites(ctx)
	for _, site := range sites {
		log, err := a.LogOf(ctx, site.ID)
		if err != nil {
			return false, err
		}
		for _, e := range log.Entries() {
			if photoNamed(e) == hash {
				return true, nil
			}
		}
	}
	return false, err
}

// photoNamed is the hash of the photo that an entry, or what it corrects another into, names; "" where it names none.
func photoNamed(e *sootline.Entry) string {
	body := e.Body
	if c, ok := body.(sootline.Corrected); ok {
		body = c.Body
	}
	return sootline.PhotoOf(body)
}
