package judge_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"sootline"
	"sootline/internal/judge"
)

// peersOf gives the peers of points with one reading each, in one area, by
// number from 1.
func peersOf(area string, values ...float64) map[int]judge.Peer {
	town := newTown()
	for i, v := range values {
		town.history(i+1, area, v)
	}
	return town.peers()
}

func (t *town) peers() map[int]judge.Peer {
	r := t.register()
	all := map[int]judge.Peer{}
	for p, peer := range judge.Peers(r, judge.Site(r, t.on)) {
		all[p.Number()] = peer
	}
	return all
}

// Source: median and MAD from R 4.2.2 (README of the data), the floor of
// sqrt(1+1/12) from statistics.md section 4; tolerance 1e-9 relative, and 1e-4
// for the site's default spread, which is given to four decimals.
func TestPeersAgainstR(t *testing.T) {
	raw, err := os.ReadFile("testdata/unwritten/peers.json")
	if err != nil {
		t.Fatal(err)
	}
	var sets map[string]struct {
		X      []float64
		Median float64
		MAD    float64 `json:"mad_raw"`
	}
	if err := json.Unmarshal(raw, &sets); err != nil {
		t.Fatal(err)
	}
	flagged := map[string]float64{"peers_one_dirty": 38, "peers_mad_zero": 31, "peers_small5": 33}
	for name, set := range sets {
		unit := max(1.4826*set.MAD, math.Sqrt(1+1.0/12))
		for n, peer := range peersOf("Kiln room", set.X...) {
			x := set.X[n-1]
			want := judge.Alike
			switch {
			case name == "peers_two_groups":
				want = judge.TwoLevels
			case x == flagged[name]:
				want = judge.HighAmong
			}
			if peer.State != want || peer.N != len(set.X) || peer.Centre != set.Median || math.Abs(peer.Z-(x-set.Median)/unit) > 1e-3 {
				t.Errorf("%s, %v: %+v, want %s with median %v and scale %v", name, x, peer, want, set.Median, unit)
			}
		}
	}
}

// Clean groups of 5 to 20 with standard deviation 1, rounded: at most one in a
// hundred has a point that is accused (our goal), and few stand at two levels.
func TestCleanGroupsAreNotAccused(t *testing.T) {
	const groups = 2000
	rng := rand.New(rand.NewPCG(3, 4))
	for _, n := range []int{5, 6, 8, 10, 15, 20} {
		accused, two := 0, 0
		for range groups {
			values := make([]float64, n)
			for i := range values {
				values[i] = math.Round(25 + rng.Float64() + rng.NormFloat64())
			}
			some, split := false, false
			for _, peer := range peersOf("Kiln room", values...) {
				some = some || peer.State == judge.HighAmong || peer.State == judge.LowAmong
				split = split || peer.State == judge.TwoLevels
			}
			if some {
				accused++
			}
			if split {
				two++
			}
		}
		t.Logf("groups of %d: accused %.4f, two levels %.4f", n, float64(accused)/groups, float64(two)/groups)
		if accused > groups/100 || two > groups/100 {
			t.Errorf("groups of %d: %d of %d accused, %d at two levels", n, accused, groups, two)
		}
	}
}

