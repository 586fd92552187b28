package address_test

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"slices"
	"testing"
	"time"

	"sootline/internal/address"
	"sootline/internal/worlds/plans"
)

// peerDevice is a device as scripts/oracle_plans.py reads it.
type peerDevice struct {
	Now   int   `json:"now"`
	Width int   `json:"width"`
	May   []int `json:"may"`
	Range int   `json:"range"`
}

func peerLoop(l address.Loop) []peerDevice {
	var all []peerDevice
	for _, d := range l.Devices {
		peer := peerDevice{Now: d.Wanted, Width: d.Width}
		if l.Span.Separate {
			peer.Range = int(d.Range)
		}
		for n := d.Setter.Least(); n <= min(d.Setter.Most(), l.Span.Last); n++ {
			if l.Span.Refuse(n, d.Width) == nil && (!d.Pinned || n == d.Wanted) {
				peer.May = append(peer.May, n)
			}
		}
		all = append(all, peer)
	}
	return all
}

// TestMovesAgainstHiGHS holds the fewest moves of loops of 250 devices under 40
// constraints against an integer program, and both times in one run.
func TestMovesAgainstHiGHS(t *testing.T) {
	if os.Getenv("SOOTLINE_ORACLE") != "1" {
		t.Skip("set SOOTLINE_ORACLE=1 to compare with HiGHS (needs /usr/bin/python3 with python3-scipy)")
	}
	var loops [][]peerDevice
	var ours []int
	var spent []float64
	for seed := uint64(0); seed < uint64(2*many(2)); seed += 2 { // even ones are with Keep
		c := plans.Large(seed)
		l, style := planCase(c)
		begun := time.Now()
		p, err := address.Plan(l, style)
		if err != nil {
			continue // no room for the spares
		}
		spent = append(spent, time.Since(begun).Seconds()*1000)
		loops, ours = append(loops, peerLoop(l)), append(ours, plans.Moves(c, p.Numbers))
	}
	in, err := json.Marshal(loops)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("/usr/bin/python3", "../../scripts/oracle_plans.py")
	cmd.Stdin, cmd.Stderr = bytes.NewReader(in), os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("oracle: %v", err)
	}
	var answer struct {
		Moves        []int
		Milliseconds []float64
	}
	if err := json.Unmarshal(out, &answer); err != nil {
		t.Fatal(err)
	}
	if len(answer.Moves) != len(ours) || len(ours) == 0 {
		t.Fatalf("%d answers to %d loops", len(answer.Moves), len(ours))
	}
	for i, want := range answer.Moves {
		if ours[i] != want {
			t.Errorf("loop %d: %d moves, HiGHS finds %d", i, ours[i], want)
		}
	}
	slices.Sort(spent)
	slices.Sort(answer.Milliseconds)
	t.Logf("%d loops: ours, with the order too, %.1f ms (longest %.1f); HiGHS, the moves alone, %.0f ms (longest %.0f); medians",
		len(ours), spent[len(spent)/2], spent[len(spent)-1], answer.Milliseconds[len(ours)/2], answer.Milliseconds[len(ours)-1])
}
