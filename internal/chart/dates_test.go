package chart

import (
	"slices"
	"testing"
	"time"
	_ "time/tzdata" // the same zones on any machine

	"pgregory.net/rapid"
)

func zone(t *testing.T, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

// Worked out with a calendar. Summer time begins in Berlin on 2026-03-29 at 02:00;
// in Sao Paulo it began on 2018-11-04 at midnight, which that day left out (IANA
// time zone database).
func TestDateTicks(t *testing.T) {
	for _, c := range []struct {
		name, zone, from, to string
		room                 float64
		want                 []string
	}{
		{"years", "UTC", "2021-03-01", "2025-03-01", 60, []string{"2022", "2023", "2024", "2025"}},
		{"quarters", "UTC", "2025-02-10", "2026-02-10", 60, []string{"2025-04", "2025-07", "2025-10", "2026-01"}},
		{"months", "Europe/Berlin", "2026-02-20", "2026-05-20", 60, []string{"2026-03", "2026-04", "2026-05"}},
		{"mondays", "Europe/Berlin", "2026-03-20", "2026-04-10", 60, []string{"2026-03-23", "2026-03-30", "2026-04-06"}},
		{"days over summer time", "Europe/Berlin", "2026-03-28", "2026-03-31", 60, []string{"2026-03-28", "2026-03-29", "2026-03-30", "2026-03-31"}},
		{"a day without midnight", "America/Sao_Paulo", "2018-11-03", "2018-11-06", 60, []string{"2018-11-03", "2018-11-04", "2018-11-05", "2018-11-06"}},
		{"hours over summer time", "Europe/Berlin", "2026-03-29", "2026-03-30", 60, []string{"03-29 00:00", "03-29 06:00", "03-29 12:00", "03-29 18:00", "03-30 00:00"}},
		{"decades", "UTC", "1995-01-01", "2035-01-01", 30, []string{"2000", "2010", "2020", "2030"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			z := zone(t, c.zone)
			local := func(text string) time.Time {
				d := day(text)
				return time.Date(d.Year(), d.Month(), d.Day(), 0, 0, 0, 0, z)
			}
			var got []string
			for _, tick := range dateTicks(local(c.from), local(c.to), z, c.room) {
				got = append(got, tick.words)
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("got %v, want %v", got, c.want)
			}
		})
	}
}

// Ticks are inside what is asked, in order, named by different words, begin a day
// (or an hour) where people live, and their words have room.
func TestDateTicksAny(t *testing.T) {
	zones := []*time.Location{time.UTC, zone(t, "Europe/Berlin"), zone(t, "America/Sao_Paulo"), zone(t, "Asia/Kathmandu"), zone(t, "Australia/Lord_Howe")}
	first, last := time.Date(1000, 1, 2, 0, 0, 0, 0, time.UTC).Unix(), time.Date(9999, 12, 30, 0, 0, 0, 0, time.UTC).Unix()
	rapid.Check(t, func(t *rapid.T) {
		from := rapid.Int64Range(first, last).Draw(t, "from")
		to := from + min(int64(1)<<rapid.IntRange(10, 38).Draw(t, "length"), last-from)
		room := rapid.Float64Range(10, 200).Draw(t, "room")
		z := rapid.SampledFrom(zones).Draw(t, "zone")
		got := dateTicks(time.Unix(from, 0), time.Unix(to, 0), z, room)
		letters := 0
		for i, tick := range got {
			letters += len(tick.words)
			if tick.at.Unix() < from || tick.at.Unix() > to || i > 0 && !tick.at.After(got[i-1].at) {
				t.Fatalf("tick %v is outside, or not in order", tick)
			}
			if i > 0 && tick.words == got[i-1].words && len(tick.words) != len("01-02 15:04") { // an hour may come twice
				t.Fatalf("twice %s", tick.words)
			}
		}
		if float64(letters) > room+30 {
			t.Fatalf("%d letters for %v", letters, room)
		}
	})
}
