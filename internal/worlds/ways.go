package worlds

import (
	"bytes"
	"crypto/ed25519"
	"encoding/base64"
	"fmt"
	"math/rand/v2"
	"slices"
)

// doing is what a way does to an export, to one station where it is about one.
type doing = func(rng *rand.Rand, x *export, station string) bool

// both does one thing and then another; neither counts without the other.
func both(first, then doing) doing {
	return func(rng *rand.Rand, x *export, station string) bool {
		return first(rng, x, station) && then(rng, x, station)
	}
}

// all does a thing to each station that gives the occasion.
func all(do doing) doing {
	return func(rng *rand.Rand, x *export, _ string) bool {
		done := false
		for _, s := range x.stations() {
			done = do(rng, x, s) || done
		}
		return done
	}
}

// one changes a line of the station.
func one(change func(*rand.Rand, *row) bool) doing {
	return func(rng *rand.Rand, x *export, station string) bool {
		at := x.of(station)
		for _, i := range rng.Perm(len(at)) {
			if change(rng, &x.rows[at[i]]) {
				return true
			}
		}
		return false
	}
}

// removeLine takes out a line that is not the last of its station.
func removeLine(rng *rand.Rand, x *export, station string) bool {
	at := x.of(station)
	if len(at) < 2 {
		return false
	}
	i := at[rng.IntN(len(at)-1)]
	x.rows = slices.Delete(x.rows, i, i+1)
	return true
}

func exchange(rng *rand.Rand, x *export, station string) bool {
	at := x.of(station)
	if len(at) < 2 {
		return false
	}
	two := rng.Perm(len(at))
	a, b := &x.rows[at[two[0]]], &x.rows[at[two[1]]]
	n, m := a.seq, b.seq
	a.number(m)
	b.number(n)
	return true
}

func shuffle(rng *rand.Rand, x *export, _ string) bool {
	at := x.entries()
	if len(at) < 2 {
		return false
	}
	two := rng.Perm(len(at))
	i, j := at[two[0]], at[two[1]]
	x.rows[i], x.rows[j] = x.rows[j], x.rows[i]
	return true
}

// copied gives a copy of a random line of the station.
func copied(rng *rand.Rand, x *export, station string) (row, int, bool) {
	at := x.of(station)
	if len(at) == 0 {
		return row{}, 0, false
	}
	i := at[rng.IntN(len(at))]
	r := x.rows[i]
	r.raw = slices.Clone(r.raw)
	return r, i, true
}

func double(rng *rand.Rand, x *export, station string) bool {
	r, i, ok := copied(rng, x, station)
	if ok {
		x.rows = slices.Insert(x.rows, i, r)
	}
	return ok
}

func renumbered(rng *rand.Rand, x *export, station string) bool {
	r, i, ok := copied(rng, x, station)
	if ok {
		r.number(len(x.of(station)) + 1)
		x.rows = slices.Insert(x.rows, i+1, r)
	}
	return ok
}

// cutTail takes the last lines of a station, and leaves one at least.
func cutTail(rng *rand.Rand, x *export, station string) bool {
	at := x.of(station)
	if len(at) < 2 {
		return false
	}
	keep := 1 + rng.IntN(len(at)-1)
	from := x.rows[at[keep]].seq
	x.drop(func(r row) bool { return !r.head && r.station == station && r.seq >= from })
	return true
}

func dropLines(_ *rand.Rand, x *export, station string) bool {
	x.drop(func(r row) bool { return !r.head && r.station == station })
	return len(x.heads()) > 0 || len(x.rows) > 0
}

func dropHead(_ *rand.Rand, x *export, station string) bool {
	n := len(x.rows)
	x.drop(func(r row) bool { return r.head && r.station == station })
	return len(x.rows) < n
}

func fitHead(_ *rand.Rand, x *export, station string) bool { return x.fit(station) }

// others says that there is another station.
func others(_ *rand.Rand, x *export, _ string) bool { return len(x.stations()) > 1 }

// rehash changes a line of a station and hashes it again from there to its end.
func rehash(rng *rand.Rand, x *export, station string) bool {
	at := x.of(station)
	n := rng.IntN(len(at))
	if !alter(rng, &x.rows[at[n]]) {
		return false
	}
	x.rechain(station, n)
	return true
}

// insert forges an entry after a line of the station: that line under another id, altered.
func insert(rng *rand.Rand, x *export, station string) bool {
	r, i, ok := copied(rng, x, station)
	id := bytes.Index(r.raw, []byte(`{"id":"`))
	if !ok || id != 0 || len(r.raw) < 43 {
		return false
	}
	copy(r.raw[len(`{"id":"`)+24:], fmt.Sprintf("%012x", rng.Uint64()>>16))
	alter(rng, &r)
	at := x.of(station)
	n := slices.Index(at, i)
	for _, later := range at[n+1:] {
		x.rows[later].number(x.rows[later].seq + 1)
	}
	r.number(r.seq + 1)
	x.rows = slices.Insert(x.rows, i+1, r)
	x.rechain(station, n+1)
	return true
}

// move gives the last line of a station to another one.
func move(rng *rand.Rand, x *export, station string) bool {
	to := slices.DeleteFunc(x.stations(), func(s string) bool { return s == station })
	at := x.of(station)
	if len(to) == 0 || len(at) < 2 {
		return false
	}
	n := rng.IntN(len(at))
	other := to[rng.IntN(len(to))]
	r := &x.rows[at[n]]
	r.raw = bytes.Replace(r.raw, []byte(`"station":"`+station+`"`), []byte(`"station":"`+other+`"`), 1)
	r.station, r.seq = other, 1+len(x.of(other))
	x.rechain(station, n)
	x.rechain(other, len(x.of(other))-1)
	return true
}

// head changes the head of a station.
func head(change func(*rand.Rand, *Head)) doing {
	return func(rng *rand.Rand, x *export, station string) bool {
		return x.rehead(station, func(h *Head) { change(rng, h) })
	}
}

// copySig puts another station's signature under the head of this one.
func copySig(rng *rand.Rand, x *export, station string) bool {
	from := slices.DeleteFunc(x.stations(), func(s string) bool { return s == station })
	if len(from) == 0 {
		return false
	}
	var sig string
	ok := x.rehead(from[rng.IntN(len(from))], func(h *Head) { sig = h.Sig })
	return ok && x.rehead(station, func(h *Head) { h.Sig = sig })
}

// resign makes the head fit and signs it with a new key.
func resign(rng *rand.Rand, x *export, station string) bool {
	if x.message == nil || !x.fit(station) {
		return false
	}
	k := key(rng)
	return x.rehead(station, func(h *Head) {
		h.Key, h.Sig = encoded(k), ""
		h.Sig = base64.RawURLEncoding.EncodeToString(ed25519.Sign(k, x.message(*h)))
	})
}
