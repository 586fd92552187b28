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
		{"a dusty room is told of a detector that rose with it", Peer{State: Alike, Room: RoomRaised, Shares: true, Reason: "peer"}, Leave, Leave, 2},
		{"and not of one that did not", Peer{State: Alike, Room: RoomRaised, Reason: "peer"}, Leave, Leave, 1},
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

// Of a reading that is likely a slip nobody says that the detector itself differs.
func TestSlipsAreNotHeldAgainstPeers(t *testing.T) {
	j := Judgement{Action: LookAgain, Reasons: []string{"own"}, unsure: true}
	if j.among(Peer{State: HighAmong, Reason: "peer"}); len(j.Reasons) != 1 {
		t.Errorf("%q", j.Reasons)
	}
}

func TestAfterCleaning(t *testing.T) {
	j := Judgement{Action: CleanNow, ChanceOutside: new(0.9), Reasons: []string{"own"}}
	j.after(Upkeep{Reasons: []string{"it fell by 8"}}, 0.5)
	if j.Action != CleanNow || !slices.Equal(j.Reasons, []string{"own", "it fell by 8"}) {
		t.Errorf("a cleaning that helped: %s, %q", j.Action, j.Reasons)
	}
	j = Judgement{Action: CleanNow, ChanceOutside: new(0.9), Reasons: []string{"own"}}
	j.after(Upkeep{Worn: 1, Reasons: []string{"it fell by 1", "cleaning no longer pays"}}, 0.5)
	if j.Action != Replace || strings.Join(j.Reasons, "; ") != "cleaning no longer pays; own; it fell by 1" {
		t.Errorf("a cleaning that did not: %s, %q", j.Action, j.Reasons)
	}
	j = Judgement{Action: CleanNow, ChanceOutside: new(0.9), Reasons: []string{"read 41"}, Advice: "clean it now"}
	j.after(Upkeep{Worn: 1, Reasons: []string{"it fell by 1", "cleaning no longer pays"}}, 0.5)
	if strings.Join(j.Sentences(), "; ") != "cleaning no longer pays: replace it; read 41; it fell by 1" {
		t.Errorf("two things to do at once: %q", j.Reasons)
	}
	j = Judgement{Action: Leave, Reasons: []string{"own"}}
	j.after(Upkeep{Worn: 1, Reasons: []string{"cleaning no longer pays"}}, 0.5)
	if strings.Join(j.Sentences(), "; ") != "own; cleaning no longer pays" {
		t.Errorf("it is left, and told to be replaced: %q", j.Reasons)
	}
	j = Judgement{Action: Leave, Reasons: []string{"own"}}
	if j.after(Upkeep{Worn: 1, Reasons: []string{"cleaning no longer pays"}}, 0.5); j.Action != Leave {
		t.Errorf("a point that can be left: %s", j.Action)
	}
}
