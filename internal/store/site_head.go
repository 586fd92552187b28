package store

import (
	"context"
	"time"

	"github.com/klauspost/compress/zstd"

	"sootline"
)

// SiteHead is what lists of many sites show of a site, as it was made of its log at an
// instant. It can be made anew from the log at any time.
type SiteHead struct {
	Held        int       // of how many entries it was made; below zero: it was never made
	Made, Until time.Time // when, and until when it holds if nothing is written
	Stake       int       // what is at stake: lists have the most first
	Needs       bool      // something needs somebody now
	Troubled    bool      // the site cannot be shown
	Customer    string    // whose site it is; read from the book as it is searched
	Noted       time.Time // when the latest entry was written down
	SiteCounts
	Said []byte // what else lists show, as JSON
	Days []byte // what is due by day, as JSON; written with the rest, read by [Store.SiteDays]
}

// SiteCounts are the figures of a head.
type SiteCounts struct {
	Points, Overdue, Due, Met    int
	NextDue                      sootline.Day // 0: nothing has a last day
	CleanNow, Replace, Later     int          // points
	Inside, WithVerdict          int          // points
	Defects, Critical, Mended    int          // open, of these critical; waiting for their retest
	Disabled, Serious, Questions int          // points, findings of the register, open ones
	LastVisit                    sootline.Day // 0: none was closed
}

// HeadLine is a line of a list of many sites.
type HeadLine struct {
	SiteLine
	SiteHead
}

// Behind tells how many entries of the log are not in the head yet.
func (l *HeadLine) Behind() int {
	if l.Held < 0 {
		return l.Entries
	}
	return max(0, l.Entries-l.Held)
}

// clockSlack is how far the clocks of several servers may lie apart.
const clockSlack = time.Hour

// Current reports whether the head says what the log says at an instant.
func (l *HeadLine) Current(now time.Time) bool {
	return l.Held == l.Entries && now.Before(l.Until) && !l.Made.After(now.Add(clockSlack))
}

// noTurn is the turn of a site at which nothing has a last day: after all that have one.
const noTurn = 1 << 30

func (h *SiteHead) turn() int {
	switch {
	case h.Troubled:
		return 0
	case h.NextDue.Known():
		return int(h.NextDue)
	}
	return noTurn
}

// PutSiteHeads writes heads. One that was made of less than the one that is there, or no
// later, changes nothing: somebody else was there before.
func (s *Store) PutSiteHeads(ctx context.Context, heads map[sootline.ID]SiteHead) error {
	enc, err := newEncoder()
	if err != nil {
		return err
	}
	return s.WriteRows(ctx, func(tx *Tx) error {
		for _, site := range sortedIDs(heads) { // in one order, so that no two wait for each other
			if err := tx.putSiteHead(site, heads[site], enc); err != nil {
				return err
			}
		}
		return nil
	})
}

func (tx *Tx) putSiteHead(site sootline.ID, h SiteHead, enc *zstd.Encoder) error {
	c := &h.SiteCounts
	put, err := tx.changed(`
		UPDATE site_head SET held = $2, made = $3, until = $4, claimed = 0, stake = $5, needs = $6, troubled = $7, customer = $8, noted = $9, turn = $10,
			points = $11, overdue = $12, due = $13, met = $14, next_due = $15, clean_now = $16, replacing = $17, later = $18, inside = $19, with_verdict = $20,
			defects = $21, critical = $22, mended = $23, disabled = $24, serious = $25, questions = $26, last_visit = $27
		WHERE site = $1 AND (held < $2 OR held = $2 AND made <= $3 OR held > entries OR made > $28)`,
		site.String(), h.Held, h.Made.UnixMilli(), h.Until.UnixMilli(), h.Stake, whether(h.Needs), whether(h.Troubled), fold(h.Customer), millis(h.Noted), h.turn(),
		c.Points, c.Overdue, c.Due, c.Met, int(c.NextDue), c.CleanNow, c.Replace, c.Later, c.Inside, c.WithVerdict,
		c.Defects, c.Critical, c.Mended, c.Disabled, c.Serious, c.Questions, int(c.LastVisit), h.Made.Add(clockSlack).UnixMilli())
	if err != nil || !put {
		return err
	}
	_, err = tx.changed(`INSERT INTO site_said (site, said, days) VALUES ($1, $2, $3) ON CONFLICT (site) DO UPDATE SET said = excluded.said, days = excluded.days`, site.String(), string(h.Said), enc.EncodeAll(h.Days, nil))
	return err
}

