package hunts

import (
	"cmp"
	"hash/maphash"
	"maps"
	"math"
	"slices"
)

// oracle is a finder that knows the list of faults and how large the planted one is, though not where or of which kind
// it is. It shows that what is planted can be told apart, and what could be reached; an engine knows less.
type oracle struct {
	c      Case
	from   *World // its steps are weighed by its minutes, on a copy
	faults []Fault
	weight []float64
	taken  int
	seed   maphash.Seed
}

// Oracle gives the oracle of a world.
func Oracle(w *World) Finder {
	o := &oracle{c: w.Case, from: w, seed: maphash.MakeSeed()}
	first := Step{OpenAt: None, Feed: Both, Look: AtPanel}
	for _, f := range everyFault(w.Case.Ring, w.fault) {
		a := Observe(o.c.Ring, f, first)
		if a.Message == o.c.Panel.Message && a.Twice == o.c.Panel.Twice && slices.Equal(a.Answers, o.c.Panel.Answers) {
			o.faults, o.weight = append(o.faults, f), append(o.weight, 1)
		}
	}
	return o
}

// everyFault gives every fault that a ring can have, as large as the planted one.
func everyFault(r Ring, planted Fault) []Fault {
	var out []Fault
	ma := planted.MA
	if ma == 0 {
		ma = 1000 * r.Volts / max(planted.Ohms, 1)
	}
	for _, kind := range Kinds() {
		for at := range r.Metres {
			f := Fault{Kind: kind, At: at, Place: 0.5, Ohms: planted.Ohms, MA: ma}
			if planted.Kind == Overload && kind == Leakage {
				f.Ohms = 1000 * r.Volts / ma
			}
			if !kind.OfCable() && at == len(r.Devices) {
				continue
			}
			for _, second := range []bool{false, true} {
				switch {
				case kind == Contact:
					f.Place = map[bool]float64{false: 0, true: 1}[second]
				case kind == Earth:
					f.Minus = second
				case (kind == StuckOpen || kind == StuckShut) && r.Devices[at].Isolator:
					f.Before = second
				case kind == StuckOpen, kind == StuckShut, second:
					continue
				case kind == Double:
					f.Other = planted.Other
					if planted.Kind != Double || at == f.Other {
						continue
					}
				}
				out = append(out, f)
			}
		}
	}
	return out
}

// sure is how likely a verdict must be.
const sure = 0.98

// Next takes in what was answered, and says the step that tells most a minute.
func (o *oracle) Next(asked []Asked) (Step, *Verdict) {
	for ; o.taken < len(asked); o.taken++ {
		o.learn(asked[o.taken])
	}
	places := o.places()
	if top := places[0]; top.share > sure || len(asked) > 60 {
		return Step{}, &Verdict{top.kind, top.at, top.share}
	}
	var best Step
	most := -1.0
	for _, s := range o.steps(places) {
		if slices.ContainsFunc(asked[max(0, len(asked)-12):], func(a Asked) bool { return a.Step == s }) {
			continue // it would mostly tell the same again
		}
		w := *o.from
		minutes := w.minutes(s)
		if gain := o.tells(s) / minutes; gain > most {
			best, most = s, gain
		}
	}
	return best, nil
}

type place struct {
	kind  Kind
	at    int
	share float64
}

// places gives how likely each verdict is, the likeliest first.
func (o *oracle) places() []place {
	at := map[place]float64{}
	total := 0.0
	for i, f := range o.faults {
		at[place{f.Kind, f.At, 0}] += o.weight[i]
		total += o.weight[i]
	}
	var out []place
	for p, w := range at {
		out = append(out, place{p.kind, p.at, w / total})
	}
	slices.SortFunc(out, func(a, b place) int {
		return cmp.Or(cmp.Compare(b.share, a.share), cmp.Compare(a.at, b.at), cmp.Compare(a.kind, b.kind))
	})
	return out
}

// learn weighs the faults anew.
func (o *oracle) learn(a Asked) {
	for i, f := range o.faults {
		o.weight[i] *= agrees(o.c.Ring, Observe(o.c.Ring, f, a.Step), a)
	}
	total := 0.0
	for _, w := range o.weight {
		total += w
	}
	for i := range o.weight {
		o.weight[i] /= total
	}
}

