package web

import (
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// tries bounds how often a password may be tried: from one address, and in all,
// since each try costs memory and time on purpose.
type tries struct {
	mu   sync.Mutex
	from map[string]*rate.Limiter
	slot chan struct{}
}

const (
	triesAtOnce  = 5
	tryEvery     = 12 * time.Second
	mostFrom     = 10000
	hashesAtOnce = 2
)

func newTries() *tries {
	return &tries{from: map[string]*rate.Limiter{}, slot: make(chan struct{}, hashesAtOnce)}
}

// allow reports whether another try from an address may go on now.
func (t *tries) allow(address string, now time.Time) bool {
	t.mu.Lock()
	defer t.mu.Unlock()
	limit := t.from[address]
	if limit == nil {
		if len(t.from) >= mostFrom {
			t.forget(now)
		}
		limit = rate.NewLimiter(rate.Every(tryEvery), triesAtOnce)
		t.from[address] = limit
	}
	return limit.AllowN(now, 1)
}

// forget leaves out the addresses that have all their tries again; where that
// is none, somebody tries from very many addresses, and all begin anew.
func (t *tries) forget(now time.Time) {
	for address, limit := range t.from {
		if limit.TokensAt(now) >= triesAtOnce {
			delete(t.from, address)
		}
	}
	if len(t.from) >= mostFrom {
		clear(t.from)
	}
}
