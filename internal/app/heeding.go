package app

import (
	"context"
	"os"
	"sync"
)

// heeding is whose work the reading of files is: it ends with their context, while
// the files stay open for the next. Outside of any work it does not end.
type heeding struct {
	mu  sync.Mutex
	ctx context.Context
}

// during has what is read heed a context, until the function that it gives is called.
func (h *heeding) during(ctx context.Context) (over func()) {
	set := func(ctx context.Context) {
		h.mu.Lock()
		defer h.mu.Unlock()
		h.ctx = ctx
	}
	set(ctx)
	return func() { set(nil) }
}

// err is why reading is to end, or nil.
func (h *heeding) err() error {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.ctx == nil {
		return nil
	}
	return h.ctx.Err()
}

// unreadable puts a listing's trouble into words, unless it is only that nobody
// waits for it any more.
func (h *heeding) unreadable(err error) error {
	if over := h.err(); over != nil {
		return over
	}
	return unreadable(err)
}

// heedingFile is a file that is read as long as somebody wants it.
type heedingFile struct {
	*os.File
	reads *heeding
}

// ReadAt reads, or says that nobody waits for it any more.
func (f *heedingFile) ReadAt(p []byte, at int64) (int, error) {
	if err := f.reads.err(); err != nil {
		return 0, err
	}
	return f.File.ReadAt(p, at)
}
