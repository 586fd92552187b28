package firm

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"testing"

	"sootline"
	"sootline/internal/store"
)

// heard keeps what a judge tells, where a test wants it to find something.
type heard struct {
	mu   sync.Mutex
	said []string
}

func (*heard) Helper() {}

func (h *heard) Errorf(format string, args ...any) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.said = append(h.said, fmt.Sprintf(format, args...))
}

// folded is a server whose heads are folded whole as they are written, with one mistake
// or none.
type folded struct {
	f       *Firm
	mistake string
	mu      sync.Mutex
	heads   map[sootline.ID]Head
	made    map[sootline.ID]string // the day for which each was made
}

func newFolded(t *testing.T, f *Firm, mistake string) *folded {
	l := &folded{f: f, mistake: mistake, heads: map[sootline.ID]Head{}, made: map[sootline.ID]string{}}
	if err := l.make(t.Context()); err != nil {
		t.Fatal(err)
	}
	return l
}

func (l *folded) day() string { return l.f.Now.Format("2006-01-02") }

func (l *folded) make(ctx context.Context) error {
	for _, p := range l.f.Sites {
		if err := l.refold(ctx, p.ID); err != nil {
			return err
		}
	}
	return nil
}

func (l *folded) refold(ctx context.Context, site sootline.ID) error {
	l.mu.Lock() // from the reading on: else a head of fewer entries may come after one of more
	defer l.mu.Unlock()
	log, err := l.f.Book.Entries(ctx, site)
	if err != nil {
		return err
	}
	head := Truth(l.seen(log), l.f.Now)
	head.Entries = len(log)
	l.heads[site], l.made[site] = head, l.day()
	return nil
}

// seen is the log with what a mistake passes over left out.
func (l *folded) seen(log []sootline.Entry) []sootline.Entry {
	var kept []sootline.Entry
	for i := range log {
		amends := !sootline.Amends(log[i].Body).Zero()
		late := log[i].Noted.Sub(log[i].At).Hours() > 24
		if l.mistake == "amendments" && amends || l.mistake == "late" && late {
			continue
		}
		kept = append(kept, log[i])
	}
	return kept
}

func (l *folded) Write(ctx context.Context, writer int, site sootline.ID, entries []sootline.Entry) error {
	if err := l.keep(ctx, writer, site, entries); err != nil {
		return err
	}
	return l.refold(ctx, site)
}

func (l *folded) keep(ctx context.Context, writer int, site sootline.ID, entries []sootline.Entry) error {
	if l.mistake == "lost" && writer == 1 && len(entries) == 1 {
		return nil
	}
	if l.mistake == "twice" && writer == 1 && len(entries) == 1 {
		if err := l.append(ctx, "again", site, entries); err != nil {
			return err
		}
	}
	return l.append(ctx, fmt.Sprint("server", writer), site, entries)
}

func (l *folded) append(ctx context.Context, station string, site sootline.ID, entries []sootline.Entry) error {
	return l.f.Book.WriteTo(ctx, site, func(tx *store.Tx) error { return Append(tx, l.f.Book, site, station, entries) })
}

func (l *folded) WriteAndDie(ctx context.Context, site sootline.ID, entries []sootline.Entry) error {
	if err := l.append(ctx, "server0", site, entries); err != nil || l.mistake == "death" {
		return err
	}
	return l.refold(ctx, site)
}

func (l *folded) Rebuild(ctx context.Context) error {
	if l.mistake == "rebuild" {
		l.heads = map[sootline.ID]Head{}
		return nil
	}
	return l.make(ctx)
}

func (l *folded) Heads(ctx context.Context, f *Firm, sites []sootline.ID) (map[sootline.ID]Head, error) {
	got := map[sootline.ID]Head{}
	for _, site := range sites {
		if l.made[site] != "" && l.made[site] != l.day() && l.mistake != "days" {
			if err := l.refold(ctx, site); err != nil {
				return nil, err
			}
		}
		if head, ok := l.heads[site]; ok {
			got[site] = head
		}
	}
	if l.mistake == "more" {
		got[f.Sites[0].ID], got[f.Sites[1].ID] = l.heads[f.Sites[0].ID], l.heads[f.Sites[1].ID]
	}
	return got, nil
}

// TestPlayStands: heads that are the truth by making stand.
func TestPlayStands(t *testing.T) {
	f := someFirm(t, 60, 5)
	if stood := Play(t.Context(), t, f, newFolded(t, f, ""), 40); stood != 40 {
		t.Errorf("%d steps of 40 stood", stood)
	}
}

// TestPlayFindsMistakes: each planted mistake is found, and by what it does.
func TestPlayFindsMistakes(t *testing.T) {
	for mistake, found := range map[string]string{
		"days": "its head is not", "amendments": "its head is not", "late": "its head is not", "death": "its head is not",
		"rebuild": "has no head", "lost": "is in the log 0 times", "twice": "is in the log 2 times", "more": "was not asked for",
	} {
		t.Run(mistake, func(t *testing.T) {
			f, h := someFirm(t, 60, 6), &heard{}
			stood := Play(t.Context(), h, f, newFolded(t, f, mistake), 60)
			if stood == 60 || !strings.Contains(strings.Join(h.said, "\n"), found) {
				t.Errorf("it is not found in %d steps; told: %v", stood, h.said)
			}
			t.Logf("found after %d steps", stood)
		})
	}
}

// TestCompareNamesEachField: whatever field of a head is wrong is named.
func TestCompareNamesEachField(t *testing.T) {
	site := sootline.DerivedID(someDay, nil)
	for _, wrong := range []Head{{Entries: 1}, {LastVisit: 1}, {Overdue: 1}, {Due: 1}, {NextDue: 1}, {CleanNow: 1}, {OpenDefects: 1}, {Mended: 1}, {Disabled: 1}} {
		h := &heard{}
		if n := Compare(h, map[sootline.ID]Head{site: {}}, map[sootline.ID]Head{site: wrong}); n != 1 || len(h.said) != 1 {
			t.Errorf("%+v passes: %d, %v", wrong, n, h.said)
		}
	}
}
