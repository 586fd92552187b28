package app

import (
	"bytes"
	"context"
	"fmt"
	"runtime"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"sootline"
	"sootline/internal/store"
)

// A kept log is at every moment what the book holds, whoever writes: the app that
// keeps it, another, or an import that fills a gap before lines it has read.
func TestKeptLogIsTheLog(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		a := newApp(t, "laptop")
		a.Logs = NewLogs(MostLogs)
		other := *a
		other.Logs, other.Who.Station = nil, "tablet"
		site := addSite(t, a)
		away := awayFrom(t, a, site)
		for range rapid.IntRange(1, 12).Draw(rt, "steps") {
			switch rapid.IntRange(0, 5).Draw(rt, "what") {
			case 0:
				note(t, a, site, "here")
			case 1:
				note(t, &other, site, "on the tablet")
			case 2:
				note(t, away, site, "away")
			case 3:
				mustImport(t, a, exported(t, away, site))
			case 4:
				withdrawLast(t, a, site)
			case 5: // its lines but the first: the gap is filled by a later import
				lines := exported(t, away, site)
				first := slices.IndexFunc(lines, func(line []byte) bool { return bytes.Contains(line, []byte(`"station":"away"`)) })
				if more := bytes.Count(bytes.Join(lines, nil), []byte(`"station":"away"`)); first >= 0 && more > 2 { // two lines and the head
					if _, err := imported(a, slices.Delete(lines, first, first+1)); err != nil {
						t.Fatal(err)
					}
				}
			}
			sameLogs(rt, a, site)
		}
	})
}

func sameLogs(t *rapid.T, a *App, site sootline.ID) {
	kept, err := a.LogOf(context.Background(), site)
	if err != nil {
		t.Fatal(err)
	}
	entries, err := a.Book.Entries(context.Background(), site)
	if err != nil {
		t.Fatal(err)
	}
	whole := sootline.NewLog(entries)
	if got, want := spelled(kept), spelled(whole); got != want {
		t.Fatalf("kept: %s\nthe book: %s", got, want)
	}
}

func spelled(log *sootline.Log) (text string) {
	for _, list := range [][]*sootline.Entry{log.Entries(), log.Holding()} {
		for _, e := range list {
			text += fmt.Sprintln(e.ID, e.Station, e.Seq, sootline.Say(e.Body))
		}
		text += "--\n"
	}
	return text
}

// awayFrom is another book with the site, at another station.
func awayFrom(t testing.TB, a *App, site sootline.ID) *App {
	away := newApp(t, "away")
	mustImport(t, away, exported(t, a, site))
	return away
}

func withdrawLast(t testing.TB, a *App, site sootline.ID) {
	log, err := a.LogOf(context.Background(), site)
	if err != nil {
		t.Fatal(err)
	}
	entries := log.Entries()
	last := entries[len(entries)-1]
	if kind, _ := sootline.KindNamed(last.Body.Kind()); kind.ByProgram || kind.Kind == sootline.OpenedKind || log.Amendment(last.ID) != nil {
		return
	}
	if _, err := a.Withdraw(context.Background(), site, Amendment{Entry: last.ID}); err != nil {
		t.Fatal(err)
	}
}

// What a decoded log takes is what is reckoned for it, within a half.
func TestBytesOfLogs(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	const n = 50_000
	err := a.Book.Write(context.Background(), func(tx *store.Tx) error {
		return tx.Append(site, "laptop", func(w *store.Writer) error {
			for i := range n {
				at := today.Add(time.Duration(i-n) * time.Minute)
				e := sootline.Entry{ID: sootline.DerivedID(at, fmt.Append(nil, i)), Site: site, At: at, Noted: at, By: "A. Tech", Station: "laptop", Point: sootline.DerivedID(today, fmt.Append(nil, i%300)), Body: sootline.Read{Samples: []float64{25, 26}}}
				if err := w.Add(e); err != nil {
					return err
				}
			}
			return nil
		})
	})
	if err != nil {
		t.Fatal(err)
	}
	before := heap()
	log, err := a.LogOf(context.Background(), site)
	if err != nil {
		t.Fatal(err)
	}
	taken := float64(heap()-before) / float64(log.Len())
	if taken < entryBytes/2 || taken > entryBytes*1.5 {
		t.Errorf("an entry takes %.0f bytes, and %d are reckoned", taken, entryBytes)
	}
	runtime.KeepAlive(log)
}

func heap() uint64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}

// Logs used longest ago are given up while all take too much.
func TestLogsAreKeptByBytes(t *testing.T) {
	l := NewLogs(3 * entryBytes)
	for i, size := range []int{1, 1, 1, 2} {
		kept := l.place(sootline.DerivedID(today, fmt.Append(nil, i)))
		l.resize(kept, size*entryBytes)
	}
	if len(l.sites) != 2 || l.bytes != 3*entryBytes || l.sites[sootline.DerivedID(today, fmt.Append(nil, 0))] != nil {
		t.Errorf("%d kept, with %d bytes", len(l.sites), l.bytes)
	}
}
