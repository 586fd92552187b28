package benches

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
)

// player plays one story.
type player struct {
	rng     *rand.Rand
	bench   Bench
	devices []real
	truth   truth
	told    []string // what was done so far, for the error
}

// Play plays the story of a seed on a bench that nothing was done with yet, and says the first thing that did not hold.
func Play(seed uint64, b Bench) error {
	p := &player{rng: rand.New(rand.NewPCG(seed, 31)), bench: b}
	start, devices := draw(p.rng)
	p.truth, p.devices = truth{start: start, all: view{}}, devices
	err := p.story()
	if err != nil {
		return fmt.Errorf("story %d: %w\n  after: %s", seed, err, strings.Join(p.told[max(0, len(p.told)-15):], "\n         "))
	}
	return nil
}

func (p *player) tell(format string, args ...any) {
	p.told = append(p.told, fmt.Sprintf(format, args...))
}

func (p *player) story() error {
	if err := p.begin(); err != nil {
		return err
	}
	for range 3 * len(p.truth.start.Places) {
		if err := p.step(); err != nil {
			return err
		}
		if err := p.check(); err != nil {
			return err
		}
	}
	for who := range 2 {
		if err := p.merge(who); err != nil {
			return err
		}
	}
	if err := p.check(); err != nil {
		return err
	}
	return p.end()
}

// begin opens the run. A list with one serial twice is told of, or refused and handed in mended.
func (p *player) begin() error {
	s := &p.truth.start
	remarks, err := p.bench.Begin(*s)
	p.tell("begin with %d places, %d listed: %v %v", len(s.Places), len(s.Box), remarks, err)
	if s.twice() {
		if err == nil && !slices.Contains(codes(remarks), SerialSeen) {
			return fmt.Errorf("the list has one serial twice, and nothing is said")
		}
		if err != nil || grave(remarks, Refused) {
			s.Box = slices.Delete(s.Box, 1, 2)
			remarks, err = p.bench.Begin(*s)
		}
	}
	if err != nil || grave(remarks, Refused) {
		return fmt.Errorf("the run is not opened: %v %v", remarks, err)
	}
	return p.check()
}

// step has one hand do one thing.
func (p *player) step() error {
	who := p.rng.IntN(2)
	switch n := p.rng.IntN(100); {
	case n < 62:
		return p.do(who)
	case n < 70:
		return p.skip(who)
	case n < 82:
		return p.undo(who)
	case n < 87:
		return p.reject(who, p.grab(func(real) bool { return true }))
	case n < 91:
		p.tell("%d loses the network", who)
		p.bench.Cut(who)
		p.truth.cut(who)
		return nil
	case n < 96:
		return p.merge(who)
	}
	p.tell("%d leaves and comes back", who)
	p.bench.Leave(who)
	return nil
}

func (p *player) merge(who int) error {
	p.tell("%d hands in", who)
	p.truth.merge(who)
	if err := p.bench.Merge(who); err != nil {
		return fmt.Errorf("handing in: %w", err)
	}
	return nil
}

// grab takes a device out of the box; -1 where there is none such.
func (p *player) grab(such func(real) bool) int {
	for _, i := range p.rng.Perm(len(p.devices)) {
		if d := p.devices[i]; d.inBox && such(d) {
			return i
		}
	}
	return -1
}

func (p *player) skip(who int) error {
	left := p.truth.left(p.truth.seenBy(who))
	if len(left) == 0 {
		return nil
	}
	name := left[p.rng.IntN(len(left))].Place
	p.tell("%d skips %s", who, name)
	if err := p.bench.Skip(who, name, "the base is missing"); err != nil {
		return fmt.Errorf("skip: %w", err)
	}
	p.truth.write(act{who: who, what: "skipped", place: p.truth.start.index(name), device: -1})
	return nil
}

func (p *player) reject(who, device int) error {
	if device < 0 {
		return nil
	}
	d := &p.devices[device]
	p.tell("%d rejects %s", who, d.Serial)
	if err := p.bench.Reject(who, d.Device, "does not answer"); err != nil {
		return fmt.Errorf("reject: %w", err)
	}
	d.inBox = false
	p.truth.write(act{who: who, what: "rejected", place: -1, device: device})
	return nil
}

