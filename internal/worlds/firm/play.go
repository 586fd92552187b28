package firm

import (
	"context"
	"fmt"
	"sync"

	"sootline"
)

// Lists is a server with heads, as a test adapts it. Entries are handed over with their
// ids; each call has a station of its own to write as, by its writer.
type Lists interface {
	// Write adds entries to a site's log as the program writes them, through one of two servers.
	Write(ctx context.Context, writer int, site sootline.ID, entries []sootline.Entry) error
	// WriteAndDie keeps the entries, and ends whatever writes heads before it wrote this
	// one; the call returns when the server is there again.
	WriteAndDie(ctx context.Context, site sootline.ID, entries []sootline.Entry) error
	// Rebuild drops all heads and makes them anew from the logs.
	Rebuild(ctx context.Context) error
	// Heads gives what lists show of some sites at the firm's instant, when all that was
	// acknowledged before the call had its time to be folded.
	Heads(ctx context.Context, f *Firm, sites []sootline.ID) (map[sootline.ID]Head, error)
}

// Step names what is done between two comparisons.
type Step string

// The steps.
const (
	Writes     Step = "writes to a few sites"
	Days       Step = "days that pass"
	Death      Step = "a death between entries and heads"
	TwoWriters Step = "two writers on one site at once"
	Rebuilding Step = "a rebuild"
)

// player plays steps on a firm's lists.
type player struct {
	f       *Firm
	lists   Lists
	touched []sootline.ID
}

// Play plays so many steps, the five kinds in turn from a random first, and after each
// holds the heads of what was touched lately and of some random sites against the
// truth. It stops at the first step after which any differs, and gives how many steps
// stood.
func Play(ctx context.Context, t Teller, f *Firm, lists Lists, steps int) int {
	t.Helper()
	p := &player{f: f, lists: lists}
	kinds := []Step{Writes, Days, Death, Writes, TwoWriters, Days, Rebuilding}
	first := f.rng.IntN(len(kinds))
	for n := range steps {
		step := kinds[(first+n)%len(kinds)]
		if err := p.play(ctx, step); err != nil {
			t.Errorf("step %d, %s: %v", n, step, err)
			return n
		}
		wrong, err := p.compare(ctx, t)
		if err != nil || wrong > 0 {
			t.Errorf("after step %d, %s: %d sites differ; %v", n, step, wrong, err)
			return n
		}
	}
	return steps
}

func (p *player) compare(ctx context.Context, t Teller) (int, error) {
	sites := append(p.f.Any(5), p.touched[max(0, len(p.touched)-8):]...)
	truth, err := p.f.Truths(ctx, sites)
	if err != nil {
		return 0, err
	}
	got, err := p.lists.Heads(ctx, p.f, sites)
	if err != nil {
		return 0, err
	}
	return Compare(t, truth, got), nil
}

func (p *player) play(ctx context.Context, step Step) error {
	switch step {
	case Days:
		p.f.Now = p.f.Now.AddDate(0, 0, []int{1, 1, 3, 30}[p.f.rng.IntN(4)])
		return nil
	case Rebuilding:
		return p.lists.Rebuild(ctx)
	case TwoWriters:
		return p.together(ctx)
	}
	for _, site := range p.f.Any(3) {
		entries, err := p.f.Grow(ctx, site)
		if err != nil {
			return err
		}
		p.touched = append(p.touched, site)
		if step == Death {
			err = p.lists.WriteAndDie(ctx, site, entries)
		} else {
			err = p.lists.Write(ctx, p.f.rng.IntN(2), site, entries)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// together lets two servers write to one site at once, and asks whether the log then
// holds each entry of both, once.
func (p *player) together(ctx context.Context) error {
	site := p.f.Any(1)[0]
	p.touched = append(p.touched, site)
	var parts [2][]sootline.Entry
	for w := range parts {
		entries, err := p.f.Grow(ctx, site)
		if err != nil {
			return err
		}
		parts[w] = entries
	}
	var (
		errs [2]error
		done sync.WaitGroup
	)
	for w := range parts {
		done.Go(func() {
			defer sootline.Caught(&errs[w])
			errs[w] = p.each(ctx, w, site, parts[w])
		})
	}
	done.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return p.f.holdsOnce(ctx, site, append(parts[0], parts[1]...))
}

// each writes entries one by one, so that the two writers alternate.
func (p *player) each(ctx context.Context, writer int, site sootline.ID, entries []sootline.Entry) error {
	for i := range entries {
		if err := p.lists.Write(ctx, writer, site, entries[i:i+1]); err != nil {
			return err
		}
	}
	return nil
}

// holdsOnce reports an acknowledged entry that a log lacks, or holds twice.
func (f *Firm) holdsOnce(ctx context.Context, site sootline.ID, entries []sootline.Entry) error {
	log, err := f.Book.Entries(ctx, site)
	if err != nil {
		return err
	}
	times := map[sootline.ID]int{}
	for i := range log {
		times[log[i].ID]++
	}
	for i := range entries {
		if n := times[entries[i].ID]; n != 1 {
			return fmt.Errorf("entry %s was acknowledged and is in the log %d times", entries[i].ID, n)
		}
	}
	return nil
}