// A dirty detector and a dusty room are told apart.
func TestDetectorOrRoom(t *testing.T) {
	for name, c := range map[string]struct {
		rise  [6]float64
		state judge.PeerState // of the first
		room  judge.RoomState
		says  string
	}{
		"nothing":          {[6]float64{0, 1, 0, -1, 1, 0}, judge.Alike, judge.RoomUsual, "among"},
		"dirty detector":   {[6]float64{9, 1, 0, -1, 1, 0}, judge.HighAmong, judge.RoomUsual, "so the detector itself"},
		"dusty room":       {[6]float64{9, 8, 8, 9, 10, 8}, judge.Alike, judge.RoomRaised, "the room is dusty"},
		"two thirds of it": {[6]float64{9, 9, 9, 9, 0, 0}, judge.TwoLevels, judge.RoomRaised, "4 have risen"},
		"nearly all of it": {[6]float64{9, 9, 9, 9, 9, 0}, judge.Alike, judge.RoomRaised, "5 have risen"},
		"half of it":       {[6]float64{9, 9, 9, 0, 0, 0}, judge.TwoLevels, judge.RoomUsual, "two levels"},
		"both":             {[6]float64{20, 8, 8, 9, 10, 8}, judge.HighAmong, judge.RoomRaised, "the room is dusty"},
		"fallen":           {[6]float64{-9, 1, 0, -1, 1, 0}, judge.LowAmong, judge.RoomUsual, "below"},
	} {
		town := newTown()
		for i, rise := range c.rise {
			town.history(i+1, "Kiln room", 23, 23+rise/2, 23+rise)
		}
		for n := 11; n < 20; n++ {
			town.history(n, "Office", 23, 23, 24)
		}
		got := town.peers()[1]
		if got.State != c.state || got.Room != c.room || got.N != 6 || got.Within != "Kiln room" || !strings.Contains(got.Reason, c.says) {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

// Where dirt lowers the value, a room whose detectors fell is dusty; and it says how many of them did.
func TestDustyRoomOfAFallingType(t *testing.T) {
	town := newTown()
	town.add(sootline.ID{}, sootline.LongAgo.AddDate(0, 0, 1), sootline.Sheet{TypeSheet: sootline.TypeSheet{
		Name: "Alpha", Kind: sootline.Smoke, Worse: sootline.Downwards, Bands: []sootline.Band{{Low: new(18.0), High: new(60.0)}},
	}})
	for i, fall := range []float64{9, 8, 8, 9, 0, 8} {
		town.history(i+1, "Kiln room", 50, 50-fall/2, 50-fall)
	}
	for n := 11; n < 20; n++ {
		town.history(n, "Office", 50, 50, 49)
	}
	got := town.peers()
	if want := "5 have fallen since each was clean, by 8 in the middle"; got[1].Room != judge.RoomRaised || !strings.Contains(got[1].Reason, want) {
		t.Errorf("%+v", got[1])
	}
	if got[5].Shares || strings.Contains(got[5].Reason, "dusty") {
		t.Errorf("one that did not fall: %+v", got[5])
	}
}

// A quantity that is not counted keeps its own fine noise: no floor of one.
func TestPeersOfFineValues(t *testing.T) {
	town := newTown()
	town.add(sootline.ID{}, sootline.LongAgo.AddDate(0, 0, 1), sootline.Sheet{TypeSheet: sootline.TypeSheet{
		Name: "Alpha", Kind: sootline.Smoke, Unit: "%/m", PooledSD: new(0.05),
	}})
	for i, v := range []float64{2.51, 2.48, 2.55, 2.5, 2.53, 3.1} {
		town.history(i+1, "Kiln room", v)
	}
	got := town.peers()
	if got[6].State != judge.HighAmong || got[1].State != judge.Alike {
		t.Errorf("%+v", got)
	}
}

// Too few in the area: the site; too few there: none. Who is out of use or was
// not read is no peer.
func TestWhoIsAPeer(t *testing.T) {
	town := newTown()
	for n := 1; n <= 4; n++ {
		town.history(n, "Kiln room", 25)
	}
	if got := town.peers()[1]; got.State != judge.NoPeers || got.Reason == "" {
		t.Errorf("four of a type: %+v", got)
	}
	off := town.history(5, "Office", 25)
	town.fit(6, "Office")
	if got := town.peers()[1]; got.State != judge.Alike || got.Within != "" || got.N != 5 {
		t.Errorf("five on the site: %+v", got)
	}
	town.add(off, town.on, sootline.Disabled{Cause: "works"})
	got := town.peers()
	if got[1].State != judge.NoPeers {
		t.Errorf("one of five out of use: %+v", got[1])
	}
	if _, ok := got[5]; ok {
		t.Error("a point out of use has peers")
	}
}
