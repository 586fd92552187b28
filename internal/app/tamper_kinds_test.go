package app

import (
	"bytes"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"

	"sootline"
)

// A tamperer changes an export at random, in a copy, and names what it did.
type tamperer func(chance *rand.Rand, lines [][]byte) (changed [][]byte, kind string)

// loot is what a forger got hold of besides the export.
type loot struct {
	older   [][]byte // an export of an earlier day
	foreign [][]byte // one of another site
}

// tamper is the house's own tamperer.
func (l loot) tamper(chance *rand.Rand, lines [][]byte) ([][]byte, string) {
	kinds := l.kinds()
	kind := slices.Sorted(maps.Keys(kinds))[chance.IntN(len(kinds))]
	f := &forgery{chance: chance, loot: l}
	for _, line := range lines {
		if sootline.IsHeadLine(line) {
			f.heads = append(f.heads, line)
			continue
		}
		f.lines = append(f.lines, line)
	}
	kinds[kind](f)
	return slices.Concat(f.lines, f.heads), kind
}

// forgery is an export on its way to another one.
type forgery struct {
	loot
	chance       *rand.Rand
	lines, heads [][]byte
}

func (l loot) kinds() map[string]func(*forgery) {
	return map[string]func(*forgery){
		"a word changed":            func(f *forgery) { f.alter() },
		"a line removed":            func(f *forgery) { i := f.any(); f.lines = slices.Delete(f.lines, i, i+1) },
		"two lines swapped":         func(f *forgery) { i, j := f.any(), f.any(); f.lines[i], f.lines[j] = f.lines[j], f.lines[i] },
		"a line there twice":        func(f *forgery) { f.lines = slices.Insert(f.lines, f.any(), f.lines[f.any()]) },
		"a station's tail cut":      func(f *forgery) { f.cutStation(f.station()) },
		"the file cut":              func(f *forgery) { f.lines, f.heads = f.lines[:1+f.chance.IntN(len(f.lines)-1)], nil },
		"a chain hashed anew":       func(f *forgery) { f.rechain(f.alter()) },
		"a chain signed anew":       func(f *forgery) { s := f.rechain(f.alter()); f.signAnew(s) },
		"all chains hashed anew":    func(f *forgery) { f.alter(); f.rewrite() },
		"all chains signed anew":    func(f *forgery) { f.alter(); f.rewrite(); f.signAnew(f.stations()...) },
		"a line added":              func(f *forgery) { f.append(f.station()) },
		"a line moved":              func(f *forgery) { f.move() },
		"a head removed":            func(f *forgery) { i := f.chance.IntN(len(f.heads)); f.heads = slices.Delete(f.heads, i, i+1) },
		"all heads removed":         func(f *forgery) { f.heads = nil },
		"a signature changed":       func(f *forgery) { f.spoil() },
		"a head of another station": func(f *forgery) { f.heads[0] = bytes.Replace(f.heads[1], []byte(f.name(1)), []byte(f.name(0)), 1) },
		"a head of another site":    func(f *forgery) { f.heads[0] = f.foreign[len(f.foreign)-1] },
		"a station taken away":      func(f *forgery) { f.drop(f.station()) },
		"set back to an older head": func(f *forgery) { f.setBack(f.station()) },
	}
}

func (f *forgery) any() int { return f.chance.IntN(len(f.lines)) }

func mustParse(line []byte) sootline.Entry {
	e, err := sootline.ParseLine(line)
	if err != nil {
		panic(err)
	}
	return e
}

func (f *forgery) stations() []string {
	names := map[string]bool{}
	for _, line := range f.lines {
		names[mustParse(line).Station] = true
	}
	return slices.Sorted(maps.Keys(names))
}

func (f *forgery) station() string { all := f.stations(); return all[f.chance.IntN(len(all))] }

func (f *forgery) name(i int) string {
	head, err := sootline.ParseHeadLine(f.heads[i])
	if err != nil {
		panic(err)
	}
	return head.Station
}

// alter changes what a line says, without closing it anew, and gives its place.
func (f *forgery) alter() int {
	i := f.any()
	e := mustParse(f.lines[i])
	e.By = fmt.Sprint("B. Other ", f.chance.IntN(1000))
	f.put(i, &e)
	return i
}

func (f *forgery) put(i int, e *sootline.Entry) {
	line, err := sootline.AppendLine(nil, e)
	if err != nil {
		panic(err)
	}
	f.lines[i] = line
}

// of gives the places of a station's lines, in order.
func (f *forgery) of(station string) []int {
	var at []int
	for i, line := range f.lines {
		if mustParse(line).Station == station {
			at = append(at, i)
		}
	}
	return at
}

