package firm

import (
	"bytes"
	"cmp"
	"compress/flate"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
)

// converge lets every station transfer to its neighbour, twice around and back: what
// one holds all must hold then.
func (x *exchange) converge() error {
	for range 2 {
		for from := range stations {
			for _, to := range []int{(from + 1) % stations, (from + stations - 1) % stations} {
				if err := x.transfer(Move{Deed: Clean, From: from, To: to}); err != nil {
					return fmt.Errorf("at the end, from %d to %d: %w", from, to, err)
				}
			}
		}
	}
	return nil
}

// whole reports stations that do not hold the same, and entries that are nowhere and
// that no restore can have lost.
func (x *exchange) whole() error {
	var errs []error
	for n := range x.all {
		if !maps.Equal(x.held[n], x.held[0]) {
			errs = append(errs, fmt.Errorf("station %d holds %d lines, and not the %d of station 0", n, len(x.held[n]), len(x.held[0])))
		}
	}
	for id := range x.wrote {
		if _, there := x.held[0][id]; there {
			continue
		}
		if !x.lost[id] {
			errs = append(errs, fmt.Errorf("entry %s was acknowledged and is nowhere", id))
		}
		x.cost.Lost++
	}
	return errors.Join(errs...)
}

// expected gives the conflicts that there must be, by key, and the keys of which nothing
// is asked, since an entry of them was lost: what replaced it may name no other.
func (x *exchange) expected() (conflicts map[string][]string, unasked map[string]bool) {
	byKey := map[string][]string{}
	for id := range x.held[0] {
		byKey[x.wrote[id].key] = append(byKey[x.wrote[id].key], id)
	}
	conflicts, unasked = map[string][]string{}, map[string]bool{}
	for key, ids := range byKey {
		if standing := x.standing(ids); len(standing) > 1 {
			conflicts[key] = standing
		}
	}
	for id, e := range x.wrote {
		if _, there := x.held[0][id]; !there {
			unasked[e.key] = true
		}
	}
	return conflicts, unasked
}

// conflicts holds what each station finds against who had seen what.
func (x *exchange) conflicts() error {
	want, unasked := x.expected()
	x.cost.Disputed = len(want)
	var errs []error
	for n, station := range x.all {
		found, err := station.Conflicts()
		if err != nil {
			return err
		}
		got := map[string][]string{}
		for _, c := range found {
			got[c.Key] = slices.Sorted(slices.Values(c.Entries))
		}
		for key, ids := range want {
			if !unasked[key] && !slices.Equal(ids, got[key]) {
				errs = append(errs, fmt.Errorf("station %d: %s was changed in %d places (%v), and it names %v", n, key, len(ids), ids, got[key]))
			}
		}
		for key, ids := range got {
			if !unasked[key] && want[key] == nil {
				errs = append(errs, fmt.Errorf("station %d: %s is said to be changed in several places (%v), and each had seen the one before", n, key, ids))
			}
		}
	}
	return errors.Join(errs...)
}

// bytes reports transfers that took more than they may.
func (x *exchange) bytes() error {
	switch {
	case x.cost.Idle > mostIdle:
		return fmt.Errorf("a transfer with nothing to bring sent %d bytes", x.cost.Idle)
	case x.cost.Ratio() > MostRatio:
		return fmt.Errorf("%d bytes were sent for %d that were lacking: %.2f times", x.cost.Sent, x.cost.Lacking, x.cost.Ratio())
	case x.cost.PackedRatio() > MostRatio:
		return fmt.Errorf("%d packets of %d bytes were sent for lines that pack to %d: %.2f times", x.cost.Pieces, x.cost.Packets, x.cost.Packed, x.cost.PackedRatio())
	}
	return nil
}

// weigh counts the bytes of a transfer.
func (x *exchange) weigh(m Move, vectors int, sent [][]byte) error {
	lacking, all := x.lacking(m), 0
	for _, packet := range sent {
		all += len(packet)
	}
	x.cost.Vectors += vectors
	if len(lacking) == 0 {
		x.cost.Idle = max(x.cost.Idle, all)
		return nil
	}
	var packed bytes.Buffer
	w, err := flate.NewWriter(&packed, flate.BestCompression)
	if err != nil {
		return err
	}
	for _, line := range lacking {
		x.cost.Lacking += len(line.Text) + 1
		if _, err := io.WriteString(w, line.Text+"\n"); err != nil {
			return err
		}
	}
	if err := w.Close(); err != nil {
		return err
	}
	x.cost.Sent += vectors + all
	x.cost.Packed += packed.Len()
	x.cost.Packets += all
	x.cost.Pieces += len(sent)
	return nil
}

// lacking lists the lines that one station holds and the other does not, by station and number.
func (x *exchange) lacking(m Move) []Held {
	var lines []Held
	for id, line := range x.held[m.From] {
		if _, there := x.held[m.To][id]; !there {
			lines = append(lines, line)
		}
	}
	slices.SortFunc(lines, func(a, b Held) int { return cmp.Or(cmp.Compare(a.Station, b.Station), cmp.Compare(a.Seq, b.Seq)) })
	return lines
}
