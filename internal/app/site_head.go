package app

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"sootline"
	"sootline/internal/store"
	"sootline/internal/visit"
)

// SiteSays is what lists of many sites say of one beside its figures.
type SiteSays struct {
	Day       sootline.Day `json:"day"`       // of the site's calendar, for which it was made
	Last      sootline.Day `json:"last"`      // of its latest entry
	Next      string       `json:"next"`      // when the next thing is due, in words
	ZoneDoubt string       `json:"zoneDoubt"` // its days are read in UTC, and why; empty: its zone is known
	Forgotten sootline.Day `json:"forgotten"` // of a visit that was left open; 0: none is
	Customer  string       `json:"customer"`
	Zone      string       `json:"zone"`    // by whose clock times are shown
	Off       []OffSays    `json:"off"`     // the first few points that are out of use, the longest first
	News      []NewsSays   `json:"news"`    // the latest entries to be written down, the last one first
	Noted     []int64      `json:"noted"`   // when these and some more were, Unix milliseconds
	Listens   []string     `json:"listens"` // names of the sources that are kept with the site, sorted
	Trouble   *TroubleSays `json:"trouble"` // not nil: the site cannot be shown, and nothing else is known
}

// OffSays is a point that is out of use.
type OffSays struct {
	Point sootline.ID  `json:"point"`
	Ref   string       `json:"ref"`
	Since sootline.Day `json:"since"`
}

// NewsSays is an entry.
type NewsSays struct {
	Noted int64       `json:"noted"` // Unix milliseconds
	Point sootline.ID `json:"point"`
	Ref   string      `json:"ref"` // of the point, or empty
	Says  string      `json:"says"`
	By    string      `json:"by"`
}

// TroubleSays is why a site cannot be shown.
type TroubleSays struct {
	Code    sootline.Code `json:"code"`
	Message string        `json:"message"`
	Ways    sootline.Ways `json:"ways"`
}

// Err gives it as the error that it was.
func (t *TroubleSays) Err() error {
	if t == nil {
		return nil
	}
	return &sootline.Error{Code: t.Code, Message: t.Message, Ways: t.Ways}
}

const (
	mostOff       = 4  // points out of use that a list names
	mostHeadNews  = 5  // entries that a list tells
	mostNoted     = 20 // entries that a list counts
	troubledHolds = time.Minute
	atStakeMost   = 1 << 30
)

// Says reads what a head says beside its figures. A head that was never made says nothing.
func Says(line *store.HeadLine) (s SiteSays, err error) {
	if line.Trouble != nil {
		s.Trouble = troubleSays(cannotShow(line.SiteLine, line.Trouble))
	}
	if len(line.Said) == 0 || line.Trouble != nil {
		return s, nil
	}
	if err := json.Unmarshal(line.Said, &s); err != nil {
		return s, sootline.Errorf(sootline.Damaged, "have it made anew", "what lists say of site %s cannot be read: %w", line.Name, err).Do(sootline.MakeHeads)
	}
	return s, nil
}

func troubleSays(err error) *TroubleSays {
	return &TroubleSays{sootline.ErrorCode(err), err.Error(), sootline.ErrorWays(err)}
}

// headOf makes the head of a site from its survey, which was judged.
func headOf(line store.SiteLine, survey *Survey) (store.SiteHead, error) {
	list, err := survey.DueList(line)
	if err != nil {
		return store.SiteHead{}, err
	}
	head := store.SiteHead{
		Held: max(line.Entries, survey.Entries()), Made: survey.On, Until: survey.Holds(),
		Customer: survey.Register.Site.Customer, SiteCounts: countsOf(survey, &list),
	}
	head.Stake, head.Needs = atStake(&head.SiteCounts)
	says := saysOf(survey, &list)
	if len(survey.News()) > 0 {
		head.Noted = survey.News()[0].Noted
	}
	if head.Said, err = json.Marshal(says); err != nil {
		return head, err
	}
	head.Days, err = json.Marshal(visit.DueDays(list.Obligations))
	return head, err
}

// countsOf counts what lists show.
func countsOf(survey *Survey, list *DueList) store.SiteCounts {
	r := survey.Register
	c := store.SiteCounts{
		Points: survey.Figures().Points.All, Overdue: list.Count(visit.Overdue), Due: list.Count(visit.Due), Met: list.Count(visit.Met),
		NextDue: list.Next().Day, Questions: len(survey.Asked()), LastVisit: lastVisit(r, survey.Zone),
	}
	c.Defects, c.Mended = r.CountDefects()
	for _, p := range r.Points() {
		if p.Disabled != nil {
			c.Disabled++
		}
	}
	c.Inside, c.WithVerdict = InsideOf(survey)
	for _, g := range ByAction(survey.Judged().Judgements) {
		switch n := len(g.Judgements); g.Action {
		case CleanNow:
			c.CleanNow += n
		case Replace:
			c.Replace += n
		case Leave:
		default:
			c.Later += n
		}
	}
	for i := range survey.Findings() {
		switch f := &survey.Findings()[i]; {
		case f.Weight == sootline.Serious && TellsDefect(f):
			c.Critical++
		case f.Weight == sootline.Serious:
			c.Serious++
		}
	}
	return c
}

