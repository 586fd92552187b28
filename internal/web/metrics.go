package web

import (
	"bytes"
	"fmt"
	"net/http"
	"runtime"
	"slices"
	"sync"
	"time"

	"sootline/internal/store"
)

// counts are what /metrics tells: requests by address pattern and status, and
// how long they took.
type counts struct {
	mu    sync.Mutex
	kinds map[countKind]*tally
}

type countKind struct {
	pattern string
	status  int
}

type tally struct {
	n       int
	seconds float64
	within  [8]int
}

// bounds gives the upper ends of the buckets, in seconds; 0.05 is the goal.
func bounds() [8]float64 { return [...]float64{0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 1, 5} }

func newCounts() *counts { return &counts{kinds: map[countKind]*tally{}} }

func (c *counts) add(pattern string, status int, took time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	kind := countKind{pattern, status}
	t := c.kinds[kind]
	if t == nil {
		t = &tally{}
		c.kinds[kind] = t
	}
	t.n++
	t.seconds += took.Seconds()
	for i, bound := range bounds() {
		if took.Seconds() <= bound {
			t.within[i]++
		}
	}
}

// write gives the Prometheus text format, version 0.0.4.
func (c *counts) write(b *bytes.Buffer) {
	c.mu.Lock()
	defer c.mu.Unlock()
	kinds := make([]countKind, 0, len(c.kinds))
	for kind := range c.kinds {
		kinds = append(kinds, kind)
	}
	slices.SortFunc(kinds, func(a, b countKind) int {
		return slices.Compare([]string{a.pattern, fmt.Sprint(a.status)}, []string{b.pattern, fmt.Sprint(b.status)})
	})
	b.WriteString("# HELP sootline_request_seconds How long requests took.\n# TYPE sootline_request_seconds histogram\n")
	for _, kind := range kinds {
		t := c.kinds[kind]
		labels := fmt.Sprintf("route=%q,status=\"%d\"", kind.pattern, kind.status)
		for i, bound := range bounds() {
			fmt.Fprintf(b, "sootline_request_seconds_bucket{%s,le=\"%g\"} %d\n", labels, bound, t.within[i])
		}
		fmt.Fprintf(b, "sootline_request_seconds_bucket{%s,le=\"+Inf\"} %d\n", labels, t.n)
		fmt.Fprintf(b, "sootline_request_seconds_sum{%s} %g\nsootline_request_seconds_count{%s} %d\n", labels, t.seconds, labels, t.n)
	}
}

// metrics answers programs on this machine, and managers.
func (s *Server) metrics(w http.ResponseWriter, r *http.Request) error {
	if !s.remote(r).IsLoopback() && s.as(r).Who.MayKeepBook() != nil {
		return s.nowhere(w, r)
	}
	var b bytes.Buffer
	s.counts.write(&b)
	var memory runtime.MemStats
	runtime.ReadMemStats(&memory)
	fmt.Fprintf(&b, "# HELP sootline_surveys_held Sites that are kept folded and judged.\n# TYPE sootline_surveys_held gauge\nsootline_surveys_held %d\n", s.surveys.len())
	heads, err := s.App.CountSiteHeads(r.Context(), store.HeadList{})
	if err != nil {
		return err
	}
	fmt.Fprintf(&b, "# HELP sootline_sites_not_shown Sites that could not be shown when they were looked at last.\n# TYPE sootline_sites_not_shown gauge\nsootline_sites_not_shown %d\n", heads.Troubled)
	fmt.Fprintf(&b, "# HELP sootline_sites_behind Sites of which lists do not say yet what was written or what the day brings.\n# TYPE sootline_sites_behind gauge\nsootline_sites_behind %d\n", heads.Behind)
	fmt.Fprintf(&b, "# HELP sootline_memory_bytes Memory taken from the system.\n# TYPE sootline_memory_bytes gauge\nsootline_memory_bytes %d\n", memory.Sys)
	if err := s.backupAges(&b); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/plain; version=0.0.4; charset=utf-8")
	_, err = w.Write(b.Bytes())
	return err
}

// health says whether the book can be read and written to: whoever watches over the
// server must not hear that all is well while nothing can be written down. Where
// something is amiss it says so in a sentence, with status 503.
func (s *Server) health(w http.ResponseWriter, r *http.Request) error {
	_, err := s.App.People(r.Context())
	if err == nil {
		err = s.App.Book.Writable(r.Context())
	}
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	said := "ok"
	if err != nil {
		s.noteTrouble(r, err)
		said = s.told(visitorOf(r), err)
		w.WriteHeader(http.StatusServiceUnavailable)
	}
	_, err = w.Write([]byte(said + "\n"))
	return err
}
