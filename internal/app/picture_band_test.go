package app

import (
	"math"
	"testing"
	"time"

	"sootline"
	"sootline/internal/judge"
)

// A band of one limit is drawn, and a day is foretold at the limit that there is alone.
func TestBandOfOneLimitIsDrawn(t *testing.T) {
	day := time.Date(2030, 1, 1, 0, 0, 0, 0, time.UTC)
	j := &Judgement{}
	j.Band, j.LeavesEarliest, j.Leaves = &sootline.Band{High: new(60.0)}, &day, judge.HighLimit
	if bands, forecast := bandAndForecast(j); len(bands) != 1 || bands[0].High != 60 || !math.IsInf(bands[0].Low, -1) || forecast == nil || forecast.Limit != 60 {
		t.Errorf("%+v, %+v", bands, forecast)
	}
	j.Leaves = judge.LowLimit
	if bands, forecast := bandAndForecast(j); len(bands) != 1 || forecast != nil {
		t.Errorf("below no limit: %+v, %+v", bands, forecast)
	}
	for _, none := range []*sootline.Band{nil, {}} {
		j.Band = none
		if bands, _ := bandAndForecast(j); bands != nil {
			t.Errorf("no band: %+v", bands)
		}
	}
}
