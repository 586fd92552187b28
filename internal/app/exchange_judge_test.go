package app

import (
	"context"
	"crypto/rand"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/exchange"
	"sootline/internal/pgtest"
	"sootline/internal/store"
	"sootline/internal/worlds/firm"
)

// apartSite is a site that five stations hold: as many points as the histories speak of.
type apartSite struct {
	t      *testing.T
	id     sootline.ID
	points map[string]sootline.ID // by the key of the fact
	keys   map[sootline.ID]string
	opened *exchange.Parcel // brings the site to a book
	now    time.Time
	empty  string // a book of no site, copied for each station; not in PostgreSQL
}

// Now is a clock that never stands still.
func (s *apartSite) Now() time.Time {
	s.now = s.now.Add(time.Second)
	return s.now
}

const apartPoints = 30

func newApartSite(t *testing.T) *apartSite {
	s := &apartSite{t: t, points: map[string]sootline.ID{}, keys: map[sootline.ID]string{}, now: time.Date(2026, 11, 30, 8, 0, 0, 0, time.UTC)}
	if !pgtest.On() {
		s.empty = filepath.Join(t.TempDir(), "empty.db")
		book, err := store.Open(t.Context(), s.empty, true, nil)
		if err != nil {
			t.Fatal(err)
		}
		if err := book.Close(); err != nil {
			t.Fatal(err)
		}
	}
	office := s.station("office")
	var err error
	if s.id, err = office.a.AddSite(t.Context(), NewSite{Name: "Works"}); err != nil {
		t.Fatal(err)
	}
	for n := range apartPoints {
		e := office.a.entry(s.id, s.now, sootline.NewID(s.Now(), office.a.Random()), sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "1", Order: n + 1}})
		key := fmt.Sprintf("number of point %d", n+1)
		s.points[key], s.keys[e.Point] = e.Point, key
		if err := office.a.add(t.Context(), s.id, e); err != nil {
			t.Fatal(err)
		}
	}
	sent, err := office.a.Lacking(t.Context(), &exchange.Parcel{Vectors: []exchange.Vector{{Site: s.id}}}, MostParcel)
	if err != nil || len(sent) != 1 {
		t.Fatal(len(sent), err)
	}
	s.opened = &sent[0]
	return s
}

// apartStation is a book with its program, as the judge of exchange sees it.
type apartStation struct {
	site *apartSite
	name string
	path string
	a    *App
}

// station makes a book that holds nothing.
func (s *apartSite) station(name string) *apartStation {
	one := &apartStation{site: s, name: name}
	one.path = s.place()
	one.open()
	return one
}

// place names a new book.
func (s *apartSite) place() string {
	if pgtest.On() {
		return pgtest.Schema(s.t)
	}
	path := filepath.Join(s.t.TempDir(), "book.db")
	content, err := os.ReadFile(s.empty)
	if os.IsNotExist(err) {
		return path
	}
	if err == nil {
		err = os.WriteFile(path, content, 0o600)
	}
	if err != nil {
		s.t.Fatal(err)
	}
	return path
}

func (one *apartStation) open() {
	book, err := store.Open(one.site.t.Context(), one.path, true, nil)
	if err != nil {
		one.site.t.Fatal(err)
	}
	one.a = &App{
		Book: book, Who: sootline.Actor{Name: "L. Local", Role: sootline.Manager, Station: one.name}, Logs: NewLogs(MostLogs),
		Now: one.site.Now, Random: func() (r [10]byte) { rand.Read(r[:]); return r },
	}
}

func (one *apartStation) close() {
	if err := one.a.Book.Close(); err != nil {
		one.site.t.Error(err)
	}
}

func (one *apartStation) ctx() context.Context { return one.site.t.Context() }

// five gives the stations of one history, and closes them.
func (s *apartSite) five() (all []firm.Station, done func()) {
	for n := range 5 {
		one := s.station(fmt.Sprint("s", n))
		if _, err := one.a.TakeParcel(s.t.Context(), s.opened); err != nil {
			s.t.Fatal(err)
		}
		all = append(all, one)
	}
	return all, func() {
		for _, one := range all {
			one.(*apartStation).close()
			if !pgtest.On() {
				os.RemoveAll(filepath.Dir(one.(*apartStation).path)) //nolint:errcheck // the test's folder goes anyway
			}
		}
	}
}

// Write says the number of a point, and the words of the value beside it.
func (one *apartStation) Write(f firm.Fact, settles bool) (string, error) {
	number, text, _ := strings.Cut(f.Value, " ")
	n, err := strconv.Atoi(number)
	if err != nil {
		return "", err
	}
	said, point := sootline.Addressed{Wanted: n, Text: text}, one.site.points[f.Key]
	if !settles {
		e, err := one.a.AddEntry(one.ctx(), one.site.id, Note{Point: point.String(), Body: said, Sure: true})
		return e.ID.String(), err
	}
	log, err := one.a.LogOf(one.ctx(), one.site.id)
	if err != nil {
		return "", err
	}
	for _, apart := range log.Apart() {
		if apart.Point == point {
			written, err := one.a.Settle(one.ctx(), one.site.id, Settling{Entry: apart.Says[0].Entry.ID, Instead: said})
			if err != nil {
				return "", err
			}
			return written[0].ID.String(), nil
		}
	}
	return "", fmt.Errorf("%s is not to be settled", f.Key)
}

