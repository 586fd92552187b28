package worlds

import (
	"cmp"
	"encoding/json"
	"slices"
	"time"
)

// turn is where a fact stands in the order in which a log is folded.
type turn struct {
	at   time.Time
	id   string
	side int // below 0: just before the fact named, above 0: just after it
}

// follows is the side of what names a defect: it leaves room for a retest between the two.
const follows = 2

func (k turn) compare(l turn) int {
	return cmp.Or(k.at.Compare(l.at), cmp.Compare(k.id, l.id), cmp.Compare(k.side, l.side))
}

// by is a turn so many steps on, or back.
func (k turn) by(steps int) turn {
	k.side += steps
	return k
}

// arranged puts facts in order: what was not shown to follow a failure stands before it, and an entry that
// names a defect follows it where their order is not known.
func (s *site) arranged() []fact {
	byID := map[string]fact{}
	failures := map[string][]fact{}
	retests := map[string][]fact{}
	for _, f := range s.facts {
		byID[f.id] = f
		if opens(f) && f.point != "" && f.kind != "defect" {
			failures[f.point] = append(failures[f.point], f)
		}
		if f.kind == "retested" {
			retests[names(f)] = append(retests[names(f)], f)
		}
	}
	turns := map[string]turn{}
	for _, f := range s.facts {
		turns[f.id] = s.turn(f, failures[f.point], byID)
	}
	for id, all := range retests {
		if of, ok := byID[id]; ok {
			s.retests(of, all, turns)
		}
	}
	out := slices.Clone(s.facts)
	slices.SortStableFunc(out, func(a, b fact) int {
		return cmp.Or(turns[a.id].compare(turns[b.id]), a.at.Compare(b.at), cmp.Compare(a.id, b.id))
	})
	return out
}

// turn finds the place of one fact, among the failures of its point.
func (s *site) turn(f fact, failures []fact, byID map[string]fact) turn {
	own := turn{f.at, f.id, 0}
	switch f.kind {
	case "tested", "replaced":
		if opens(f) || f.point == "" {
			return own
		}
		for _, fail := range failures { // in order, so the first that fits is the earliest
			if s.unordered(f, fail) {
				if k := (turn{fail.at, fail.id, -1}); k.compare(own) < 0 {
					return k
				}
			}
		}
	case "mended", "retested", "followed":
		of, ok := byID[names(f)]
		if ok && s.unordered(f, of) && own.compare(turn{of.at, of.id, 0}) < 0 {
			return turn{of.at, of.id, follows}
		}
	}
	return own
}

// retests puts the failed retests of a defect after those in order with which their order is not known. Where one of
// two has only its day, that one moves: the other stands where its minute puts it among the rest of the log.
func (s *site) retests(of fact, all []fact, turns map[string]turn) {
	opened := turn{of.at, of.id, 0}
	pairs := func(each func(good, bad fact)) {
		for _, good := range all {
			for _, bad := range all {
				// One that stands before its defect changes nothing, and must draw no other there.
				if !failed(good) && failed(bad) && s.unordered(good, bad) && opened.compare(turns[bad.id]) < 0 {
					each(good, bad)
				}
			}
		}
	}
	pairs(func(good, bad fact) {
		if k := turns[bad.id].by(-1); good.day && !bad.day && k.compare(turns[good.id]) < 0 {
			turns[good.id] = k
		}
	})
	pairs(func(good, bad fact) {
		if k := turns[good.id].by(1); (bad.day || !good.day) && turns[bad.id].compare(k) < 0 {
			turns[bad.id] = k
		}
	})
}

// unordered says that nobody knows which of two came first.
func (s *site) unordered(a, b fact) bool {
	return a.at.Equal(b.at) || (a.day || b.day) && s.day(a.at).Equal(s.day(b.at))
}

// opens says whether an entry opens a defect, or shows one again.
func opens(f fact) bool {
	return f.kind == "defect" || f.kind == "fault" || f.kind == "tested" && failed(f)
}

// failed reads `failed` of a test or a retest.
func failed(f fact) bool {
	var b struct {
		Failed bool `json:"failed"`
	}
	return json.Unmarshal(f.body, &b) == nil && b.Failed
}

// names reads which defect an entry is about.
func names(f fact) string {
	var b struct {
		Defect string `json:"defect"`
	}
	_ = json.Unmarshal(f.body, &b) // one that cannot be read names none
	return b.Defect
}
