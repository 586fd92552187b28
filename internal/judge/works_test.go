package judge_test

import (
	"testing"

	"sootline"
	"sootline/internal/judge"
)

// attic reads two types of one room, one that rises and one that falls with dirt, beside others of both elsewhere: all
// of the room went towards dirt at the last visit, each by an amount of its own.
func attic() *town {
	town := newTown()
	town.add(sootline.ID{}, sootline.LongAgo, sootline.Sheet{TypeSheet: sootline.TypeSheet{
		Name: "Beta", Kind: sootline.Smoke, Unit: "counts", Worse: sootline.Downwards, Bands: []sootline.Band{{Low: new(130.0), High: new(200.0)}},
	}})
	for n := 1; n <= 24; n++ {
		room, went := "Attic", 5+float64(n%4)
		if n > 12 {
			room, went = "Office", 0
		}
		typ, values := "Alpha", []float64{23, 23, 24, 24, 25, 25 + went}
		if n%2 == 0 {
			typ, values = "Beta", []float64{178, 178, 177, 176, 175, 175 - 4*went}
		}
		id := town.fitType(n, room, typ)
		for i, v := range values {
			town.add(id, visit(2*i, n), sootline.Read{Samples: []float64{v + float64(n/2%3)}})
		}
	}
	return town
}

// What a whole room did at once is one story, be its types such that rise or such that fall: none of it is a drift that
// quickens, it is asked about once, and after a yes nothing there is cleaned for it.
func TestRoomOfSeveralTypesRoseAtOnce(t *testing.T) {
	town := attic()
	q := ask(t, town.register(), judge.AskWorks)
	if len(q.Points) != 12 {
		t.Errorf("asked about %v", numbersOf(q))
	}
	for range 2 { // before and after a yes
		for _, j := range judge.Site(town.register(), town.on) {
			if j.Action != judge.Leave || j.Curved || *j.ChanceOutside > 0.3 {
				t.Errorf("%s: %s, curved %t, %.2f: %q", j.Point.Ref(), j.Action, j.Curved, *j.ChanceOutside, j.Reasons)
			}
		}
		if len(judge.Unwritten(town.register())) > 0 {
			town.yes(t, q)
		}
	}
}
