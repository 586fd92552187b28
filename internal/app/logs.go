package app

import (
	"container/list"
	"context"
	"iter"
	"maps"
	"sync"

	"sootline"
	"sootline/internal/store"
)

// Logs keeps decoded logs for all faces, as many as fit into so many bytes. A
// log grows by the lines that stations added since it was looked at last; nothing
// is decoded twice while it is kept. It may be used by several goroutines.
type Logs struct {
	most int // bytes

	mu    sync.Mutex
	sites map[sootline.ID]*list.Element // of *keptLog
	used  *list.List                    // the one used last in front
	bytes int

	customers map[sootline.ID]namedCustomer
}

// namedCustomer is the customer that a log names, as long as it has so many entries.
type namedCustomer struct {
	entries int
	name    string
}

// keptLog is the log of one site as far as it was read. Its lock is held while it
// is read on, so that many who ask at once wait for one reading.
type keptLog struct {
	site sootline.ID
	mu   sync.Mutex
	readLog
	size int // bytes, guarded by the lock of all
}

// MostLogs is how many bytes of decoded logs one program keeps: a site of a
// million entries, and some more.
const MostLogs = 512 << 20

// NewLogs makes room for decoded logs of so many bytes in all.
func NewLogs(most int) *Logs {
	return &Logs{most: most, sites: map[sootline.ID]*list.Element{}, used: list.New(), customers: map[sootline.ID]namedCustomer{}}
}

// entryBytes is about what a decoded entry takes with its place in the order,
// beside its samples and texts; measured by TestBytesOfLogs.
const entryBytes = 330

// newLines reads the lines that stations added after the ones that were seen.
type newLines func(seen map[string]int64) iter.Seq2[store.Line, error]

// of gives a site's log as the book has it now.
func (l *Logs) of(ctx context.Context, book *store.Store, site sootline.ID) (*sootline.Log, error) {
	line, err := book.Site(ctx, site)
	if err != nil {
		return nil, err
	}
	if line == nil {
		return nil, sootline.NoSite()
	}
	lines := func(seen map[string]int64) iter.Seq2[store.Line, error] { return book.LinesAfter(ctx, site, seen) }
	if l == nil {
		read, err := readLog{sootline.NewLog(nil), nil}.on(line.Entries, lines)
		if err != nil {
			return nil, inSite(ctx, *line, err)
		}
		return read.log, nil
	}
	kept := l.place(site)
	kept.mu.Lock()
	defer kept.mu.Unlock()
	read, err := kept.on(line.Entries, lines)
	if err != nil {
		return nil, inSite(ctx, *line, err)
	}
	if read.log != kept.log {
		kept.readLog = read
		l.resize(kept, read.log.Len()*entryBytes)
	}
	return read.log, nil
}

// in gives a site's log as a transaction sees it. It is not kept: what the
// transaction wrote may yet come to nothing.
func (l *Logs) in(tx *store.Tx, site sootline.ID) (*sootline.Log, error) {
	line, err := tx.Site(site)
	if err != nil {
		return nil, err
	}
	if line == nil {
		return nil, sootline.NoSite()
	}
	before := readLog{sootline.NewLog(nil), nil}
	if l != nil {
		kept := l.place(site)
		kept.mu.Lock()
		before = kept.readLog
		kept.mu.Unlock()
	}
	read, err := before.on(line.Entries, func(seen map[string]int64) iter.Seq2[store.Line, error] { return tx.LinesAfter(site, seen) })
	return read.log, err
}

// readLog is a log as far as it was read. It is not changed.
type readLog struct {
	log  *sootline.Log
	seen map[string]int64 // by station, the number of the last line that was read
}

// on reads on until the log has as many entries as the book has of it, or more.
// Where an import filled a gap before lines that were read, it reads all anew.
func (r readLog) on(entries int, lines newLines) (readLog, error) {
	if r.log.Len() == entries {
		return r, nil
	}
	more, err := r.with(lines)
	if err != nil || more.log.Len() >= entries {
		return more, err
	}
	return readLog{sootline.NewLog(nil), nil}.with(lines)
}

// with gives the log with the lines that are new.
func (r readLog) with(lines newLines) (readLog, error) {
	seen := map[string]int64{}
	maps.Copy(seen, r.seen)
	var more []sootline.Entry
	for line, err := range lines(r.seen) {
		if err != nil {
			return r, err
		}
		more = append(more, line.Entry)
		seen[line.Entry.Station] = max(seen[line.Entry.Station], line.Entry.Seq)
	}
	return readLog{r.log.With(more), seen}, nil
}

// customer gives the customer that a site's log names, where it is kept.
func (l *Logs) customer(line store.SiteLine) (name string, known bool) {
	if l == nil {
		return "", false
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	kept, known := l.customers[line.ID]
	return kept.name, known && kept.entries == line.Entries
}

func (l *Logs) keepCustomer(line store.SiteLine, name string) {
	if l == nil {
		return
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	l.customers[line.ID] = namedCustomer{line.Entries, name}
}

// keeps reports whether something of a site's log is kept.
func (l *Logs) keeps(site sootline.ID) bool {
	if l == nil {
		return false
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	at := l.sites[site]
	return at != nil && at.Value.(*keptLog).size > 0
}

// place finds what is kept of a site, or begins it.
func (l *Logs) place(site sootline.ID) *keptLog {
	l.mu.Lock()
	defer l.mu.Unlock()
	if at := l.sites[site]; at != nil {
		l.used.MoveToFront(at)
		return at.Value.(*keptLog)
	}
	kept := &keptLog{site: site, readLog: readLog{sootline.NewLog(nil), nil}}
	l.sites[site] = l.used.PushFront(kept)
	return kept
}

// resize notes how large a log has become, and gives up those used longest ago
// while there is too much. The one in hand stays.
func (l *Logs) resize(kept *keptLog, size int) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.sites[kept.site] == nil {
		return // it was given up while it was read
	}
	l.bytes += size - kept.size
	kept.size = size
	for at := l.used.Back(); at != nil && l.bytes > l.most; {
		oldest, before := at.Value.(*keptLog), at.Prev()
		if oldest != kept {
			l.bytes -= oldest.size
			l.used.Remove(at)
			delete(l.sites, oldest.site)
		}
		at = before
	}
}
