package loops

import (
	"os"
	"reflect"
	"strconv"
	"testing"
)

var tastes = map[string]Taste{
	"as today":         {BaseTo: 0.5},
	"constant current": {Amps: true, NoRules: true},
	"facts missing":    {Missing: true, BaseTo: 0.5},
	"all":              {Missing: true, Bounds: true, Stepwise: true, Range: true, OneCore: true, BaseTo: 0.5},
}

func seeds(t *testing.T) uint64 {
	t.Helper()
	if n, err := strconv.Atoi(os.Getenv("SOOTLINE_LOOPS")); err == nil {
		return uint64(n)
	}
	return 80
}

// TestVerdictsAreMixed: a loop drawn twice is the same; each verdict is had often enough for a score to tell something.
func TestVerdictsAreMixed(t *testing.T) {
	for name, taste := range tastes {
		had := map[Says]uint64{}
		nears := uint64(0)
		for seed := range seeds(t) {
			l := Draw(seed, taste)
			if !reflect.DeepEqual(l, Draw(seed, taste)) {
				t.Fatal(name, seed, "is not drawn alike twice")
			}
			truth := Judge(l)
			had[truth.Says]++
			if truth.Near {
				nears++
			}
		}
		if had[Shown] < seeds(t)/8 || had[Fails] < seeds(t)/8 || taste.Missing && had[NotShown] < seeds(t)/25 || nears > seeds(t)/20 {
			t.Error(name, had, nears)
		}
	}
}

// TestScoreTakesTheTruth, and refuses what is turned round, moved or exaggerated.
func TestScoreTakesTheTruth(t *testing.T) {
	for name, taste := range tastes {
		for seed := range seeds(t) {
			l := Draw(seed, taste)
			truth := Judge(l)
			honest, lies := claims(l, truth)
			if mark := Score(l, truth, honest); !mark.Sound || mark.Weak {
				t.Fatalf("%s %d: the truth is refused: %s", name, seed, mark.Why)
			}
			for k, lie := range lies {
				if mark := Score(l, truth, lie); mark.Sound && !truth.Near {
					t.Fatalf("%s %d: lie %d is taken: %+v", name, seed, k, lie)
				}
			}
		}
	}
}

// claims gives what an honest engine says, and lies.
func claims(l *Loop, truth Truth) (honest Claim, lies []Claim) {
	honest = Claim{Says: truth.Says}
	switch truth.Says {
	case Shown:
		lies = []Claim{{Says: Fails, Fail: truth.Worst}, {Says: NotShown, Missing: []Fact{{Kind: Metres, At: 99}}}}
	case Fails:
		honest.Fail = truth.Failing[0]
		more := honest
		more.Fail.By = more.Fail.By*1.5 + 0.1
		elsewhere := honest
		elsewhere.Fail.State.Stretch = 99
		lies = []Claim{{Says: Shown}, elsewhere}
		if len(l.Missing) == 0 && more.Fail.By < 1e9 {
			lies = append(lies, more)
		}
	case NotShown:
		honest.Missing = truth.Alone[:min(1, len(truth.Alone))]
		if len(truth.Alone) == 0 {
			honest.Missing = needed(l)
		}
		lies = []Claim{{Says: Shown}, {Says: NotShown}, {Says: Fails, Fail: truth.Failing[0]}}
	}
	return honest, lies
}

// needed leaves out of all missing facts what is not needed.
func needed(l *Loop) []Fact {
	keep := append([]Fact{}, l.Missing...)
	for k := 0; k < len(keep); {
		without := append(append([]Fact{}, keep[:k]...), keep[k+1:]...)
		if l.unsafe(without).Says == Shown {
			keep = without
		} else {
			k++
		}
	}
	return keep
}

// TestHuntFindsWhatAllChoicesFind: of constant currents the hunt over every fault is as bad as the worst of all choices.
func TestHuntFindsWhatAllChoicesFind(t *testing.T) {
	for seed := range uint64(60) {
		l := Draw(seed, Taste{Amps: true, NoRules: true})
		truth, found := Judge(l), Hunt(l, 200, seed)
		if truth.Says == Fails && !truth.Near && found.By <= 0 {
			t.Errorf("%d: %+v is not found", seed, truth.Failing[0])
		}
		if found.By > 0 && !ScoreFailure(l, found).Sound {
			t.Errorf("%d: %+v does not fail so", seed, found)
		}
	}
}

// TestLargeLoops: what the hunt finds in loops of up to 250 points fails when its state is solved alone.
func TestLargeLoops(t *testing.T) {
	failing := 0
	for seed, n := range []int{10, 60, 126, 250} {
		l := Draw(uint64(seed), Taste{Points: n, NoRules: true})
		found := Hunt(l, 2, uint64(seed))
		if found.By <= 0 {
			continue
		}
		failing++
		if mark := ScoreFailure(l, found); !mark.Sound {
			t.Error(n, mark.Why)
		}
	}
	if failing == 0 {
		t.Error("no large loop fails")
	}
}
