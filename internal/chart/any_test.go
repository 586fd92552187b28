package chart

import (
	"math"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"pgregory.net/rapid"
)

// anyValue is mostly what devices give, and now and then what no device gives.
func anyValue() *rapid.Generator[float64] {
	return rapid.OneOf(
		rapid.Float64Range(0, 60),
		rapid.SampledFrom([]float64{0, 30, 30, 30, -1, 255, 1e-300, 1e15, -1e15, 1e308, -math.MaxFloat64, math.NaN(), math.Inf(1), math.Inf(-1), math.SmallestNonzeroFloat64}),
	)
}

func anyTime() *rapid.Generator[time.Time] {
	return rapid.Custom(func(t *rapid.T) time.Time {
		if rapid.IntRange(0, 20).Draw(t, "odd") == 0 {
			return rapid.SampledFrom([]time.Time{{}, time.Unix(0, 0), time.Date(12345, 1, 1, 0, 0, 0, 0, time.UTC), time.Unix(math.MaxInt64/2, 0), time.Date(1000, 1, 1, 0, 0, 0, 0, time.UTC)}).Draw(t, "time")
		}
		return time.Unix(rapid.Int64Range(1_500_000_000, 1_900_000_000).Draw(t, "seconds"), 0)
	})
}

func anyWords() *rapid.Generator[string] {
	return rapid.OneOf(rapid.StringMatching(`[a-z0-9 ]{0,12}`), rapid.StringN(0, 40, 80), rapid.SampledFrom([]string{"", "\x1b[2J", "a\nb", "<&\">", "\xff"}))
}

// mustDraw checks what holds for every picture on every medium.
func mustDraw(t *rapid.T, p *Picture) {
	for _, m := range []Medium{Page(), Phone()} {
		mustBeSound(t, p.For(m))
	}
	columns := rapid.IntRange(0, 140).Draw(t, "columns")
	for _, line := range strings.Split(p.Text(columns), "\n") {
		if utf8.RuneCountInString(line) > max(columns, 20) || strings.ContainsAny(line, "\x1b\r") {
			t.Fatalf("%d columns: %q", columns, line)
		}
	}
	for _, row := range p.Table.Rows {
		if len(row) != len(p.Table.Head) {
			t.Fatalf("row %q under %q", row, p.Table.Head)
		}
	}
}

func TestAnyHistory(t *testing.T) {
	reading := rapid.Custom(func(t *rapid.T) Reading {
		return Reading{anyTime().Draw(t, "at"), anyValue().Draw(t, "value"), anyValue().Draw(t, "spread"), rapid.Bool().Draw(t, "left")}
	})
	happened := rapid.Custom(func(t *rapid.T) Happened {
		return Happened{anyTime().Draw(t, "at"), rapid.SampledFrom([]string{Cleaned, Replaced, Fitted, Rebased, ""}).Draw(t, "letter"), anyWords().Draw(t, "words")}
	})
	fan := rapid.Custom(func(t *rapid.T) FanAt {
		return FanAt{anyTime().Draw(t, "at"), anyValue().Draw(t, "m"), anyValue().Draw(t, "l50"), anyValue().Draw(t, "h50"), anyValue().Draw(t, "l90"), anyValue().Draw(t, "h90")}
	})
	rapid.Check(t, func(t *rapid.T) {
		h := History{
			Point: anyWords().Draw(t, "point"), Unit: anyWords().Draw(t, "unit"), AsOf: anyTime().Draw(t, "as of"),
			Readings: rapid.SliceOfN(reading, 0, 12).Draw(t, "readings"),
			Resets:   rapid.SliceOfN(happened, 0, 4).Draw(t, "resets"), Events: rapid.SliceOfN(happened, 0, 4).Draw(t, "events"),
		}
		for range rapid.IntRange(0, 3).Draw(t, "bands") {
			h.Bands = append(h.Bands, Span{anyValue().Draw(t, "low"), anyValue().Draw(t, "high"), anyTime().Draw(t, "since")})
		}
		if rapid.Bool().Draw(t, "forecast") {
			h.Forecast = &Forecast{rapid.SliceOfN(fan, 0, 4).Draw(t, "fan"), anyValue().Draw(t, "limit"), anyTime().Draw(t, "earliest"), anyTime().Draw(t, "likely"), anyTime().Draw(t, "latest"), nil}
		}
		mustDraw(t, h.Picture())
	})
}