// agrees says how likely an answer is where another is expected.
func agrees(r Ring, want Answer, a Asked) float64 {
	off := 0.0
	switch a.Step.Look {
	case AtPanel:
		if want.Message != a.Answer.Message || want.Twice != a.Answer.Twice {
			off++
		}
		for k := range want.Answers {
			if want.Answers[k] != a.Answer.Answers[k] {
				off++
			}
		}
		for _, end := range [][2]float64{{want.OutMA, a.Answer.OutMA}, {want.InMA, a.Answer.InMA}} {
			off += min(2, max(0, math.Abs(end[0]-end[1])/(1.5+0.07*end[0])-1))
		}
	case AtVolts:
		off = max(0, math.Abs(want.Volts-a.Answer.Volts)/0.25-1)
	case AtOhms:
		switch over := a.Answer.Ohms > 2e6; {
		case over != (want.Ohms > 2e6):
			off = 20
		case !over:
			off = max(0, math.Abs(want.Ohms-a.Answer.Ohms)/(1+0.05*want.Ohms+r.OhmsPerM*50)-1)
		}
	default:
		switch {
		case want.Found == a.Answer.Found && want.Found != "":
			return 1
		case want.Found != "":
			return overlook
		case a.Answer.Found != "":
			return 1e-9
		}
		return 1
	}
	return max(math.Exp(-off*off), misread/4*math.Exp(-min(off, 20)/10))
}

// steps gives those worth weighing: who answers from one end; openings, volts and ohms where a quarter, half and three
// quarters of what is likely lie; a look at what is likeliest.
func (o *oracle) steps(likely []place) []Step {
	out := []Step{
		{OpenAt: None, Feed: FromOUT, Look: AtPanel},
		{OpenAt: None, Feed: FromIN, Look: AtPanel},
		{OpenAt: None, Feed: Both, Look: AtPanel},
	}
	for _, leads := range []Leads{Cores, PlusEarth, MinusEarth} {
		out = append(out, Step{OpenAt: None, Feed: Off, Look: AtOhms, ToIN: true, Leads: leads}, Step{OpenAt: None, Feed: Off, Look: AtOhms, Leads: leads})
	}
	for _, k := range o.quantiles(likely) {
		out = append(out,
			Step{OpenAt: k, Feed: FromOUT, Look: AtPanel}, Step{OpenAt: k, Feed: FromIN, Look: AtPanel},
			Step{OpenAt: k, Feed: Off, Look: AtOhms, ToIN: true, Leads: Cores}, Step{OpenAt: k, Feed: Off, Look: AtOhms, Leads: Cores},
			Step{OpenAt: k, Feed: Off, Look: AtOhms, ToIN: true, Leads: PlusEarth}, Step{OpenAt: k, Feed: Off, Look: AtOhms, ToIN: true, Leads: MinusEarth})
		for _, toIN := range []bool{false, true} {
			for _, feed := range []Feed{FromOUT, FromIN} {
				out = append(out, Step{OpenAt: None, Feed: feed, Look: AtVolts, At: k, ToIN: toIN})
			}
		}
	}
	stands := o.from.stands
	for _, p := range likely[:min(3, len(likely))] {
		if p.kind.OfCable() {
			out = append(out, Step{OpenAt: stands.OpenAt, Feed: stands.Feed, Look: AtStretch, At: p.at})
		}
		if p.kind == Contact || !p.kind.OfCable() {
			out = append(out, Step{OpenAt: stands.OpenAt, Feed: stands.Feed, Look: AtDevice, At: min(p.at, len(o.c.Ring.Devices)-1)})
		}
	}
	return out
}

// quantiles gives devices that part what is likely, and those beside the likeliest.
func (o *oracle) quantiles(likely []place) []int {
	n := len(o.c.Ring.Devices)
	by := make([]float64, n+1)
	for _, p := range likely {
		by[p.at] += p.share
	}
	var out []int
	add := func(k int) {
		if k >= 0 && k < n && !slices.Contains(out, k) {
			out = append(out, k)
		}
	}
	sum, next := 0.0, 0.25
	for k, share := range by {
		for sum += share; sum >= next && next < 0.9; next += 0.25 {
			add(k)
			add(k - 1)
		}
	}
	add(likely[0].at)
	add(likely[0].at - 1)
	return out
}

// tells gives by how many bits a step is expected to part what is likely.
func (o *oracle) tells(s Step) float64 {
	by := map[uint64]float64{}
	for i, f := range o.faults {
		if o.weight[i] > 1e-5 {
			by[o.class(Observe(o.c.Ring, f, s))] += o.weight[i]
		}
	}
	bits := 0.0
	for _, w := range slices.Sorted(maps.Values(by)) { // in one order, so that a hunt is the same again
		bits -= w * math.Log2(w)
	}
	return bits
}

// class puts answers together that a technician would not tell apart.
func (o *oracle) class(a Answer) uint64 {
	var h maphash.Hash
	h.SetSeed(o.seed)
	h.WriteString(string(a.Message) + string(a.Found))
	ohms := -1.0
	if a.Ohms < 2e6 {
		ohms = 5 * math.Log(a.Ohms+1)
	}
	for _, x := range []float64{float64(a.Twice), a.Volts / 0.5, ohms, 6 * math.Log(a.OutMA+15), 6 * math.Log(a.InMA+15)} {
		maphash.WriteComparable(&h, math.Round(x))
	}
	for _, ok := range a.Answers {
		maphash.WriteComparable(&h, ok)
	}
	return h.Sum64()
}
