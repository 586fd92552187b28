package store

import (
	"context"
	"testing"
	"time"

	"sootline"
	"sootline/internal/pgtest"
)

// TestPanicFreesThePen: work that panics in a transaction leaves the book as it
// was, and the next can write.
func TestPanicFreesThePen(t *testing.T) {
	s := open(t, pgtest.Book(t))
	at := sootline.Instant(time.Now())
	site := sootline.NewID(at, [10]byte{1})
	fails := map[string]func(*Tx) error{
		"in the work":   func(*Tx) error { panic("invented") },
		"while writing": func(tx *Tx) error { return tx.Append(site, "laptop", func(*Writer) error { panic("invented") }) },
		"while packing": func(tx *Tx) error {
			return tx.Append(site, "laptop", func(w *Writer) error {
				return w.Add(sootline.Entry{ID: site, Site: site, At: at, Noted: at, By: "A", Body: (*sootline.Note)(nil)})
			})
		},
	}
	for name, fail := range fails {
		t.Run(name, func(t *testing.T) {
			err := func() (err error) {
				defer sootline.Caught(&err)
				return s.Write(context.Background(), fail)
			}()
			if err == nil || sootline.ErrorCode(err) != "" {
				t.Errorf("a panic is told as: %v", err)
			}
			ctx, stop := context.WithTimeout(context.Background(), 20*time.Second)
			defer stop()
			if err := s.Write(ctx, func(tx *Tx) error { return tx.PutSite(site, "Mill") }); err != nil {
				t.Errorf("after a panic the book cannot be written: %v", err)
			}
		})
	}
}
