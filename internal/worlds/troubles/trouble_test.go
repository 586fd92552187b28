package troubles

import (
	"reflect"
	"slices"
	"testing"
)

// TestMake: each kind is drawn, one seed gives one trouble, and what was planted gives the answers.
func TestMake(t *testing.T) {
	for _, kind := range Kinds() {
		for seed := range uint64(20) {
			a, b := Make(seed, kind), Make(seed, kind)
			if a.Truth == nil {
				t.Errorf("%s %d: not drawn", kind, seed)
				continue
			}
			if !reflect.DeepEqual(a, b) {
				t.Errorf("%s %d: two troubles", kind, seed)
			}
			if first, second := Score(a, a.Truth); !first || !second {
				t.Errorf("%s %d: the truth does not score", kind, seed)
			}
			if first, _ := Score(a, nil); first {
				t.Errorf("%s %d: nothing said scores", kind, seed)
			}
		}
	}
}

// TestHealthy: where nothing is wrong, all answer as they should, and only saying nothing is right.
func TestHealthy(t *testing.T) {
	for seed := range uint64(50) {
		h := Make(seed)
		p := newPlanter(nil, &h.Loop)
		if s := p.signs(h.Answers); s.count() > 0 {
			t.Fatalf("%d: %+v", seed, s)
		}
		if first, _ := Score(h, nil); !first {
			t.Error("nothing said is right")
		}
		if first, _ := Score(h, []Cause{{Kind: Silent, Devices: []int{1}}}); first {
			t.Error("a cause said of a sound loop")
		}
	}
}

// TestWrongExplainers: one that always says silent, one that names the kind but a device too few, one that turns the order.
func TestWrongExplainers(t *testing.T) {
	mute := func(tr Trouble) []Cause {
		p := newPlanter(nil, &tr.Loop)
		var out []Cause
		for _, i := range p.signs(tr.Answers).missing {
			out = append(out, Cause{Kind: Silent, Devices: []int{i}})
		}
		return out
	}
	r := Try(mute, 120, 40, 7)
	if r.Alone.First > 25 || r.By[Silent].First != r.By[Silent].Tried || r.Pairs.Second > 2 {
		t.Errorf("always silent:\n%s", r)
	}
	for seed := range uint64(30) {
		tr := Make(seed, Ring)
		said := tr.Truth[0]
		said.Devices = said.Devices[1:]
		if first, second := Score(tr, []Cause{said}); first || second {
			t.Error("a ring with one too few")
		}
		pair := Make(seed, Exchanged, Short)
		if first, second := Score(pair, pair.Truth[:1]); !first || second {
			t.Error("one of a pair is not both")
		}
		slices.Reverse(pair.Truth)
		if first, second := Score(pair, append([]Cause{{Kind: Open, Devices: []int{0}}}, pair.Truth...)); first || second {
			t.Error("a wrong one first")
		}
	}
}

// TestEqualIsRare: what cannot be told apart is the exception, or the measure would be easy.
func TestEqualIsRare(t *testing.T) {
	by, tried := map[string]int{}, 0
	for _, kind := range Kinds() {
		for seed := range uint64(50) {
			tried++
			if tr := Make(seed+9000, kind); len(tr.Equal) > 0 {
				by[kind]++
			}
		}
	}
	sum := 0
	for _, n := range by {
		sum += n
	}
	if t.Log(tried, by); sum*10 > tried {
		t.Errorf("%d of %d", sum, tried)
	}
}

// TestPlainExplainer: the fewest and likeliest causes, looked for without hurry, explain what was planted. It shows that
// the troubles can be explained from the answers alone.
func TestPlainExplainer(t *testing.T) {
	r := Try(plain, 240, 120, 3)
	t.Logf("\n%s%v", r, r.Traceless)
	if r.Alone.First*100 < 95*r.Alone.Tried || r.Pairs.Second*100 < 90*r.Pairs.Tried {
		for _, m := range r.Misses {
			t.Logf("%d %v: %v, said %v", m.Seed, m.Kinds, m.Truth, m.Said)
		}
		t.Error("too few")
	}
}

// plain is the lightest of all rivals that fit.
func plain(tr Trouble) []Cause {
	p := newPlanter(nil, &tr.Loop)
	s := p.signs(tr.Answers)
	var best []effect
	least := 1000
	for _, other := range p.others(60, s) {
		weight := 0
		for _, e := range other {
			weight += p.weigh(e, s)
		}
		if weight < least && p.fits(other, s) {
			best, least = other, weight
		}
	}
	return causes(best)
}