// ClaimSiteHeads takes the making of these heads upon itself, until an instant, and gives
// those that nobody else has taken. Whoever dies meanwhile leaves them to others then.
func (s *Store) ClaimSiteHeads(ctx context.Context, sites []sootline.ID, now, until time.Time) (mine []sootline.ID, err error) {
	err = s.WriteRows(ctx, func(tx *Tx) error {
		mine = nil // it may be run again
		for _, site := range sites {
			// A claim further ahead than any is made by a clock that was set back since.
			taken, err := tx.changed("UPDATE site_head SET claimed = $2 WHERE site = $1 AND (claimed <= $3 OR claimed > $4)", site.String(), until.UnixMilli(), now.UnixMilli(), until.Add(clockSlack).UnixMilli())
			if err != nil {
				return err
			}
			if taken {
				mine = append(mine, site)
			}
		}
		return nil
	})
	return mine, err
}

// AgeSiteHeads lets no head hold any more, so that all are made anew, and counts anew how
// much each log holds.
func (s *Store) AgeSiteHeads(ctx context.Context) error {
	return s.Write(ctx, func(tx *Tx) error {
		if err := tx.countSites(); err != nil {
			return err
		}
		_, err := tx.changed("UPDATE site_head SET until = 0, claimed = 0")
		return err
	})
}

// countSites counts for each site what the index says that its log holds.
func (tx *Tx) countSites() error {
	if _, err := tx.changed("INSERT INTO site_head (site, folded) SELECT id, folded FROM site WHERE id NOT IN (SELECT site FROM site_head)"); err != nil {
		return err
	}
	_, err := tx.changed(countEntries)
	return err
}

// countEntries lets the row of a site follow the index.
const countEntries = `
	UPDATE site_head SET
		entries = (SELECT COALESCE(SUM(entries), 0) FROM station_log WHERE station_log.site = site_head.site),
		stations = (SELECT COUNT(*) FROM station_log WHERE station_log.site = site_head.site),
		ended = (SELECT MAX(ended) FROM station_log WHERE station_log.site = site_head.site)`

// countSite counts what the log of a site holds, in the transaction that wrote to it.
func (tx *Tx) countSite(site string) error {
	_, err := tx.changed(countEntries+" WHERE site = $1", site)
	return err
}

// Counted gives how many entries the index counts in a site's log.
func (s *Store) Counted(ctx context.Context, site sootline.ID) (n int, err error) {
	err = s.read.QueryRowContext(ctx, "SELECT COALESCE(SUM(entries), 0) FROM station_log WHERE site = $1", site.String()).Scan(&n)
	if err != nil {
		return 0, translate(s.path, "read", err)
	}
	return n, nil
}

// miscounted finds a site whose row does not say what the index says; empty: there is none.
func (v view) miscounted() (site string, err error) {
	sites, err := gathered(v, func(scan func(...any) error) (id string, err error) { return id, scan(&id) }, `
		SELECT site.id FROM site LEFT JOIN site_head ON site_head.site = site.id
		LEFT JOIN (SELECT site, SUM(entries) AS entries, COUNT(*) AS stations, MAX(ended) AS ended FROM station_log GROUP BY site) AS indexed ON indexed.site = site.id
		WHERE site_head.site IS NULL OR site_head.folded <> site.folded OR site_head.entries <> COALESCE(indexed.entries, 0)
			OR site_head.stations <> COALESCE(indexed.stations, 0) OR COALESCE(site_head.ended, 0) <> COALESCE(indexed.ended, 0)
		ORDER BY site.id LIMIT 1`)
	if err != nil || len(sites) == 0 {
		return "", err
	}
	return sites[0], nil
}

func whether(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

func millis(t time.Time) int64 {
	if t.IsZero() {
		return 0
	}
	return t.UnixMilli()
}

// scanHeadLine reads a line; one that is damaged hides no other.
func (v view) scanHeadLine(scan func(...any) error) (l HeadLine, _ error) {
	var id, folded, said string
	var last any
	var made, until, noted int64
	var needs, troubled int
	c := &l.SiteCounts
	err := scan(&id, &l.Name, &folded, &l.Entries, &l.Stations, &last, &l.Held, &made, &until, &l.Stake, &needs, &troubled, &l.Customer, &noted,
		&c.Points, &c.Overdue, &c.Due, &c.Met, &c.NextDue, &c.CleanNow, &c.Replace, &c.Later, &c.Inside, &c.WithVerdict,
		&c.Defects, &c.Critical, &c.Mended, &c.Disabled, &c.Serious, &c.Questions, &c.LastVisit, &said)
	if err == nil {
		err = l.SiteLine.read(id, folded, last)
	}
	if err != nil {
		l.Trouble = damaged(v.path, err)
	}
	l.Made, l.Until, l.Needs, l.Troubled, l.Said = time.UnixMilli(made).UTC(), time.UnixMilli(until).UTC(), needs == 1, troubled == 1, []byte(said)
	if noted != 0 {
		l.Noted = time.UnixMilli(noted).UTC()
	}
	return l, nil
}
