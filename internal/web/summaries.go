package web

import (
	"sync"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// summaries keep one line of every site for Today, also of those whose survey
// was given up: a few kilobytes a site.
type summaries struct {
	mu   sync.Mutex
	kept map[sootline.ID]*summary
}

// summary is what Today says of a site. It is not changed once it is kept.
type summary struct {
	line    siteLine
	noted   []time.Time // of the latest entries, the last one first
	latest  []newsLine  // the first few of them
	more    bool        // the log holds more entries than noted
	entries int
	made    time.Time
	until   time.Time // when more of the log holds, or zero
	trouble error     // why the site could not be shown; nil: it could
}

// troubled is how long it is remembered that a site could not be shown: long enough
// that a bad one does not slow down every look at Today.
const troubled = time.Minute

// mostNewsLines is how many entries Today shows of a site.
const mostNewsLines = 5

// of gives what is kept of a site, nil when nothing is, and whether it is as
// good as new.
func (s *summaries) of(line store.SiteLine, now time.Time) (kept *summary, fresh bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	kept = s.kept[line.ID]
	return kept, kept != nil && kept.entries >= line.Entries && !ended(kept.made, kept.until, now, kept.holds())
}

func (s *summary) holds() time.Duration {
	if s.trouble != nil {
		return troubled
	}
	return oldSurvey
}

// keepTrouble keeps that a site could not be shown.
func (s *summaries) keepTrouble(line store.SiteLine, trouble error, now time.Time) *summary {
	return s.put(line.ID, &summary{line: siteLine{Name: line.Name, Address: "/site/" + line.ID.String()}, entries: line.Entries, made: now, trouble: trouble})
}

// keep makes the summary of a survey and keeps it.
func (s *summaries) keep(line store.SiteLine, survey *app.Survey, now time.Time) *summary {
	made := &summary{line: siteLine{Name: line.Name, Address: siteAddress(survey)}, entries: max(line.Entries, survey.Entries()), made: now, until: survey.Until(), more: line.Entries > len(survey.News())}
	made.line.tell(survey)
	for i, e := range survey.News() {
		made.noted = append(made.noted, e.Noted)
		if i < mostNewsLines {
			made.latest = append(made.latest, newsOf(survey, e))
		}
	}
	return s.put(line.ID, made)
}

func (s *summaries) put(site sootline.ID, made *summary) *summary {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.kept == nil {
		s.kept = map[sootline.ID]*summary{}
	}
	s.kept[site] = made
	return made
}

// troubles counts the sites that could not be shown when they were looked at last.
func (s *summaries) troubles() (n int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, kept := range s.kept {
		if kept.trouble != nil {
			n++
		}
	}
	return n
}

// since is the line with what was written down after an instant.
func (s *summary) since(when time.Time) siteLine {
	line := s.line
	n := 0
	for n < len(s.noted) && s.noted[n].After(when) {
		n++
	}
	line.News = s.latest[:min(n, len(s.latest))]
	switch more := count(n-mostNewsLines, "entry", "entries") + " more"; {
	case n <= mostNewsLines:
	case n == len(s.noted) && s.more:
		line.MoreNews = "and at least " + more
	default:
		line.MoreNews = "and " + more
	}
	return line
}
