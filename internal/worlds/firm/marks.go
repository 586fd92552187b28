package firm

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/png"
	"math/rand/v2"
	"time"

	"sootline"
	"sootline/internal/store"
)

// What says where a mark stands.
type What string

// The marks. Each site has those of its name, places, notes, hands, serials, defects and
// files; customers and firms those of their names; firms those of accounts and journal.
const (
	SiteMark     What = "name of a site"
	PlaceMark    What = "place"
	NoteMark     What = "note"
	HandMark     What = "who wrote an entry"
	SerialMark   What = "serial"
	DefectMark   What = "defect"
	WhyMark      What = "reason of a correction"
	FileMark     What = "file"
	CustomerMark What = "name of a customer"
	FirmMark     What = "name of a firm"
	AccountMark  What = "account"
	JournalMark  What = "journal"
)

// Mark is a word of chance that stands nowhere else, and whose it is.
type Mark struct {
	Text                               string
	What                               What
	Firm, Office, Team, Customer, Site string // names for the test; Site is empty for what is of no single site
}

// MarkedSite is a site in whose every text a mark stands.
type MarkedSite struct {
	ID                           sootline.ID
	Name                         string
	Firm, Office, Team, Customer string
	Photo                        string // the hash of its file
}

// Marked is two firms with two customers, two offices and two teams each, a site for
// each customer at each office, and people of eight kinds.
type Marked struct {
	Sites  []MarkedSite
	People []Somebody
	Marks  []Mark
	rng    *rand.Rand
	names  map[string]string // the marks by which firms and customers are called
}

const markLetters = "bcdfghjklmnpqrstvwxz"

func (w *Marked) mark(m Mark) string {
	text := []byte("zq")
	for range 16 {
		text = append(text, markLetters[w.rng.IntN(len(markLetters))])
	}
	m.Text = string(text)
	w.Marks = append(w.Marks, m)
	return m.Text
}

// MarkedFirms draws the firms from a seed, and writes sites, logs and files into an open
// book. Who they are granted to, accounts and journal are for whoever calls to make: an
// account is called by [Somebody].Name, and a line of the journal of each firm holds its
// mark of that kind.
func MarkedFirms(ctx context.Context, book *store.Store, seed uint64, now time.Time) (*Marked, error) {
	w := &Marked{rng: rand.New(rand.NewPCG(seed, 2)), names: map[string]string{}}
	for _, firm := range []string{"firm 1", "firm 2"} {
		w.names[firm] = w.mark(Mark{What: FirmMark, Firm: firm})
		w.mark(Mark{What: JournalMark, Firm: firm})
		for c := range 2 {
			customer := fmt.Sprintf("%s, customer %d", firm, c+1)
			w.names[customer] = w.mark(Mark{What: CustomerMark, Firm: firm, Customer: customer})
			for o := range 2 {
				site := MarkedSite{Firm: firm, Customer: customer, Office: fmt.Sprintf("%s, office %d", firm, o+1), Team: fmt.Sprintf("%s, team %d", firm, 1+(c+o)%2)}
				if err := w.write(ctx, book, site, now); err != nil {
					return nil, err
				}
			}
		}
	}
	return w, w.people()
}

// people makes somebody of each kind: in each firm, and where a grant is of a part, for
// each of the two parts.
func (w *Marked) people() error {
	table, err := Kinds()
	if err != nil {
		return err
	}
	for _, sees := range table {
		if sees.Kind == "stranger" {
			w.People = append(w.People, Somebody{Sees: sees})
			continue
		}
		for _, firm := range []string{"firm 1", "firm 2"} {
			for part := range 2 {
				p := Somebody{Sees: sees, Firm: firm, Office: fmt.Sprintf("%s, office %d", firm, part+1), Team: fmt.Sprintf("%s, team %d", firm, part+1), Customer: fmt.Sprintf("%s, customer %d", firm, part+1)}
				p.Name = w.mark(Mark{What: AccountMark, Firm: firm})
				w.People = append(w.People, p)
			}
		}
	}
	return nil
}

