package app

import (
	"context"
	"crypto/rand"
	"testing"
	"time"

	"sootline"
	"sootline/internal/pgtest"
	"sootline/internal/store"
	"sootline/internal/worlds/firm"
)

// twoServers are two programs over one book, as the judge of lists sees them. Its writer
// of entries knows of no heads.
type twoServers struct {
	f       *firm.Firm
	apps    [2]*App
	later   time.Duration // of their clocks, after the firm's: a claim of a dead one has to end
	t       *testing.T
	stopped bool // nothing makes heads anew
}

func newTwoServers(t *testing.T, n int, seed uint64) *twoServers {
	t.Helper()
	path := pgtest.Book(t)
	l := &twoServers{t: t}
	for i := range l.apps {
		book, err := store.Open(t.Context(), path, true, nil)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() {
			if err := book.Close(); err != nil {
				t.Error(err)
			}
		})
		l.apps[i] = &App{
			Book: book, Who: sootline.Actor{Name: "L. Local", Role: sootline.Manager, Station: "laptop"}, Logs: NewLogs(MostLogs),
			Now: func() time.Time { return l.f.Now.Add(l.later) }, Random: func() (r [10]byte) { rand.Read(r[:]); return r },
		}
	}
	var err error
	if l.f, err = firm.Book(t.Context(), l.apps[0].Book, n, seed, time.Date(2026, 11, 30, 0, 0, 0, 0, time.UTC)); err != nil {
		t.Fatal(err)
	}
	return l
}

func (l *twoServers) Write(ctx context.Context, writer int, site sootline.ID, entries []sootline.Entry) error {
	book := l.apps[writer].Book
	return book.WriteTo(ctx, site, func(tx *store.Tx) error {
		return firm.Append(tx, book, site, []string{"server0", "server1"}[writer], entries)
	})
}

// WriteAndDie has a server that claimed the head of a site end before it wrote it.
func (l *twoServers) WriteAndDie(ctx context.Context, site sootline.ID, entries []sootline.Entry) error {
	if err := l.Write(ctx, 0, site, entries); err != nil {
		return err
	}
	now := l.apps[0].Now()
	mine, err := l.apps[0].Book.ClaimSiteHeads(ctx, []sootline.ID{site}, now, now.Add(store.MostClaim))
	if err == nil && len(mine) != 1 {
		l.t.Error("the one that is to die does not have the head in hand")
	}
	return err
}

func (l *twoServers) Rebuild(ctx context.Context) error {
	_, err := l.apps[1].RemakeHeads(ctx, func(trouble error) { l.t.Error(trouble) })
	return err
}

// Heads lets both work at once.
func (l *twoServers) Heads(ctx context.Context, _ *firm.Firm, sites []sootline.ID) (map[sootline.ID]firm.Head, error) {
	l.later += store.MostClaim
	if !l.stopped {
		if err := l.work(ctx); err != nil {
			return nil, err
		}
	}
	heads := map[sootline.ID]firm.Head{}
	for _, site := range sites {
		line, err := l.apps[1].Book.HeadOf(ctx, site)
		if err != nil {
			return nil, err
		}
		if !l.stopped && !line.Current(l.apps[1].Now()) {
			l.t.Errorf("site %s is behind: %+v", site, line)
		}
		heads[site] = firm.Head{
			Entries: line.Entries, LastVisit: line.LastVisit, Overdue: line.Overdue, Due: line.Due, NextDue: line.NextDue, CleanNow: line.CleanNow,
			OpenDefects: line.Defects, Mended: line.Mended, Disabled: line.Disabled,
		}
	}
	return heads, nil
}

func (l *twoServers) work(ctx context.Context) error {
	errs := make(chan error, len(l.apps))
	for _, a := range l.apps {
		go func() {
			errs <- NewHeads(a, func(line string) { l.t.Error(line) }).Work(ctx)
		}()
	}
	var first error
	for range l.apps {
		if err := <-errs; err != nil && first == nil {
			first = err
		}
	}
	return first
}

// TestHeadsAreTheTruth plays random writes, late entries, days that pass, deaths between
// entries and heads, two writers and rebuilds; after each, heads are held against a fold of
// the whole logs by another mind's definition.
func TestHeadsAreTheTruth(t *testing.T) {
	l := newTwoServers(t, 60, 17)
	const steps = 21
	if stood := firm.Play(t.Context(), t, l.f, l, steps); stood != steps {
		t.Errorf("%d steps of %d stood", stood, steps)
	}
}

// silent hears what a judge tells, where it is to find something.
type silent struct{ n int }

func (*silent) Helper()                 {}
func (s *silent) Errorf(string, ...any) { s.n++ }

// TestHeadsThatNobodyMakesAreFound: the play above can fail.
func TestHeadsThatNobodyMakesAreFound(t *testing.T) {
	l, heard := newTwoServers(t, 20, 18), &silent{}
	l.stopped = true
	if stood := firm.Play(t.Context(), heard, l.f, l, 5); stood == 5 || heard.n == 0 {
		t.Errorf("%d steps stood, %d differences were told", stood, heard.n)
	}
	line, err := l.apps[0].Book.HeadOf(t.Context(), l.f.Sites[0].ID)
	if err != nil || line.Current(l.f.Now) || line.Behind() == 0 {
		t.Errorf("a head that was never made says that it is current: %+v, %v", line, err)
	}
}

// TestHeadsAreMadeBesideAnswers: without anybody who looks, heads follow what is written.
func TestHeadsAreMadeBesideAnswers(t *testing.T) {
	l := newTwoServers(t, 30, 19)
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		NewHeads(l.apps[0], func(line string) { t.Error(line) }).Run(ctx)
	}()
	site := l.f.Sites[3].ID
	follows := func() {
		t.Helper()
		for range 400 {
			n, err := l.apps[1].Book.CountSiteHeads(t.Context(), store.HeadList{}, l.f.Now)
			if err != nil {
				t.Fatal(err)
			}
			if n.Behind == 0 && n.All == 30 {
				return
			}
			time.Sleep(50 * time.Millisecond)
		}
		t.Fatal("heads stay behind")
	}
	follows()
	entries, err := l.f.Grow(t.Context(), site)
	if err != nil {
		t.Fatal(err)
	}
	if err := l.Write(t.Context(), 1, site, entries); err != nil {
		t.Fatal(err)
	}
	follows()
	stop()
	<-ended
}
