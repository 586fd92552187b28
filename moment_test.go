package sootline_test

import (
	"strings"
	"testing"
	"time"

	"sootline"
)

func zone(t *testing.T, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

// TestMomentOfEveryKind: days, times, offsets, and the nights on which the clocks
// are changed: 29 March and 25 October 2026 in Paris, at 02:00 and 03:00 (IANA
// time zone database).
func TestMomentOfEveryKind(t *testing.T) {
	for _, c := range []struct{ zone, text, at, says string }{
		{"Europe/Paris", "2026-01-15", "2026-01-15T11:00:00Z", ""},
		{"Europe/Paris", " 2026-01-15 09:30 ", "2026-01-15T08:30:00Z", ""},
		{"Europe/Paris", "2026-01-15T09:30:12", "2026-01-15T08:30:12Z", ""},
		{"Europe/Paris", "2026-01-15T09:30+05:30", "2026-01-15T04:00:00Z", ""},
		{"Europe/Paris", "2026-01-15T09:30Z", "2026-01-15T09:30:00Z", ""},
		{"Europe/Paris", "2026-03-29T02:30", "", "there was no 2026-03-29 02:30: the clocks went from 2026-03-29 01:59:59 straight to 2026-03-29 03:00:00"},
		{"Europe/Paris", "2026-03-29T03:00", "2026-03-29T01:00:00Z", ""},
		{"Europe/Paris", "2026-03-29T01:59:59", "2026-03-29T00:59:59Z", ""},
		{"Europe/Paris", "2026-10-25T02:30", "", "the clocks showed 2026-10-25 02:30 twice that night"},
		{"Europe/Paris", "2026-10-25T02:30+02:00", "2026-10-25T00:30:00Z", ""},
		{"Europe/Paris", "2026-10-25T02:30+01:00", "2026-10-25T01:30:00Z", ""},
		{"Europe/Paris", "2026-10-25T03:00", "2026-10-25T02:00:00Z", ""},
		{"America/Sao_Paulo", "2018-11-04T00:15", "", "there was no 2018-11-04 00:15: the clocks went from 2018-11-03 23:59:59 straight to 2018-11-04 01:00:00"},
		{"Australia/Lord_Howe", "2026-10-04T02:10", "", "straight to 2026-10-04 02:30:00"},
		{"Pacific/Apia", "2011-12-30T09:00", "", "there was no 2011-12-30 09:00: the clocks went from 2011-12-29 23:59:59 straight to 2011-12-31 00:00:00"},
		{"UTC", "yesterday", "", "not a date"},
		{"UTC", "2026-02-30", "", "not a date"},
	} {
		got, err := sootline.ParseMoment(c.text, zone(t, c.zone))
		switch {
		case c.says != "":
			if err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("%s in %s: %v, %v; want %q", c.text, c.zone, got.At.UTC(), err, c.says)
			}
		case err != nil || got.At.UTC().Format(time.RFC3339) != c.at || got.Day != (len(strings.TrimSpace(c.text)) == 10):
			t.Errorf("%s in %s: %v, day %v, %v; want %s", c.text, c.zone, got.At.UTC(), got.Day, err, c.at)
		}
	}
}

// TestMomentTwiceIsAsked: the way out names both, ready to be typed.
func TestMomentTwiceIsAsked(t *testing.T) {
	for name, want := range map[string]string{
		"Europe/Paris":  "say which: 2026-10-25T02:30+02:00 (summer time) or 2026-10-25T02:30+01:00 (winter time)",
		"Europe/Dublin": "say which: 2026-10-25T01:30+01:00 (summer time) or 2026-10-25T01:30Z (winter time)",
	} {
		hour := "02:30"
		if name == "Europe/Dublin" {
			hour = "01:30"
		}
		_, err := sootline.ParseMoment("2026-10-25 "+hour, zone(t, name))
		if hint := sootline.ErrorHint(err); hint != want {
			t.Errorf("%s: %q, want %q", name, hint, want)
		}
	}
}