// write writes a marked site.
func (w *Marked) write(ctx context.Context, book *store.Store, site MarkedSite, now time.Time) error {
	key := fmt.Sprintf("site %d", len(w.Sites)+1)
	of := func(what What) string {
		return w.mark(Mark{What: what, Firm: site.Firm, Office: site.Office, Team: site.Team, Customer: site.Customer, Site: key})
	}
	site.Name = of(SiteMark)
	site.ID = sootline.DerivedID(sootline.LongAgo, []byte(site.Name))
	file, err := markedPicture(of(FileMark))
	if err != nil {
		return err
	}
	site.Photo = store.PhotoHash(file)
	w.Marks = append(w.Marks, Mark{Text: site.Photo, What: FileMark, Firm: site.Firm, Office: site.Office, Team: site.Team, Customer: site.Customer, Site: key})
	entries := w.log(site, of, now)
	w.Sites = append(w.Sites, site)
	return book.Write(ctx, func(tx *store.Tx) error {
		if err := tx.PutSite(site.ID, site.Name); err != nil {
			return err
		}
		if err := tx.PutPhoto(site.Photo, file); err != nil {
			return err
		}
		return Append(tx, book, site.ID, "office", entries)
	})
}

// log is a short log with a mark in every text.
func (w *Marked) log(site MarkedSite, of func(What) string, now time.Time) []sootline.Entry {
	at := morning(now).AddDate(-1, 0, 0)
	s := &scribe{rng: w.rng, site: site.ID, by: of(HandMark)}
	s.add(at, sootline.ID{}, sootline.Opened{Name: site.Name, SiteFacts: sootline.SiteFacts{Customer: w.names[site.Customer], Firm: w.names[site.Firm], Address: of(PlaceMark)}})
	s.add(at, sootline.ID{}, sootline.LoopFacts{Panel: "1", Loop: "1", First: 1, Last: 126})
	low, high := 20.0, 40.0
	s.add(at, sootline.ID{}, sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: "Larch", Kind: sootline.Smoke, Bands: []sootline.Band{{Low: &low, High: &high}}}})
	point := s.id(at)
	s.add(at, point, sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "1", Order: 1, Zone: "1", Area: of(PlaceMark), Location: of(PlaceMark)}, Type: "Larch", Unit: sootline.Unit{Serial: of(SerialMark)}})
	s.add(at, point, sootline.Addressed{Wanted: 1})
	note := s.add(at.AddDate(0, 1, 0), point, sootline.Note{Text: of(NoteMark), Photo: site.Photo})
	s.add(at.AddDate(0, 2, 0), point, sootline.Read{Samples: []float64{46}, Remark: of(NoteMark)})
	s.add(at.AddDate(0, 3, 0), point, sootline.Defect{Nature: sootline.Damage, Grade: sootline.SeriousDefect, Text: of(DefectMark)})
	s.add(at.AddDate(0, 4, 0), point, sootline.Disabled{Cause: of(NoteMark)})
	s.add(at.AddDate(0, 5, 0), point, sootline.Corrected{Entry: note, Why: of(WhyMark), At: at.AddDate(0, 1, 0), Point: point, Body: sootline.Note{Text: of(NoteMark), Photo: site.Photo}})
	return s.entries
}

// markedPicture is a picture of one dot with a text chunk (PNG, ISO/IEC 15948, 11.3.4.3).
func markedPicture(text string) ([]byte, error) {
	var dot bytes.Buffer
	if err := png.Encode(&dot, image.NewGray(image.Rect(0, 0, 1, 1))); err != nil {
		return nil, err
	}
	const end = 12 // the last chunk: length, name, sum
	body, last := dot.Bytes()[:dot.Len()-end], dot.Bytes()[dot.Len()-end:]
	chunk := []byte("tEXtComment\x00" + text)
	out := binary.BigEndian.AppendUint32(bytes.Clone(body), uint32(len(chunk)-4))
	out = binary.BigEndian.AppendUint32(append(out, chunk...), crc32.ChecksumIEEE(chunk))
	return append(out, last...), nil
}