// InsideOf counts the points inside their band, and those with a verdict.
func InsideOf(survey *Survey) (inside, all int) {
	for _, j := range survey.Judged().Judgements {
		switch j.Verdict {
		case Inside:
			inside++
			all++
		case Above, Below:
			all++
		}
	}
	return inside, all
}

// lastVisit gives the day on which the last visit that was closed ended.
func lastVisit(r *sootline.Register, zone *time.Location) (last sootline.Day) {
	for _, a := range visit.Attendances(r) {
		if a.Closed != nil {
			last = max(last, sootline.DayOf(a.Closed.At, zone))
		}
	}
	return last
}

// atStake tells how much is at stake at a site, for the order of lists: what needs
// somebody now stands before what is due, and critical defects before all. What cannot
// be shown stands first (see [troubledHead]), and what nobody looked at yet last.
func atStake(c *store.SiteCounts) (stake int, needs bool) {
	now := c.CleanNow + c.Replace + c.Serious
	stake = 1000*c.Critical + 100*now + 10*(c.Overdue+c.Defects) + min(c.Due+c.Later+c.Questions, 9)
	return min(stake, atStakeMost-1), now > 0 || c.Critical > 0 || c.Overdue > 0
}

// BehindWords tells in words how far a head is behind its log or its day; empty: it is not.
func BehindWords(line *store.HeadLine, now time.Time) string {
	if line.Held < 0 || line.Current(now) {
		return ""
	}
	zone := time.UTC
	if says, err := Says(line); err == nil {
		if own, err := Zone(says.Zone); err == nil {
			zone = own
		}
	}
	text := "As of " + line.Made.In(zone).Format("2006-01-02 15:04 MST")
	switch n := line.Behind(); {
	case n == 1:
		text += ": 1 entry that came since is not in it yet"
	case n > 1:
		text += fmt.Sprintf(": %d entries that came since are not in it yet", n)
	}
	return text
}

func saysOf(survey *Survey, list *DueList) SiteSays {
	r := survey.Register
	s := SiteSays{
		Day: list.On, Last: sootline.DayOf(r.Last, survey.Zone), Next: list.Next().String(), ZoneDoubt: r.Site.ZoneDoubt(),
		Forgotten: list.Forgotten(), Customer: r.Site.Customer, Zone: survey.Zone.String(), Listens: listens(r),
	}
	var off []*sootline.Point
	for _, p := range r.Points() {
		if p.Disabled != nil {
			off = append(off, p)
		}
	}
	slices.SortStableFunc(off, func(a, b *sootline.Point) int { return a.Disabled.At.Compare(b.Disabled.At) })
	for _, p := range off[:min(mostOff, len(off))] {
		s.Off = append(s.Off, OffSays{p.ID, p.Ref().String(), sootline.DayOf(p.Disabled.At, survey.Zone)})
	}
	for i, e := range survey.News() {
		if i == mostNoted {
			break
		}
		s.Noted = append(s.Noted, e.Noted.UnixMilli())
		if i >= mostHeadNews {
			continue
		}
		news := NewsSays{Noted: e.Noted.UnixMilli(), Says: sootline.Say(e.Body), By: e.By}
		if p := r.Point(e.Point); p != nil {
			news.Point, news.Ref = p.ID, p.Ref().String()
		}
		s.News = append(s.News, news)
	}
	return s
}

// listens names the sources that are kept with a site to be listened to.
func listens(r *sootline.Register) (names []string) {
	for name, source := range r.Sources {
		if source.Via != "" {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}

// troubledHead is the head of a site that cannot be shown. It is tried again soon.
func troubledHead(line store.SiteLine, trouble error, now time.Time) (store.SiteHead, error) {
	head := store.SiteHead{Held: line.Entries, Made: now, Until: now.Add(troubledHolds), Stake: atStakeMost, Needs: true, Troubled: true}
	var err error
	head.Said, err = json.Marshal(SiteSays{Trouble: troubleSays(trouble)})
	return head, err
}

// makeHead looks at a site and makes its head. What keeps a site from being shown is its
// head too, and is given back beside it.
func (a *App) makeHead(ctx context.Context, line store.SiteLine, look Look) (head store.SiteHead, trouble, err error) {
	trouble = ForSite(ctx, line, func() error {
		survey, err := look(ctx, line)
		if err == nil {
			err = survey.Judge(ctx)
		}
		if err == nil {
			head, err = headOf(line, survey)
		}
		return err
	})
	if gone := ctx.Err(); gone != nil {
		return head, nil, gone
	}
	if trouble != nil {
		head, err = troubledHead(line, trouble, a.Now())
	}
	return head, trouble, err
}
