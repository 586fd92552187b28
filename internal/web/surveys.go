package web

import (
	"context"
	"net/http"
	"sync"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// surveys keeps the sites that people look at folded and judged. A log only
// grows: a survey holds for whoever saw no more entries of its site in the book
// than it was made of, so that one that is made while many write and look is there
// for all who came before. It is made anew when it has grown old, since dates pass
// without entries too.
type surveys struct {
	make func(context.Context, store.SiteLine) (*app.Survey, error)
	now  func() time.Time
	most int // bytes

	mu    sync.Mutex
	slots map[sootline.ID]*slot
	bytes int
}

// slot is the place of one site. Many who ask at once wait for one fold.
type slot struct {
	turn    chan struct{} // taken while the survey is made: whoever waits for it may go
	survey  *app.Survey
	entries int
	made    time.Time
	until   time.Time // when more of its log holds, or zero
	rows    func() []*pointRow
	size    int // bytes, guarded by the lock of all

	used time.Time // guarded by the lock of all
}

const (
	mostSurveyed = 256 << 20 // bytes
	surveyBytes  = 400       // about what an entry takes in a register and its judgement
	oldSurvey    = 10 * time.Minute
)

// of gives the survey of a site with its rows of points.
func (s *surveys) of(ctx context.Context, line store.SiteLine) (*app.Survey, func() []*pointRow, error) {
	place := s.place(line.ID)
	select {
	case place.turn <- struct{}{}:
	case <-ctx.Done():
		return nil, nil, ctx.Err()
	}
	defer func() { <-place.turn }()
	now := s.now()
	if place.survey == nil || place.entries < line.Entries || ended(place.made, place.until, now, oldSurvey) {
		survey, err := s.make(ctx, line)
		if err != nil {
			return nil, nil, err
		}
		place.survey, place.entries, place.made = survey, max(line.Entries, survey.Entries()), now
		place.until = survey.Until()
		place.rows = sync.OnceValue(func() []*pointRow { return pointRows(survey) })
		s.resize(place, line.Entries*surveyBytes)
	}
	return place.survey, place.rows, nil
}

// ended reports whether what was made then holds no more now: it is old, or of another
// clock, or more of the log holds.
func ended(made, until, now time.Time, old time.Duration) bool {
	return now.Sub(made) > old || now.Before(made) || !until.IsZero() && !now.Before(until)
}

// place finds the slot of a site, or begins it.
func (s *surveys) place(site sootline.ID) *slot {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.slots == nil {
		s.slots = map[sootline.ID]*slot{}
	}
	place := s.slots[site]
	if place == nil {
		place = &slot{turn: make(chan struct{}, 1)}
		s.slots[site] = place
	}
	place.used = s.now()
	return place
}

// resize notes how large a survey has become, and gives up those used longest ago
// while all take too much. The one in hand stays.
func (s *surveys) resize(place *slot, size int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.bytes += size - place.size
	place.size = size
	for s.bytes > s.most {
		var oldest sootline.ID
		for id, other := range s.slots {
			if other != place && (oldest.Zero() || other.used.Before(s.slots[oldest].used)) {
				oldest = id
			}
		}
		if oldest.Zero() {
			return
		}
		s.bytes -= s.slots[oldest].size
		delete(s.slots, oldest)
	}
}

func (s *surveys) len() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return len(s.slots)
}

// survey gives the site that the address names.
func (s *Server) survey(r *http.Request) (*app.Survey, func() []*pointRow, error) {
	id, err := sootline.ParseID(r.PathValue("site"))
	if err != nil {
		return nil, nil, sootline.Errorf(sootline.NotFound, "choose one under Today", "there is no such site")
	}
	return s.surveyOf(r.Context(), id)
}

// judged gives the site that the address names, judged: the work ends with the
// request, and is there for the next.
func (s *Server) judged(r *http.Request) (*app.Survey, func() []*pointRow, error) {
	survey, rows, err := s.survey(r)
	if err == nil {
		err = survey.Judge(r.Context())
	}
	return survey, rows, err
}

// surveyOf gives the site of an id.
func (s *Server) surveyOf(ctx context.Context, id sootline.ID) (*app.Survey, func() []*pointRow, error) {
	line, err := s.asIn(ctx).SiteOf(ctx, id)
	if err != nil {
		return nil, nil, err
	}
	if line != nil {
		return s.surveyAt(ctx, *line)
	}
	return nil, nil, sootline.Errorf(sootline.NotFound, "choose one under Today", "there is no such site")
}

// surveyAt gives the site of a line; where it cannot be shown, an error that says why.
func (s *Server) surveyAt(ctx context.Context, line store.SiteLine) (survey *app.Survey, rows func() []*pointRow, err error) {
	err = app.ForSite(ctx, line, func() (err error) {
		survey, rows, err = s.surveys.of(ctx, line)
		return err
	})
	return survey, rows, err
}

// pointOf gives the point that the address names, also one that was removed.
func pointOf(r *http.Request, survey *app.Survey) (*sootline.Point, error) {
	id, err := sootline.ParseID(r.PathValue("point"))
	if err == nil {
		if p := survey.Register.Point(id); p != nil {
			return p, nil
		}
	}
	return nil, sootline.Errorf(sootline.NotFound, "look for it in the table of points", "there is no such point on this site")
}
