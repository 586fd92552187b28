package judge_test

import (
	"testing"

	"sootline"
	"sootline/internal/judge"
)

// The limit that the days speak of is the one that the level is likelier beyond by then, however far off both are.
func TestLimitThatIsNamed(t *testing.T) {
	on := date("2026-11-30")
	for _, c := range []struct {
		name   string
		worse  sootline.Direction
		low    float64
		high   float64
		values []float64
		want   judge.Limit
	}{
		{"rises near the low limit", sootline.Upwards, 0, 80, []float64{0, 3, 4, 6, 7, 9, 10, 12, 12, 14, 15, 18}, judge.HighLimit},
		{"rises slowly", sootline.Upwards, 20, 40, []float64{24, 24, 25, 25, 25, 26, 26, 26, 27, 27, 27, 28}, judge.HighLimit},
		{"falls near the high limit, where dirt leads down", sootline.Downwards, 60, 120, []float64{119, 116, 113, 109, 106, 103, 100}, judge.LowLimit},
		{"falls", sootline.Upwards, 20, 40, []float64{39, 38, 36, 35, 34, 32, 31}, judge.LowLimit},
	} {
		var b book
		b.sheet(sootline.TypeSheet{Kind: sootline.Smoke, Worse: c.worse, Bands: []sootline.Band{{Low: &c.low, High: &c.high}}})
		b.fit(date("2021-01-10"))
		for i, v := range c.values {
			b.read(date("2026-10-06").AddDate(0, -6*(len(c.values)-1-i), 0), v)
		}
		if got := b.judge(t, on); got.Leaves != c.want {
			t.Errorf("%s: leaves by its %s limit, want %s: %q", c.name, got.Leaves, c.want, got.Reasons)
		}
	}
}
