package troubles

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
)

// small is a loop laid by hand: panel, 0, isolator 1, 2 with a spur of 3 and 4, 5, isolator 6, 7, panel. Device 3 is a relay
// that is two numbers wide.
func small() Loop {
	d := func(typ string, wanted, spur int) Device {
		return Device{Type: typ, Wanted: wanted, Width: min(1, wanted), Spur: spur, Isolates: typ == plainIsolator}
	}
	l := Loop{First: 1, Last: 12, Unset: 15, Types: []Type{{Name: "Larch", Setter: "switches 7"}}, Devices: []Device{
		d("Larch", 1, -1), d(plainIsolator, 0, -1), d("Elder", 2, -1), d("Relay", 3, 2), d("Larch", 5, 2), d("Larch", 6, -1),
		d(plainIsolator, 0, -1), d("Elder", 7, -1),
	}}
	l.Devices[3].Width = 2
	return l
}

// TestPhysics by the loop of small.
func TestPhysics(t *testing.T) {
	l := small()
	p := newPlanter(rand.New(rand.NewPCG(1, 1)), &l)
	if got, want := l.sections(), [][]int{{0}, {2, 5, 3, 4}, {7}}; !reflect.DeepEqual(got, want) {
		t.Errorf("sections %v, want %v", got, want)
	}
	if p.free[key{false, 4}] || !p.free[key{false, 8}] || p.free[key{false, 13}] {
		t.Error("4 is the relay's second number, 8 is free, 13 is outside")
	}
	for _, c := range []struct {
		name string
		all  []effect
		want []int // the numbers that answer
	}{
		{"sound", nil, []int{1, 2, 3, 5, 6, 7}},
		{"short", []effect{l.gone(Short, l.sections()[1])}, []int{1, 7}},
		{"spur", []effect{l.gone(Open, []int{4})}, []int{1, 2, 3, 6, 7}},
		{"two openings", []effect{l.gone(Open, l.behind([]int{0, 1, 2}))}, []int{6, 7}},
		{"unset", []effect{moved(Unset, map[int]int{0: 15, 5: 15})}, []int{2, 3, 5, 7, 15}},
		{"outside", []effect{moved(Misset, map[int]int{0: 13})}, []int{2, 3, 5, 6, 7}},
		{"doubled", []effect{moved(Doubled, map[int]int{0: 7})}, []int{2, 3, 5, 6, 7}},
		{"shifted", []effect{p.shift([]int{4, 5, 7}, 1)}, []int{1, 2, 3, 6, 7, 8}},
		{"exchanged", []effect{p.around([]int{0, 7})}, []int{1, 2, 3, 5, 6, 7}},
		{"stranger", []effect{answering(stranger{at: key{false, 11}})}, []int{1, 2, 3, 5, 6, 7, 11}},
	} {
		var got []int
		for _, a := range l.answers(p.rng, c.all, list{types: true, unstable: true}) {
			got = append(got, a.Number)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// TestMisreadings by hand: 5 is 0000101; from the other end 1010000 is 80; the other way round 1111010 is 122; both, 0101111
// is 47. On dials 5 is 05, and read the wrong way round 50.
func TestMisreadings(t *testing.T) {
	for setter, want := range map[string][]int{"switches 7": {80, 122, 47}, "switches 8": {160, 250, 95}, "dials 9": {50}, "electronic": nil} {
		var got []int
		for _, read := range misreadings(setter) {
			n, _ := read(5)
			got = append(got, n)
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s: %v, want %v", setter, got, want)
		}
	}
}
