package app

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"sootline"
	"sootline/internal/address"
)

// Hunt is a search along a loop for a device, for the end of a lost stretch, or
// for both of two devices on one number, by opening one place after another.
type Hunt struct {
	Places []address.Place
	Next   address.Next
	Done   bool
	Found  [][2]int // first and last place between which each one is
}

// HuntOptions say what is looked for and what was seen so far.
type HuntOptions struct {
	Two       bool           // both of two devices that answer to one number
	Isolators bool           // open at isolators only
	Effort    map[string]int // of opening a place, by its reference; 1 where nothing is said
	Likely    map[string]int // that it is on the stretch before a place, by its reference, in any one unit; 1 where nothing is said
	Opened    []OpenedAt     // in order
}

// OpenedAt is a place that was opened and how many of those looked for answered
// from before it.
type OpenedAt struct {
	Place    string // a reference
	Answered int
}

// HuntLoop says which place to open next so that the least effort is expected.
func (a *App) HuntLoop(ctx context.Context, site sootline.ID, loop string, opts HuntOptions) (*Hunt, error) {
	r, loops, err := a.numberLoops(ctx, site, loop)
	if err != nil {
		return nil, err
	}
	h := &Hunt{}
	index := map[string]int{}
	l := loops[0]
	for _, i := range l.Walk() {
		p := r.Point(l.Devices[i].ID)
		sheet := r.Sheet(p.Type)
		if opts.Isolators && (sheet == nil || sheet.Kind != sootline.Isolator) {
			continue
		}
		name := p.Ref().String()
		index[name] = len(h.Places)
		h.Places = append(h.Places, address.Place{Name: name, Effort: max(1, opts.Effort[name]), Chance: max(1, opts.Likely[name]), Single: !opts.Isolators})
	}
	begin := address.SearchOne
	if opts.Two {
		begin = address.SearchTwo
	}
	search, err := begin(h.Places)
	if err != nil {
		return nil, fmt.Errorf("loop %s: %w", l.Name, err)
	}
	for _, o := range opts.Opened {
		ref, err := sootline.ParseRef(o.Place)
		if err != nil {
			return nil, err
		}
		if ref.Panel == "" {
			ref.Panel = r.Panels()[0]
		}
		place, ok := index[ref.String()]
		if !ok {
			return nil, sootline.Errorf(sootline.NotFound, "name one of the places of the search", "%s is not a place where this search opens the loop", o.Place)
		}
		if err := search.Record(place, o.Answered); err != nil {
			return nil, err
		}
	}
	next, more := search.Next()
	h.Next, h.Done, h.Found = next, !more, search.Found()
	return h, nil
}

// ParsePlaceCounts reads places with numbers, each as PLACE=N, in order.
func ParsePlaceCounts(texts []string) ([]OpenedAt, error) {
	var counts []OpenedAt
	for _, text := range texts {
		place, number, ok := strings.Cut(text, "=")
		n, err := strconv.Atoi(number)
		if !ok || err != nil || n < 0 {
			return nil, sootline.Errorf(sootline.Invalid, "for example 1.2.040=1", "%q is not a place and a number", text)
		}
		counts = append(counts, OpenedAt{place, n})
	}
	return counts, nil
}

// ByPlace gives the number of each place.
func ByPlace(counts []OpenedAt) map[string]int {
	numbers := map[string]int{}
	for _, c := range counts {
		numbers[c.Place] = c.Answered
	}
	return numbers
}
