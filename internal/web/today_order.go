package web

import (
	"net/url"
	"slices"
	"strings"
)

// stake tells how much is at stake at a site, for the order of a list: what cannot be shown
// first, then what needs somebody now, then what is due; what nobody looked at yet last.
func (l *siteLine) stake() int {
	now := 0
	for _, action := range l.Now {
		now += action.Count
	}
	switch {
	case l.Trouble != nil:
		return 1 << 30
	case !l.Known:
		return -1
	}
	return 1000*l.Critical + 100*(now+l.Serious) + 10*(l.Overdue+l.Defects) + min(l.Due+l.Later+l.Questions, 9)
}

// needsNow reports whether something at the site needs somebody now.
func (l *siteLine) needsNow() bool {
	return l.Trouble != nil || len(l.Now) > 0 || l.Critical > 0 || l.Serious > 0 || l.Overdue > 0
}

// narrow keeps the sites whose names have what was looked for, what is at stake first, and
// cuts out the page that was asked for.
func (p *todayPage) narrow(q url.Values) {
	p.All = len(p.Sites)
	for i := range p.Sites {
		if p.Sites[i].needsNow() {
			p.Needing++
		}
	}
	p.Search = strings.TrimSpace(q.Get("q"))
	words := strings.Fields(strings.ToLower(p.Search))
	p.Sites = slices.DeleteFunc(p.Sites, func(l siteLine) bool { return !hasAll(strings.ToLower(l.Name), words) })
	slices.SortStableFunc(p.Sites, func(a, b siteLine) int { return b.stake() - a.stake() })
	var first, last int
	p.paging, first, last = cut(len(p.Sites), q)
	p.Sites = p.Sites[first:last]
}