func TestAnyProfile(t *testing.T) {
	at := rapid.Custom(func(t *rapid.T) ProfileAt {
		return ProfileAt{anyValue().Draw(t, "metres"), anyValue().Draw(t, "volts"), anyWords().Draw(t, "point"), rapid.Bool().Draw(t, "spur")}
	})
	rapid.Check(t, func(t *rapid.T) {
		pr := Profile{Title: anyWords().Draw(t, "title"), Metres: anyValue().Draw(t, "length"), Least: rapid.SliceOfN(at, 0, 5).Draw(t, "least")}
		for range rapid.IntRange(0, 3).Draw(t, "series") {
			pr.Series = append(pr.Series, ProfileRun{anyWords().Draw(t, "name"), rapid.SliceOfN(at, 0, 6).Draw(t, "at")})
		}
		mustDraw(t, pr.Picture())
	})
}

func TestAnyRing(t *testing.T) {
	point := rapid.Custom(func(t *rapid.T) RingPoint {
		return RingPoint{
			Label: anyWords().Draw(t, "label"), Title: anyWords().Draw(t, "title"), Href: rapid.SampledFrom([]string{"", "/p"}).Draw(t, "href"),
			Kind:     rapid.SampledFrom([]Kind{Smoke, Heat, Multi, Gas, Flame, CallPoint, Sounder, Beacon, Module, IsolatorKind, Other, "?"}).Draw(t, "kind"),
			Standing: Standing(rapid.IntRange(-1, 4).Draw(t, "standing")), Isolator: rapid.Bool().Draw(t, "isolator"), Spur: rapid.SampledFrom([]string{"", "", "a"}).Draw(t, "spur"),
		}
	})
	rapid.Check(t, func(t *rapid.T) {
		p := Ring{Title: anyWords().Draw(t, "title"), Points: rapid.SliceOfN(point, 0, 60).Draw(t, "points")}.Picture()
		mustDraw(t, p)
		mustNotOverlap(t, p, Page())
	})
}

func TestAnyShares(t *testing.T) {
	at := rapid.Custom(func(t *rapid.T) SharesAt {
		return SharesAt{anyTime().Draw(t, "at"), rapid.SliceOfN(rapid.IntRange(-2, 1e9), 0, 4).Draw(t, "parts")}
	})
	rapid.Check(t, func(t *rapid.T) {
		names, all := rapid.SliceOfN(anyWords(), 0, 4).Draw(t, "names"), rapid.SliceOfN(at, 0, 8).Draw(t, "at")
		mustDraw(t, Shares{Title: anyWords().Draw(t, "title"), Names: names, At: all}.Picture())
		c := Counts{Title: "counts", Names: names}
		for _, a := range all {
			c.Months = append(c.Months, Month(a))
		}
		mustDraw(t, c.Picture())
	})
}

func TestAnyIntervals(t *testing.T) {
	row := rapid.Custom(func(t *rapid.T) Interval {
		return Interval{anyWords().Draw(t, "name"), anyValue().Draw(t, "low"), anyValue().Draw(t, "likely"), anyValue().Draw(t, "high"), anyWords().Draw(t, "note"), ""}
	})
	limit := rapid.Custom(func(t *rapid.T) RateLimit { return RateLimit{anyWords().Draw(t, "name"), anyValue().Draw(t, "at")} })
	rapid.Check(t, func(t *rapid.T) {
		mustDraw(t, Intervals{
			Title: anyWords().Draw(t, "title"), Unit: anyWords().Draw(t, "unit"),
			Rows: rapid.SliceOfN(row, 0, 6).Draw(t, "rows"), Limits: rapid.SliceOfN(limit, 0, 3).Draw(t, "limits"),
		}.Picture())
	})
}