func (one *apartStation) Lines() (held []firm.Held, err error) {
	for line, err := range one.a.Book.Lines(one.ctx(), one.site.id) {
		if err != nil {
			return nil, err
		}
		if e := &line.Entry; e.Body.Kind() == sootline.AddressedKind {
			held = append(held, firm.Held{ID: e.ID.String(), Station: e.Station, Seq: e.Seq, Text: string(line.Text)})
		}
	}
	return held, nil
}

func (one *apartStation) Conflicts() (all []firm.Conflict, err error) {
	log, err := one.a.LogOf(one.ctx(), one.site.id)
	if err != nil {
		return nil, err
	}
	for _, apart := range log.Apart() {
		c := firm.Conflict{Key: one.site.keys[apart.Point]}
		for _, said := range apart.Says {
			c.Entries = append(c.Entries, said.Entry.ID.String())
		}
		all = append(all, c)
	}
	return all, nil
}

func (one *apartStation) Offer() ([]byte, error) {
	p, err := one.a.Offer(one.ctx())
	if err != nil {
		return nil, err
	}
	return p.Pack()
}

func (one *apartStation) Want(offer []byte) ([]byte, error) {
	theirs, err := exchange.Unpack(offer)
	if err != nil {
		return nil, err
	}
	p, err := one.a.Reply(one.ctx(), theirs)
	if err != nil {
		return nil, err
	}
	return p.Pack()
}

// mostJudged is how much text goes into a parcel here: so little that some transfers take several.
const mostJudged = 16 << 10

func (one *apartStation) Send(want []byte) (packets [][]byte, err error) {
	theirs, err := exchange.Unpack(want)
	if err != nil {
		return nil, err
	}
	sent, err := one.a.Lacking(one.ctx(), theirs, mostJudged)
	if err != nil {
		return nil, err
	}
	for i := range sent {
		packed, err := sent[i].Pack()
		if err != nil {
			return nil, err
		}
		packets = append(packets, packed)
	}
	return packets, nil
}

func (one *apartStation) Receive(packet []byte) error {
	p, err := exchange.Unpack(packet)
	if err != nil {
		return err
	}
	_, err = one.a.TakeParcel(one.ctx(), p)
	return err
}

// Backup is that of the book's file; where a database has other means, all that the book
// holds.
func (one *apartStation) Backup() ([]byte, error) {
	if pgtest.On() {
		all, err := one.a.Lacking(one.ctx(), &exchange.Parcel{Vectors: []exchange.Vector{{Site: one.site.id}}}, MostParcel)
		if err != nil {
			return nil, err
		}
		return all[0].Pack()
	}
	file := filepath.Join(filepath.Dir(one.path), "backup-"+rand.Text())
	if err := one.a.Book.Backup(one.ctx(), file); err != nil {
		return nil, err
	}
	return os.ReadFile(file)
}

func (one *apartStation) Restore(backup []byte) error {
	one.close()
	if pgtest.On() {
		one.path = one.site.place()
		one.open()
		return one.Receive(backup)
	}
	file := filepath.Join(filepath.Dir(one.path), "back-"+rand.Text())
	if err := os.WriteFile(file, backup, 0o600); err != nil {
		return err
	}
	if _, err := store.Restore(one.ctx(), file, one.path, nil); err != nil {
		return err
	}
	one.open()
	return nil
}

// TestExchangeConverges plays histories of five stations with transfers that are cut,
// doubled, reordered, late and altered, and stations that are put back from a backup: all
// come to hold the same, nothing that was acknowledged and is anywhere is lost, every
// fact that was changed in two places is named, and what is sent is little more than what
// was lacking. SOOTLINE_HISTORIES is how many, after SOOTLINE_HISTORY of them.
func TestExchangeConverges(t *testing.T) {
	sums(t)
	first, n := 0, 6
	if pgtest.On() {
		n = 2
	}
	if many, err := strconv.Atoi(os.Getenv("SOOTLINE_HISTORIES")); err == nil {
		n = many
	}
	if from, err := strconv.Atoi(os.Getenv("SOOTLINE_HISTORY")); err == nil {
		first = from
	}
	site := newApartSite(t)
	var cost firm.Cost
	var worst float64
	for i, moves := range firm.Histories(17, first+n) {
		if i < first {
			continue
		}
		all, done := site.five()
		one, err := firm.Exchange(all, moves)
		done()
		if err != nil {
			t.Fatalf("history %d: %v", i, err)
		}
		cost.Add(one)
		worst = max(worst, one.Ratio())
	}
	t.Logf("%d histories: %d bytes of lines were lacking, %d were sent: %.3f times, at worst %.3f; packed %.3f times; %d facts in dispute, %d entries lost with a backup, %d at most sent for nothing",
		n, cost.Lacking, cost.Sent, cost.Ratio(), worst, cost.PackedRatio(), cost.Disputed, cost.Lost, cost.Idle)
	if cost.Disputed == 0 || cost.Lacking == 0 {
		t.Error("the histories were too easy")
	}
}
