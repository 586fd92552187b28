package address_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"sootline"
	"sootline/internal/address"
)

var (
	day  = time.Date(2026, 3, 4, 9, 0, 0, 0, time.UTC)
	site = sootline.DerivedID(day, []byte("site"))
)

// book collects entries as a station would write them, one a second.
type book struct{ entries []sootline.Entry }

func (b *book) add(point string, body sootline.Body) {
	at := day.Add(time.Duration(len(b.entries)) * time.Second)
	e := sootline.Entry{ID: sootline.DerivedID(at, fmt.Append(nil, len(b.entries))), Site: site, At: at, Noted: at, Body: body}
	if point != "" {
		e.Point = sootline.DerivedID(day, []byte(point))
	}
	b.entries = append(b.entries, e)
}

// fit fits a device on loop 1.2, the next along the cable; its location is the
// name of the point.
func (b *book) fit(point, kind string, wanted, found int) {
	b.add(point, sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "2", Order: 1 + len(b.entries), Location: point}, Type: kind})
	if wanted+found > 0 {
		b.add(point, sootline.Addressed{Wanted: wanted, Found: found})
	}
}

func (b *book) check() []sootline.Finding {
	return address.Check(sootline.Fold(b.entries, day.AddDate(1, 0, 0)))
}

// brief writes a finding as its code, its weight and where its points are.
func brief(findings []sootline.Finding) []string {
	var lines []string
	for _, f := range findings {
		line := f.Code + " " + f.Weight.String()
		for _, p := range f.Points {
			line += " " + p.Location
		}
		lines = append(lines, line)
	}
	return lines
}

// The expectations of this table follow from the rule that a device of width w
// answers to the numbers from its own to its own + w - 1.
func TestCheck(t *testing.T) {
	type device struct {
		where, kind   string
		wanted, found int
	}
	const wide = "Wide" // takes 4 numbers
	for _, c := range []struct {
		name    string
		devices []device
		want    []string
	}{
		{"all well", []device{{"hall", "", 1, 1}, {"shaft", wide, 2, 0}, {"attic", "", 6, 0}}, nil},
		{"one number, two devices", []device{{"hall", "", 5, 0}, {"shaft", "", 5, 0}}, []string{"number-twice serious hall shaft"}},
		{
			"three at one number are one finding",
			[]device{{"hall", "", 5, 0}, {"shaft", "", 5, 0}, {"attic", "", 5, 0}},
			[]string{"number-twice serious hall shaft attic"},
		},
		{
			"inside the span of a wide device",
			[]device{{"rack", wide, 10, 0}, {"hall", "", 12, 0}, {"shaft", "", 13, 0}, {"attic", "", 14, 0}},
			[]string{"number-twice serious rack hall", "number-twice serious rack shaft"},
		},
		{"wide ones overlap", []device{{"rack", wide, 10, 0}, {"duct", wide, 12, 0}}, []string{"number-twice serious rack duct"}},
		{
			"found counts before wanted",
			[]device{{"hall", "", 5, 6}, {"shaft", "", 6, 0}},
			[]string{"number-twice serious hall shaft", "number-differs warning hall"},
		},
		{"past the end", []device{{"rack", wide, 123, 0}, {"duct", wide, 119, 0}}, nil},
		{"past the end by one", []device{{"rack", wide, 124, 0}}, []string{"number-outside serious rack"}},
		{"beyond the end", []device{{"hall", "", 130, 0}}, []string{"number-outside serious hall"}},
		{
			"several unset ones are not called twice",
			[]device{{"hall", "", 4, 127}, {"shaft", "", 0, 127}},
			[]string{"number-unset serious hall", "number-unset serious shaft"},
		},
		{
			"no number",
			[]device{{"hall", "", 0, 0}, {"shaft", "", 0, 0}, {"rack", "Iso", 0, 0}},
			[]string{"number-missing warning hall shaft"},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			var b book
			b.add("", sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: wide, Width: 4}})
			b.add("", sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: "Iso", Kind: sootline.Isolator}})
			for _, d := range c.devices {
				b.fit(d.where, d.kind, d.wanted, d.found)
			}
			if diff := cmp.Diff(sorted(c.want), sorted(brief(b.check()))); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func sorted(lines []string) []string { return slices.Sorted(slices.Values(lines)) }

func TestLoopsAreApartAndKeepTheirSpans(t *testing.T) {
	var b book
	b.add("", sootline.LoopFacts{Panel: "1", Loop: "3", First: 1, Last: 4, Unset: 9})
	b.fit("hall", "", 5, 0)
	b.add("attic", sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "3", Location: "attic"}})
	b.add("attic", sootline.Addressed{Wanted: 5, Found: 0})
	b.add("cellar", sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "3", Location: "cellar"}})
	b.add("cellar", sootline.Addressed{Found: 9})
	b.add("gone", sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "2"}})
	b.add("gone", sootline.Addressed{Wanted: 5})
	b.add("gone", sootline.Removed{})
	want := []string{"number-unset serious cellar", "number-outside serious attic"}
	if diff := cmp.Diff(want, brief(b.check())); diff != "" {
		t.Error(diff)
	}
}

