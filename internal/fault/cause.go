package fault

import "math"

// Cause is one thing that may be wrong.
type Cause struct {
	Kind  Kind
	At    int  // the stretch or device
	Minus bool // of an earth fault: the minus core
	// Side tells an isolator's switch towards OUT, and a contact at the end of its stretch towards OUT.
	Side  bool
	Other int // of Double: the device whose number it has; None: not known

	weight float64 // of what was told so far, as a logarithm
	// passes tells a loop whose isolators let a meter through while nothing is fed.
	passes bool
	odd    bool   // the answer just weighed is a wrong one, if this is the cause
	wrongs int    // how many readings, messages, lists and sights are wrong ones, if this is the cause
	odds   uint64 // which answers are, the panel's first word being the lowest
	believed
}

// causes lists all that may be wrong on a ring, classes together. Half of a kind of cable fault goes by metres, half by
// joints, for most faults are at a clamp. Common practice, no source.
func causes(r *Ring, twice int) []Cause {
	var all []Cause
	length := math.Max(r.to[len(r.to)-1], 1)
	for _, kind := range Kinds() {
		weight := kindRows[kind].weight
		if kind.OfCable() {
			n := float64(len(r.Metres))
			for k, m := range r.Metres {
				all = append(all, variants(r, Cause{Kind: kind, At: k, Other: None}, weight*(0.5/n+0.5*m/length))...)
			}
			continue
		}
		places := placesOf(r, kind)
		for _, k := range places {
			all = append(all, variants(r, Cause{Kind: kind, At: k, Other: twice}, weight/float64(len(places)))...)
		}
	}
	return append(all, Cause{Kind: gone, Other: None, weight: math.Log(kindRows[gone].weight), believed: r.believe(gone)})
}

// passesShare is the share of loops whose isolators let a meter through in the plus core while nothing is fed. They differ by
// make; common practice, no source.
const passesShare = 0.3

// byIsolators divides those causes, by whether isolators let a meter through, for which its readings hang on that.
func byIsolators(r *Ring, some []Cause) []Cause {
	if !r.isolated() {
		return some
	}
	for i := range some {
		if k := some[i].Kind; k == Earth && !some[i].Minus || k == Short || k == StuckShut || k == Leakage {
			twin := some[i]
			twin.passes = true
			twin.weight += math.Log(passesShare)
			some[i].weight += math.Log(1 - passesShare)
			some = append(some, twin)
		}
	}
	return some
}

// placesOf lists the devices at which a kind may be.
func placesOf(r *Ring, kind Kind) []int {
	var places []int
	for k, d := range r.Devices {
		isolator := kind == StuckOpen || kind == StuckShut
		if isolator && (d.Before || d.After) || !isolator && !d.Mute {
			places = append(places, k)
		}
	}
	return places
}

// variants divides a class by what its verdict does not name.
func variants(r *Ring, c Cause, weight float64) []Cause {
	var some []Cause
	switch c.Kind {
	case Earth:
		some = []Cause{c, c}
		some[1].Minus = true
	case Contact:
		for i := range 2 * len(contacts) {
			c.Side = i%2 == 1
			some = append(some, c)
		}
	case StuckOpen, StuckShut:
		if d := r.Devices[c.At]; d.After {
			some = append(some, c)
		}
		if d := r.Devices[c.At]; d.Before {
			c.Side = true
			some = append(some, c)
		}
	case Double:
		if c.Other == c.At {
			return nil
		}
		some = []Cause{c}
	default:
		some = []Cause{c}
	}
	for i := range some {
		some[i].weight = math.Log(weight / float64(len(some)))
		some[i].believed = r.believe(c.Kind)
		if c.Kind == Contact {
			sd := contacts[i/2][1]
			some[i].mean[ofFault], some[i].cov[ofFault][ofFault] = contacts[i/2][0], sd*sd
		}
	}
	return byIsolators(r, some)
}
