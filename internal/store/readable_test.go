package store

import (
	"crypto/sha256"
	"fmt"
	"slices"
	"testing"

	"sootline"
	"sootline/internal/pgtest"
)

// Of a log of which one page is lost, all lines of the other pages are given, and the
// lines of the lost one are named.
func TestReadable(t *testing.T) {
	for name, spoil := range map[string]string{
		"zeros":           `UPDATE page SET lines = '00' WHERE station = 's-b'`,
		"of another page": `UPDATE page SET lines = (SELECT lines FROM page WHERE station = 's-a') WHERE station = 's-b'`,
		"another hash":    `UPDATE page SET hash = (SELECT hash FROM page WHERE station = 's-a') WHERE station = 's-b'`,
	} {
		t.Run(name, func(t *testing.T) {
			s := open(t, pgtest.Book(t))
			site := siteID("Works")
			for _, station := range []string{"s-a", "s-b", "s-c"} {
				add(t, s, readings(site, station, 0, 7))
			}
			if _, err := s.write.Exec(spoil); err != nil {
				t.Fatal(err)
			}
			if _, err := s.Entries(t.Context(), site); sootline.ErrorCode(err) != sootline.Damaged {
				t.Fatalf("the damage does nothing: %v", err)
			}
			stations := map[string]int{}
			lost, err := s.Readable(t.Context(), site, func(line Line) error { stations[line.Entry.Station]++; return nil })
			if err != nil || stations["s-a"] != 7 || stations["s-c"] != 7 || len(stations) != 2 {
				t.Errorf("read %v: %v", stations, err)
			}
			if want := []Stretch{{"s-b", 1, 7}}; !slices.Equal(lost, want) {
				t.Errorf("lost %v, want %v", lost, want)
			}
		})
	}
}

func TestSoundPhotos(t *testing.T) {
	s := open(t, pgtest.Book(t))
	var hashes []string
	for _, content := range []string{"a", "ab", "abc"} {
		hash := fmt.Sprintf("%x", sha256.Sum256([]byte(content)))
		if _, err := s.write.Exec(`INSERT INTO photo (hash, content) VALUES ($1, $2)`, hash, []byte(content)); err != nil {
			t.Fatal(err)
		}
		hashes = append(hashes, hash)
	}
	slices.Sort(hashes)
	if sound, bad, err := s.SoundPhotos(t.Context()); sound != 3 || len(bad) > 0 || err != nil {
		t.Errorf("%d sound, %v bad, %v", sound, bad, err)
	}
	if _, err := s.write.Exec(`UPDATE photo SET content = $2 WHERE hash = $1`, hashes[1], []byte{0}); err != nil {
		t.Fatal(err)
	}
	if sound, bad, err := s.SoundPhotos(t.Context()); sound != 2 || !slices.Equal(bad, hashes[1:2]) || err != nil {
		t.Errorf("%d sound, %v bad, %v", sound, bad, err)
	}
	if _, err := s.Photo(t.Context(), hashes[1]); sootline.ErrorCode(err) != sootline.Damaged {
		t.Errorf("it is given as a photo: %v", err)
	}
}