// What a technician reads: both devices and where they are, what the panel
// shows, and a way out that does not make things worse.
func TestSentences(t *testing.T) {
	var b book
	b.fit("hall", "", 5, 6)
	b.fit("shaft", "", 6, 6)
	b.fit("attic", "", 0, 127)
	b.fit("loft", "", 7, 5)
	findings := b.check()
	for code, want := range map[string][]string{
		address.Twice:   {"Number 6 ", "1.2.005 (hall)", "1.2.006 (shaft)", "wrong type", "missing", "1.2.007 (loft) is at 5 now: move that one first"},
		address.Unset:   {"1.2.127 (attic)", "number 127", "a free number, the lowest is 1"},
		address.Differs: {"should have number 5", "found at 6"},
	} {
		if !slices.ContainsFunc(findings, func(f sootline.Finding) bool {
			text := f.Reason + "; " + f.WayOut.String()
			return f.Code == code && !slices.ContainsFunc(want, func(part string) bool { return !strings.Contains(text, part) })
		}) {
			t.Errorf("no finding %s says all of %q; found %+v", code, want, findings)
		}
	}
}

// Two devices that the list gives one number: the one that is there stays.
func TestListGivesANumberTwice(t *testing.T) {
	var b book
	b.fit("hall", "", 5, 5)
	b.fit("shaft", "", 5, 6)
	findings := b.check()
	if len(findings) != 2 || findings[0].Code != address.Meant || findings[1].Code != address.Differs || !strings.Contains(findings[1].WayOut.String(), "(hall) is at 5 and should be: give one of the two another number") {
		t.Errorf("found %+v", findings)
	}
}

func TestFullLoop(t *testing.T) {
	var b book
	b.add("", sootline.LoopFacts{Panel: "1", Loop: "2", First: 1, Last: 3, Unset: 3})
	b.fit("hall", "", 1, 0)
	b.fit("shaft", "", 2, 0)
	b.fit("attic", "", 2, 0)
	findings := b.check()
	// Number 3 is within the span, but a device nobody has set would share it.
	if len(findings) != 1 || !strings.Contains(findings[0].WayOut.String(), "no free number") {
		t.Errorf("found %+v", findings)
	}
}

// Any two devices share a number just when some finding number-twice names
// both: held against comparing every pair.
func TestSharedNumbersAgreeWithEveryPair(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var b book
		for width := 1; width <= 5; width++ {
			b.add("", sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: fmt.Sprint("W", width), Width: width}})
		}
		n := rapid.IntRange(0, 25).Draw(t, "devices")
		for i := range n {
			b.fit(fmt.Sprint("p", i), fmt.Sprint("W", rapid.IntRange(1, 5).Draw(t, "width")),
				rapid.IntRange(0, 60).Draw(t, "wanted"), rapid.IntRange(0, 60).Draw(t, "found"))
		}
		r := sootline.Fold(b.entries, day.AddDate(1, 0, 0))
		named := map[[2]*sootline.Point]bool{}
		for _, f := range address.Check(r) {
			if f.Code != address.Twice {
				continue
			}
			for _, p := range f.Points {
				for _, q := range f.Points {
					named[[2]*sootline.Point{p, q}] = true
				}
			}
		}
		for i, p := range r.Points() {
			for _, q := range r.Points()[:i] {
				a, z := p.Number(), q.Number()
				share := a != 0 && z != 0 && a < z+r.Sheet(q.Type).Numbers() && z < a+r.Sheet(p.Type).Numbers()
				if share != named[[2]*sootline.Point{p, q}] {
					t.Fatalf("%s and %s: share a number %t, named together %t", p.Ref(), q.Ref(), share, !share)
				}
			}
		}
	})
}

func BenchmarkCheck(b *testing.B) {
	var log book
	log.add("", sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: "Alpha", Kind: sootline.Smoke}})
	for i := range 10_000 {
		name := fmt.Sprint(i)
		log.add(name, sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: fmt.Sprint(i / 125), Location: name}, Type: "Alpha"})
		log.add(name, sootline.Addressed{Wanted: 1 + i%120}) // five of each loop's 125 numbers are taken twice
	}
	r := sootline.Fold(log.entries, day.AddDate(1, 0, 0))
	b.ReportAllocs()
	for b.Loop() {
		if found := address.Check(r); len(found) != 400 {
			b.Fatalf("%d findings", len(found))
		}
	}
}

// Where detectors and the other devices have a range each, a clash is range and
// number: 5 and 5 of different ranges are no clash, 5 and 5 of one are.
func TestCheckSeparateRanges(t *testing.T) {
	for separate, want := range map[bool][]string{
		false: {"number-twice serious smoke relay", "number-twice serious smoke2 smoke3"},
		true:  {"number-twice serious smoke2 smoke3"},
	} {
		var b book
		b.add("", sootline.LoopFacts{Panel: "1", Loop: "2", First: 1, Last: 159, Separate: separate})
		b.add("", sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: "Relay", Kind: sootline.Module}})
		b.add("", sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: "Smoke", Kind: sootline.Smoke}})
		b.fit("smoke", "Smoke", 5, 0)
		b.fit("relay", "Relay", 5, 0)
		b.fit("smoke2", "Smoke", 9, 0)
		b.fit("smoke3", "Smoke", 9, 0)
		if diff := cmp.Diff(want, brief(b.check())); diff != "" {
			t.Errorf("separate ranges %v:\n%s", separate, diff)
		}
	}
}
