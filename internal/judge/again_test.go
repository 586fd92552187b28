package judge_test

import (
	"testing"
	"time"

	"sootline"
	"sootline/internal/judge"
)

// One more reading of one point, given what its type has learned, is judged in under a millisecond; the least of some
// tries, since other programs run beside. It says what the whole register would, but for what it teaches others.
func TestOnePointAgain(t *testing.T) {
	r, on := many(300)
	j := judge.New(r, on)
	j.Site()
	same := *r.Points()[7]
	same.Readings = append(same.Readings[:len(same.Readings):len(same.Readings)], sootline.Reading{At: on, Samples: []float64{24}})
	least := time.Hour
	var got judge.Judgement
	for range 20 {
		start := time.Now()
		got = j.Point(&same)
		least = min(least, time.Since(start))
	}
	if got.Value != 24 || got.ChanceOutside == nil || got.Action != judge.Leave {
		t.Errorf("%+v", got)
	}
	if least > time.Millisecond {
		t.Errorf("in %s", least)
	}
}