// rechain closes the chain of the line's station anew, all of it.
func (f *forgery) rechain(i int) string {
	station := mustParse(f.lines[i]).Station
	var chain sootline.Chain
	for _, i := range f.of(station) {
		f.seal(&chain, i)
	}
	return station
}

func (f *forgery) seal(chain *sootline.Chain, i int) sootline.Entry {
	e := mustParse(f.lines[i])
	line, err := chain.Seal(nil, &e)
	if err != nil {
		panic(err)
	}
	f.lines[i] = line
	return e
}

// rewrite closes all chains anew, in the order in which they were written, and
// makes the pins agree.
func (f *forgery) rewrite() {
	order := make([]int, len(f.lines))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return mustParse(f.lines[a]).Noted.Compare(mustParse(f.lines[b]).Noted) })
	chains, hashes := map[string]*sootline.Chain{}, held{}
	for _, i := range order {
		e := mustParse(f.lines[i])
		if pinned, ok := e.Body.(sootline.Pinned); ok {
			heads := slices.Clone(pinned.Heads)
			for k := range heads {
				heads[k].Hash = hashes[place{heads[k].Station, heads[k].Seq}]
			}
			e.Body = sootline.Pinned{Heads: heads, Why: pinned.Why}
			f.put(i, &e)
		}
		if chains[e.Station] == nil {
			chains[e.Station] = &sootline.Chain{}
		}
		e = f.seal(chains[e.Station], i)
		hashes[place{e.Station, e.Seq}] = e.Hash
	}
}

// signAnew signs the ends of chains with keys of the forger's own.
func (f *forgery) signAnew(stations ...string) {
	for _, station := range stations {
		at := f.of(station)
		e := mustParse(f.lines[at[len(at)-1]])
		head := sootline.Secret{byte(f.chance.Uint32()), 1}.Sign(e.Site, sootline.Head{Station: station, Seq: e.Seq, Hash: e.Hash})
		for i := range f.heads {
			if f.name(i) == station {
				f.heads[i] = sootline.AppendHeadLine(nil, &head)
			}
		}
	}
}

// append adds a line to a station's chain, rightly closed.
func (f *forgery) append(station string) {
	at := f.of(station)
	e := mustParse(f.lines[at[len(at)-1]])
	chain := sootline.Chain{Seq: e.Seq, Hash: e.Hash}
	e.ID = sootline.DerivedID(e.At, fmt.Append(nil, f.chance.Uint64()))
	e.Point, e.Body = sootline.ID{}, sootline.Note{Text: "all is well"}
	line, err := chain.Seal(nil, &e)
	if err != nil {
		panic(err)
	}
	f.lines = slices.Insert(f.lines, at[len(at)-1]+1, line)
}

// move gives a line to another station, and closes both chains anew.
func (f *forgery) move() {
	i := f.any()
	e := mustParse(f.lines[i])
	from, to := e.Station, f.station()
	e.Station = to
	f.put(i, &e)
	f.rechain(i)
	if at := f.of(from); len(at) > 0 {
		f.rechain(at[0])
	}
}

func (f *forgery) cutStation(station string) {
	at := f.of(station)
	f.cutFrom(at, 1+f.chance.IntN(len(at)))
}

// cutFrom removes the lines at these places from the n-th on.
func (f *forgery) cutFrom(at []int, n int) {
	for _, i := range slices.Backward(at[min(n, len(at)-1):]) {
		f.lines = slices.Delete(f.lines, i, i+1)
	}
}

func (f *forgery) drop(station string) {
	f.cutFrom(f.of(station), 0)
	f.heads = slices.DeleteFunc(f.heads, func(line []byte) bool {
		head, err := sootline.ParseHeadLine(line)
		return err == nil && head.Station == station
	})
}

// setBack puts the station's older head in the place of its newest, and cuts off
// what came after.
func (f *forgery) setBack(station string) {
	for _, line := range f.older {
		head, err := sootline.ParseHeadLine(line)
		if err != nil || head.Station != station {
			continue
		}
		for i := range f.heads {
			if f.name(i) == station {
				f.heads[i] = line
			}
		}
		if at := f.of(station); int(head.Seq) < len(at) {
			f.cutFrom(at, int(head.Seq))
		}
	}
}

// spoil changes one letter of a signature.
func (f *forgery) spoil() {
	i := f.chance.IntN(len(f.heads))
	line := bytes.Clone(f.heads[i])
	at := len(line) - 8 - f.chance.IntN(70)
	if line[at] == 'A' {
		line[at] = 'B'
	} else {
		line[at] = 'A'
	}
	f.heads[i] = line
}