// TestMomentOfEveryMinute: over the two nights, each minute that the clocks show
// once is read as what package time says, and none is moved.
func TestMomentOfEveryMinute(t *testing.T) {
	for _, name := range []string{"Europe/Paris", "America/New_York", "Australia/Lord_Howe", "Africa/Cairo", "Asia/Kolkata"} {
		z := zone(t, name)
		shown := map[string][]time.Time{}
		for at := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC); at.Year() < 2027; at = at.Add(10 * time.Minute) {
			text := at.In(z).Format("2006-01-02T15:04")
			shown[text] = append(shown[text], at)
		}
		for at := time.Date(2026, 1, 3, 0, 0, 0, 0, time.UTC); at.Before(time.Date(2026, 12, 28, 0, 0, 0, 0, time.UTC)); at = at.Add(10 * time.Minute) {
			text := at.Format("2006-01-02T15:04") // as if it were local
			got, err := sootline.ParseMoment(text, z)
			if want := shown[text]; (err == nil) != (len(want) == 1) || err == nil && !got.At.Equal(want[0]) {
				t.Fatalf("%s in %s: %v, %v; the clocks showed it at %v", text, name, got.At.UTC(), err, want)
			}
		}
	}
}

// TestDayWithoutMidnight: a day begins with its first instant, also where the
// clocks leave midnight out, and ends just before the next.
func TestDayWithoutMidnight(t *testing.T) {
	for _, c := range []struct{ zone, day, begins, ends string }{
		{"Europe/Paris", "2026-10-25", "2026-10-24T22:00:00Z", "2026-10-25T22:59:59.999Z"},
		{"America/Sao_Paulo", "2018-11-04", "2018-11-04T03:00:00Z", "2018-11-05T01:59:59.999Z"},
		{"America/Sao_Paulo", "2018-11-03", "2018-11-03T03:00:00Z", "2018-11-04T02:59:59.999Z"},
		{"Pacific/Auckland", "2026-01-20", "2026-01-19T11:00:00Z", "2026-01-20T10:59:59.999Z"},
	} {
		begins, err1 := sootline.ParseDayBegins(c.day, zone(t, c.zone))
		ends, err2 := sootline.ParseDayEnds(c.day, zone(t, c.zone))
		if err1 != nil || err2 != nil || begins.UTC().Format(time.RFC3339Nano) != c.begins || ends.UTC().Format(time.RFC3339Nano) != c.ends {
			t.Errorf("%s in %s: %v to %v, want %s to %s", c.day, c.zone, begins.UTC(), ends.UTC(), c.begins, c.ends)
		}
	}
}

// TestClockedReadsBack: what a form shows is read back as the same instant.
func TestClockedReadsBack(t *testing.T) {
	z := zone(t, "Europe/Paris")
	for at := time.Date(2026, 10, 24, 22, 0, 0, 7e6, time.UTC); at.Day() < 26; at = at.Add(13 * time.Minute) {
		got, err := sootline.ParseMoment(sootline.Clocked(at, z), z)
		if err != nil || !got.At.Equal(at) {
			t.Errorf("%v shown as %s: %v, %v", at, sootline.Clocked(at, z), got.At, err)
		}
	}
}

// TestDayOfALineIsKept: the line of an entry of which only the day is known says
// so right after its instant, and reads back; a correction holds it too.
func TestDayOfALineIsKept(t *testing.T) {
	at := time.Date(2026, 1, 15, 12, 0, 0, 0, time.UTC)
	e := sootline.Entry{ID: sootline.NewID(at, [10]byte{1}), Site: sootline.NewID(at, [10]byte{2}), At: at, Noted: at, Day: true, Body: sootline.Note{Text: "x"}}
	line, err := sootline.AppendLine(nil, &e)
	if err != nil || !strings.Contains(string(line), `"at":"2026-01-15T12:00:00.000Z","day":true,"noted":`) {
		t.Fatalf("%s, %v", line, err)
	}
	if again, err := sootline.ParseLine(line); err != nil || !again.Day {
		t.Errorf("%+v, %v", again, err)
	}
	if _, err := sootline.ParseLine([]byte(strings.Replace(string(line), "true", "false", 1))); err == nil {
		t.Error("false is left out, so that an entry has one spelling")
	}
	e.Body, e.Day = sootline.Corrected{Entry: e.ID, At: at, Day: true, Body: sootline.Note{Text: "x"}}, false
	if line, err = sootline.AppendLine(nil, &e); err != nil || !strings.Contains(string(line), `Z","day":true,"kind":"note"`) {
		t.Fatalf("%s, %v", line, err)
	}
	again, err := sootline.ParseLine(line)
	if c, ok := again.Body.(sootline.Corrected); err != nil || !ok || !c.Day {
		t.Errorf("%+v, %v", again, err)
	}
}
