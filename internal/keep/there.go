package keep

import (
	"context"
	"slices"
	"sync"
	"time"

	"sootline"
)

// Lies tells whether a copy is among those that a place lists, and as large.
func Lies(all []Copy, kept Copy) bool {
	return slices.ContainsFunc(all, func(c Copy) bool { return c.Name() == kept.Name() && c.Size == kept.Size })
}

// Miss compares what is known of a place with what it lists at an instant: what was
// the newest there and is not, is gone from then on, until it is there again.
func (p *PlaceState) Miss(all []Copy, now time.Time) {
	named := func(kept Copy) bool {
		return slices.ContainsFunc(all, func(c Copy) bool { return c.Name() == kept.Name() })
	}
	switch {
	case p.Gone != nil && named(p.Gone.Copy):
		p.Gone = nil
	case p.Gone == nil && p.Last != nil && !named(*p.Last):
		p.Gone = &Gone{Since: now, Copy: *p.Last}
	}
}

// Newest gives when the newest copy began that is known of and that a place lists; the
// zero time where there is none, or where what was kept there is gone. What lies in the
// future was named by a clock that was wrong.
func (p *PlaceState) Newest(all []Copy, now time.Time) (newest time.Time) {
	var known []Copy
	if p.Last != nil {
		known = append(known, *p.Last)
	}
	if p.Passed != nil {
		known = append(known, p.Passed.Copy)
	}
	for _, kept := range known {
		if p.Gone == nil && kept.At.After(newest) && !kept.At.After(now) && Lies(all, kept) {
			newest = kept.At
		}
	}
	return newest
}

// sightWait is how long a listing is waited for by whoever has others to answer.
const sightWait = time.Second

// Sight lists places for those who cannot wait for one that does not answer, as a
// network disk that is away: whoever asks meanwhile is told so at once. It may be used
// by several goroutines; the zero Sight is ready.
type Sight struct {
	mu   sync.Mutex
	asks map[string]*ask // that have no answer yet, by the place
}

type ask struct {
	done chan struct{}
	late bool // somebody waited in vain
	all  []Copy
	err  error
}

// List gives the copies that a place holds now, the newest first.
func (s *Sight) List(place Place) ([]Copy, error) {
	asked, late := s.ask(place)
	if !late {
		select {
		case <-asked.done:
			return asked.all, asked.err
		case <-time.After(sightWait):
		}
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	asked.late = true
	return nil, sootline.Errorf(sootline.Unavailable, "look at its disk or network", "%s does not answer", place)
}

// ask asks a place, or joins those who wait for its answer.
func (s *Sight) ask(place Place) (asked *ask, late bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if under := s.asks[place.String()]; under != nil {
		return under, under.late
	}
	asked = &ask{done: make(chan struct{})}
	if s.asks == nil {
		s.asks = map[string]*ask{}
	}
	s.asks[place.String()] = asked
	go func() {
		defer close(asked.done)
		defer s.answered(place.String())
		defer sootline.Caught(&asked.err)
		ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
		defer cancel()
		asked.all, asked.err = List(ctx, place)
	}()
	return asked, false
}

func (s *Sight) answered(place string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(s.asks, place)
}
