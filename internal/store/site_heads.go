package store

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"sootline"
)

// HeadList says which sites a list has.
type HeadList struct {
	Bound      bool          // only those of Sites
	Sites      []sootline.ID // at most some 30,000, which is what the databases take
	Words      []string      // all of them are in the name
	Customer   string        // empty: of any
	Needs      bool          // only where something needs somebody now
	Troubled   bool          // only what cannot be shown
	ByTurn     bool          // what is due first stands first, and not what is at stake
	Skip, Most int           // of the order, how many are passed over and how many given
}

// where puts the conditions of a list together: fixed text, and what is looked for as values.
func (q *HeadList) where() (text string, args []any) {
	parts := []string{"1 = 1"}
	value := func(v any) string {
		args = append(args, v)
		return fmt.Sprintf("$%d", len(args))
	}
	if q.Bound {
		marks := []string{"''"} // nobody's
		for _, site := range q.Sites {
			marks = append(marks, value(site.String()))
		}
		parts = append(parts, "site_head.site IN ("+strings.Join(marks, ", ")+")")
	}
	for _, word := range q.Words {
		parts = append(parts, "site_head.folded LIKE "+value("%"+likely(fold(word))+"%")+` ESCAPE '!'`)
	}
	if q.Customer != "" {
		parts = append(parts, "site_head.customer = "+value(fold(q.Customer)))
	}
	if q.Needs {
		parts = append(parts, "site_head.needs = 1")
	}
	if q.Troubled {
		parts = append(parts, "site_head.troubled = 1")
	}
	return " WHERE " + strings.Join(parts, " AND "), args
}

// likely keeps what LIKE takes for a pattern from being one.
func likely(word string) string {
	return strings.NewReplacer("!", "!!", "%", "!%", "_", "!_").Replace(word)
}

const headColumns = `site.id, site.name, site.folded, site_head.entries, site_head.stations, site_head.ended, held, made, until, stake, needs, troubled, customer, noted,
	points, overdue, due, met, next_due, clean_now, replacing, later, inside, with_verdict, defects, critical, mended, disabled, serious, questions, last_visit, COALESCE(said, '')`

// SiteHeads gives a part of a list of sites.
func (s *Store) SiteHeads(ctx context.Context, q HeadList) ([]HeadLine, error) {
	where, args := q.where()
	order := " ORDER BY site_head.stake DESC, site_head.folded, site_head.site"
	if q.ByTurn {
		order = " ORDER BY site_head.turn, site_head.folded, site_head.site"
	}
	page := fmt.Sprintf(" LIMIT $%d OFFSET $%d", len(args)+1, len(args)+2)
	v := s.view(ctx)
	return gathered(v, v.scanHeadLine, "SELECT "+headColumns+" FROM site_head JOIN site ON site.id = site_head.site LEFT JOIN site_said ON site_said.site = site_head.site"+where+order+page, append(args, q.Most, q.Skip)...)
}

// HeadOf gives the head of a site; nil when there is none.
func (s *Store) HeadOf(ctx context.Context, site sootline.ID) (*HeadLine, error) {
	lines, err := s.SiteHeads(ctx, HeadList{Bound: true, Sites: []sootline.ID{site}, Most: 1})
	if err != nil || len(lines) == 0 {
		return nil, err
	}
	return &lines[0], nil
}

// HeadCounts are how many sites of a list there are, and of these: where something
// needs somebody, that cannot be shown, and whose head is behind its log or its day.
type HeadCounts struct{ All, Needing, Troubled, Behind int }

// CountSiteHeads counts the sites of a list at an instant, each number by an index of its own.
func (s *Store) CountSiteHeads(ctx context.Context, q HeadList, now time.Time) (n HeadCounts, err error) {
	where, args := q.where()
	count := "(SELECT COUNT(*) FROM site_head" + where
	aged := 0
	err = s.read.QueryRowContext(ctx, "SELECT "+count+"), "+count+" AND needs = 1), "+count+" AND troubled = 1), "+
		count+" AND held <> entries), "+count+fmt.Sprintf(" AND held = entries AND until <= $%d)", len(args)+1), append(args, now.UnixMilli())...).
		Scan(&n.All, &n.Needing, &n.Troubled, &n.Behind, &aged)
	n.Behind += aged
	return n, translate(s.path, "read", err)
}

// CountSites counts the sites of a list.
func (s *Store) CountSites(ctx context.Context, q HeadList) (n int, err error) {
	where, args := q.where()
	err = s.read.QueryRowContext(ctx, "SELECT COUNT(*) FROM site_head"+where, args...).Scan(&n)
	return n, translate(s.path, "read", err)
}

