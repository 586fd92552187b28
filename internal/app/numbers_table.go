package app

import (
	"context"
	"maps"
	"slices"

	"sootline"
	"sootline/internal/address"
)

// NumberTables is a loop with how its numbers stand, a table a range.
type NumberTables struct {
	Loop   address.Loop
	Tables []address.Table
}

// Numbers lays out the numbers of a loop.
func (s *Survey) Numbers(id sootline.LoopID) (*NumberTables, error) {
	loops, err := LoopsOf(s.Register)
	if err != nil {
		return nil, err
	}
	for _, l := range loops {
		if l.Name == id.String() {
			if err := l.Span.Check(); err != nil {
				return nil, err
			}
			return &NumberTables{l, l.Tables()}, nil
		}
	}
	return nil, sootline.Errorf(sootline.NotFound, "", "there is no loop %s", id)
}

// NoteSteps writes down that steps of an order were done, by their places in it:
// a device then stands at the number to which the last of its steps set it.
func (a *App) NoteSteps(ctx context.Context, site sootline.ID, o NumberOrder, done []int) (int, error) {
	at := map[int]int{} // by device
	for _, i := range slices.Sorted(slices.Values(done)) {
		if i < 0 || i >= len(o.Steps) {
			return 0, sootline.Errorf(sootline.Invalid, "open the page again", "the order has no step %d", i+1)
		}
		if step := o.Steps[i]; step.To != 0 {
			at[step.Device] = step.To
		}
	}
	var entries []sootline.Entry
	for _, device := range slices.Sorted(maps.Keys(at)) {
		entries = append(entries, a.entry(site, a.Now(), o.Loop.Devices[device].ID, sootline.Addressed{Set: at[device]}))
	}
	return len(entries), a.add(ctx, site, entries...)
}