func (p *player) undo(who int) error {
	i, ok := p.truth.last(who)
	err := p.bench.Undo(who)
	p.tell("%d undoes: %v", who, err)
	if !ok {
		if err == nil {
			return fmt.Errorf("hand %d has nothing to undo, and no error is given", who)
		}
		return nil
	}
	if err != nil {
		return fmt.Errorf("undo: %w", err)
	}
	if of := p.truth.acts[i].device; of >= 0 {
		p.devices[of].inBox = true // it goes on carrying its number
	}
	p.truth.write(act{who: who, what: "undone", place: -1, device: -1, of: i})
	return nil
}

// check holds what the bench says against what happened, for both hands.
func (p *player) check() error {
	for who := range 2 {
		v := p.truth.seenBy(who)
		if got, want := sortLeft(p.bench.Left(who)), p.truth.left(v); !slices.Equal(got, want) {
			return fmt.Errorf("left for hand %d: %v, want %v", who, got, want)
		}
		if got, want := sortLines(p.bench.Standing(who)), p.truth.lines(v); !slices.Equal(got, want) {
			return fmt.Errorf("standing for hand %d: %v, want %v", who, got, want)
		}
		if got, want := sortDevices(p.bench.Rejects(who)), p.truth.rejects(v, p.devices); !slices.Equal(got, want) {
			return fmt.Errorf("rejects for hand %d: %v, want %v", who, got, want)
		}
	}
	return nil
}

func codes(of []Remark) []string {
	var out []string
	for _, r := range of {
		out = append(out, r.Code)
	}
	return out
}

func grave(of []Remark, as string) bool {
	return slices.ContainsFunc(of, func(r Remark) bool { return r.Grave == as })
}

// end looks for two devices with one number or serial of which nobody was told, and for doubts without cause.
func (p *player) end() error {
	s, doubts := p.truth.start, p.bench.Doubts(0)
	all := p.truth.dones(p.truth.all)
	sound := map[string]bool{}
	for n, i := range all {
		a := p.truth.acts[i]
		for _, k := range all[:n] {
			b := p.truth.acts[k]
			pa, pb := s.Places[a.place], s.Places[b.place]
			truly := s.overlap(pa, p.devices[a.device].carries, pb, p.devices[b.device].carries)
			serial := a.line.Serial != "" && a.line.Serial == b.line.Serial
			if truly && !slices.Contains(a.said, NumberTaken) && !doubted(doubts, NumberTaken, pa.Name, pb.Name) && !serial {
				return fmt.Errorf("%s and %s truly carry %d and %d, and nobody was told", pa.Name, pb.Name,
					p.devices[a.device].carries, p.devices[b.device].carries)
			}
			if serial && !slices.Contains(a.said, SerialSeen) && !doubted(doubts, SerialSeen, pa.Name, pb.Name) {
				return fmt.Errorf("%s and %s have the serial %s, and nobody was told", pa.Name, pb.Name, a.line.Serial)
			}
			written := s.overlap(pa, a.line.Number, pb, b.line.Number)
			for _, name := range []string{pa.Name, pb.Name} {
				sound[NumberTaken+name] = sound[NumberTaken+name] || written || truly
				sound[SerialSeen+name] = sound[SerialSeen+name] || serial
			}
		}
		for _, o := range s.Others {
			name := s.Places[a.place].Name
			sound[NumberTaken+name] = sound[NumberTaken+name] || s.overlap(s.Places[a.place], a.line.Number, o, o.Number)
		}
	}
	return p.without(doubts, sound)
}

// without looks for doubts of a place that has no part in any.
func (p *player) without(doubts []Doubt, cause map[string]bool) error {
	for _, d := range doubts {
		for _, name := range d.Places {
			if (d.Code == NumberTaken || d.Code == SerialSeen) && p.truth.start.index(name) >= 0 && !cause[d.Code+name] {
				return fmt.Errorf("a doubt without cause: %s of %v", d.Code, d.Places)
			}
		}
	}
	return nil
}

// doubted says whether a doubt of a code names both places.
func doubted(doubts []Doubt, code, a, b string) bool {
	return slices.ContainsFunc(doubts, func(d Doubt) bool {
		return d.Code == code && slices.Contains(d.Places, a) && slices.Contains(d.Places, b)
	})
}

// numberOf is the number that counts of what is given.
func (s Start) numberOf(g Given) int { return cmp.Or(g.Back, s.Places[s.index(g.Place)].Number) }