// NotedSince reports whether at any site of a list something was written down after an
// instant that is in its head.
func (s *Store) NotedSince(ctx context.Context, q HeadList, since time.Time) (any bool, err error) {
	where, args := q.where()
	args = append(args, since.UnixMilli())
	err = s.read.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM site_head"+where+fmt.Sprintf(" AND noted > $%d)", len(args)), args...).Scan(&any)
	if err != nil {
		return false, translate(s.path, "read", err)
	}
	return any, nil
}

// BehindHeads gives sites whose heads are behind at an instant and that nobody has taken
// upon himself: those with new entries first.
func (s *Store) BehindHeads(ctx context.Context, now time.Time, most int) (lines []SiteLine, err error) {
	v := s.view(ctx)
	const free = " AND (claimed <= $1 OR claimed > $2)"
	for _, behind := range []string{"held <> entries", "held = entries AND until <= $1"} {
		more, err := v.sites("WHERE "+behind+free+" ORDER BY site_head.site LIMIT $3", now.UnixMilli(), now.Add(clockSlack+MostClaim).UnixMilli(), most-len(lines))
		if err != nil {
			return nil, translate(s.path, "read", err)
		}
		if lines = append(lines, more...); len(lines) >= most {
			break
		}
	}
	return lines, nil
}

// MostClaim is how long somebody may take the making of heads upon himself.
const MostClaim = 2 * time.Minute

// FreeSiteHeads leaves to others what was claimed and is not made.
func (s *Store) FreeSiteHeads(ctx context.Context, sites []sootline.ID) error {
	return s.WriteRows(ctx, func(tx *Tx) error {
		for _, site := range sites {
			if _, err := tx.changed("UPDATE site_head SET claimed = 0 WHERE site = $1", site.String()); err != nil {
				return err
			}
		}
		return nil
	})
}

// CustomerSites gives the sites whose heads name one of the customers and say what their
// logs say at an instant, and apart from them those of which the heads cannot tell.
func (s *Store) CustomerSites(ctx context.Context, customers []string, now time.Time) (sites []sootline.ID, unsure []SiteLine, err error) {
	tx, err := s.read.BeginTx(ctx, s.snapshot()) // no site may be of neither kind, because it was written to meanwhile
	if err != nil {
		return nil, nil, translate(s.path, "read", err)
	}
	defer rollback(tx) //nolint:errcheck // it has only read
	v := view{ctx, tx, s.path}
	latest := now.Add(clockSlack).UnixMilli()
	unsure, err = v.sites("WHERE held <> entries OR until <= $1 OR made > $2 OR troubled = 1 ORDER BY site_head.site", now.UnixMilli(), latest)
	if err != nil {
		return nil, nil, translate(s.path, "read", err)
	}
	for _, customer := range customers {
		sure, err := v.sites("WHERE customer = $1 AND held = entries AND until > $2 AND made <= $3 AND troubled = 0 ORDER BY site_head.site", fold(customer), now.UnixMilli(), latest)
		if err != nil {
			return nil, nil, translate(s.path, "read", err)
		}
		for _, line := range sure {
			sites = append(sites, line.ID)
		}
	}
	return sites, unsure, nil
}

// SiteDays gives what is due by day on each of the sites, as it was written with its head.
func (s *Store) SiteDays(ctx context.Context, sites []sootline.ID) (map[sootline.ID][]byte, error) {
	dec, err := newDecoder()
	if err != nil {
		return nil, err
	}
	defer dec.Close()
	days := map[sootline.ID][]byte{}
	for some := range slices.Chunk(sites, 500) {
		var args []any
		var marks []string
		for _, site := range some {
			args = append(args, site.String())
			marks = append(marks, fmt.Sprintf("$%d", len(args)))
		}
		read := func(scan func(...any) error) (id sootline.ID, err error) {
			var site string
			var packed []byte
			if err := scan(&site, &packed); err != nil {
				return id, err
			}
			if id, err = sootline.ParseID(site); err == nil {
				days[id], err = dec.DecodeAll(packed, nil)
			}
			return id, err
		}
		if _, err := gathered(s.view(ctx), read, "SELECT site, days FROM site_said WHERE site IN ("+strings.Join(marks, ", ")+")", args...); err != nil {
			return nil, err
		}
	}
	return days, nil
}

func sortedIDs[T any](of map[sootline.ID]T) []sootline.ID {
	return slices.SortedFunc(maps.Keys(of), func(a, b sootline.ID) int { return slices.Compare(a[:], b[:]) })
}
