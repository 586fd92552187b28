package judge

import (
	"slices"
	"strings"
	"testing"
)

func TestAmong(t *testing.T) {
	tests := []struct {
		name string
		peer Peer
		was  Action
		want Action
		says int // reasons afterwards; there is one before
	}{
		{"alike says nothing", Peer{State: Alike, Reason: "peer"}, Leave, Leave, 1},
		{"alone in its room nothing", Peer{State: NoPeers, Reason: "peer"}, Leave, Leave, 1},
		{"far above is told", Peer{State: HighAmong, Reason: "peer"}, Leave, Leave, 2},
		{"far above and to be cleaned stays so", Peer{State: HighAmong, Reason: "peer"}, CleanNow, CleanNow, 2},
		{"far below is told", Peer{State: LowAmong, Reason: "peer"}, Leave, Leave, 2},
		{"a dusty room is told", Peer{State: Alike, Room: RoomRaised, Reason: "peer"}, Leave, Leave, 2},
	}
	for _, test := range tests {
		j := Judgement{Action: test.was, Reasons: []string{"own"}}
		j.among(test.peer)
		if j.Action != test.want || len(j.Reasons) != test.says {
			t.Errorf("%s: %s with %q", test.name, j.Action, j.Reasons)
		}
		if j.Action != test.was && j.Reasons[0] != "peer" {
			t.Errorf("%s: the reason that decided does not come first: %q", test.name, j.Reasons)
		}
	}
}

func TestAfterCleaning(t *testing.T) {
	j := Judgement{Action: CleanNow, Reasons: []string{"own"}}
	j.after(Upkeep{Reasons: []string{"it fell by 8"}})
	if j.Action != CleanNow || !slices.Equal(j.Reasons, []string{"own", "it fell by 8"}) {
		t.Errorf("a cleaning that helped: %s, %q", j.Action, j.Reasons)
	}
	j = Judgement{Action: CleanNow, Reasons: []string{"own"}}
	j.after(Upkeep{Replace: true, Reasons: []string{"it fell by 1", "cleaning no longer pays"}})
	if j.Action != Replace || strings.Join(j.Reasons, "; ") != "cleaning no longer pays; own; it fell by 1" {
		t.Errorf("a cleaning that did not: %s, %q", j.Action, j.Reasons)
	}
	j = Judgement{Action: Leave, Reasons: []string{"own"}}
	if j.after(Upkeep{Replace: true, Reasons: []string{"cleaning no longer pays"}}); j.Action != Leave {
		t.Errorf("a point that can be left: %s", j.Action)
	}
}
