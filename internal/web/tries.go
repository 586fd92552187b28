package web

import (
	"strings"
	"sync"
	"time"

	"sootline"
)

// tries bounds how often a wrong password may be tried: from one address, and for one
// name. A right one gives its try back, so that many people behind one address sign in as they like.
type tries struct {
	mu    sync.Mutex
	from  map[string]*bucket
	named map[string]*bucket
}

// bucket holds the tries that are left.
type bucket struct {
	left float64
	at   time.Time
}

// pace is how many tries there are at once, and how long it takes until there is
// another.
type pace struct {
	atOnce float64
	every  time.Duration
}

// A name has more at once than an address, so that one who guesses does not keep
// somebody out with a handful of tries; and then one a minute: 1,440 a day, of
// passwords that have fifteen characters.
var (
	fromPace  = pace{triesAtOnce, 12 * time.Second}
	namedPace = pace{20, time.Minute}
)

const (
	triesAtOnce = 5
	mostBuckets = 10000
)

func newTries() *tries {
	return &tries{from: map[string]*bucket{}, named: map[string]*bucket{}}
}

// begin takes a try from an address for a name; right gives it back.
func (t *tries) begin(address, name string, now time.Time) (right func(), err error) {
	name = strings.ToLower(strings.Join(strings.Fields(name), " "))
	t.mu.Lock()
	defer t.mu.Unlock()
	from := fromPace.find(t.from, address, now)
	named := namedPace.find(t.named, name, now)
	switch {
	case from.left < 1:
		return nil, sootline.Errorf(tooMany, "", "too many tries from this address; wait a minute")
	case named.left < 1:
		return nil, sootline.Errorf(tooMany, "", "too many tries for this name; wait a minute")
	}
	from.left--
	named.left--
	return func() {
		t.mu.Lock()
		defer t.mu.Unlock()
		from.left, named.left = from.left+1, named.left+1 // find bounds them
	}, nil
}

// find gives the bucket of a key, filled up to now.
func (p pace) find(all map[string]*bucket, key string, now time.Time) *bucket {
	b := all[key]
	if b == nil {
		if len(all) >= mostBuckets {
			p.forget(all, now)
		}
		b = &bucket{p.atOnce, now}
		all[key] = b
	}
	if since := now.Sub(b.at); since > 0 {
		b.left, b.at = b.left+float64(since)/float64(p.every), now
	}
	b.left = min(b.left, p.atOnce)
	return b
}

// forget leaves out what has all its tries again; where that is none, somebody
// tries from very many addresses, and all begin anew.
func (p pace) forget(all map[string]*bucket, now time.Time) {
	for key, b := range all {
		if b.left+float64(now.Sub(b.at))/float64(p.every) >= p.atOnce {
			delete(all, key)
		}
	}
	if len(all) >= mostBuckets {
		clear(all)
	}
}
