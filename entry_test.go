package sootline

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

var epoch = time.Date(2024, 3, 1, 9, 0, 0, 0, time.UTC)

// entriesGen draws a log of one site, written by up to three stations about up
// to four points, with amendments that name earlier entries of the log.
func entriesGen() *rapid.Generator[[]Entry] {
	return rapid.Custom(func(t *rapid.T) []Entry {
		site := DerivedID(epoch, []byte("site"))
		chains := map[string]*Chain{}
		var entries []Entry
		for i := range rapid.IntRange(0, 30).Draw(t, "length") {
			at := epoch.Add(time.Duration(rapid.IntRange(0, 40).Draw(t, "hours")) * time.Hour)
			station := rapid.SampledFrom([]string{"laptop", "phone", "import"}).Draw(t, "station")
			e := Entry{
				ID: DerivedID(at, fmt.Append(nil, i)), Site: site, At: at, Noted: epoch.Add(time.Duration(i) * time.Minute),
				By: rapid.SampledFrom([]string{"", "A. Tech", "Ünal \"B\""}).Draw(t, "by"), Station: station,
				Point: pointID(rapid.IntRange(1, 4).Draw(t, "point")), Body: bodyGen(entries).Draw(t, "body"),
			}
			if chains[station] == nil {
				chains[station] = &Chain{}
			}
			if _, err := chains[station].Seal(nil, &e); err != nil {
				t.Fatalf("seal: %v", err)
			}
			entries = append(entries, e)
		}
		return entries
	})
}

func pointID(n int) ID { return DerivedID(LongAgo, fmt.Append(nil, "point", n)) }

func bodyGen(earlier []Entry) *rapid.Generator[Body] {
	text := rapid.SampledFrom([]string{"", "dust", "<b>=1+1</b> \u2028 \"quoted\" \\"})
	bodies := []*rapid.Generator[Body]{
		rapid.Custom(func(t *rapid.T) Body {
			return Read{Samples: rapid.SliceOfN(rapid.Float64Range(-1e7, 1e7), 1, 4).Draw(t, "samples"), Remark: text.Draw(t, "remark")}
		}),
		rapid.Custom(func(t *rapid.T) Body {
			return Read{Samples: []float64{float64(rapid.IntRange(0, 200).Draw(t, "value"))}}
		}),
		rapid.Custom(func(t *rapid.T) Body { return Cleaned{Text: text.Draw(t, "text")} }),
		rapid.Custom(func(t *rapid.T) Body { return Disabled{Cause: text.Draw(t, "cause")} }),
		rapid.Just[Body](Restored{}),
		rapid.Custom(func(t *rapid.T) Body { return Addressed{Wanted: rapid.IntRange(1, 5).Draw(t, "number")} }),
		rapid.Custom(func(t *rapid.T) Body {
			return Fitted{Place: Place{Panel: "1", Loop: "2", Location: text.Draw(t, "location")}, Type: "Alpha"}
		}),
		rapid.Custom(func(t *rapid.T) Body { return Set{Wanted: map[string]string{"b": "1", "a": text.Draw(t, "choice")}} }),
		rapid.Custom(func(t *rapid.T) Body { return Alarm{Cause: text.Draw(t, "cause")} }),
	}
	if len(earlier) > 0 {
		bodies = append(bodies,
			rapid.Custom(func(t *rapid.T) Body {
				return Withdrawn{Entry: rapid.SampledFrom(earlier).Draw(t, "target").ID}
			}),
			rapid.Custom(func(t *rapid.T) Body {
				return Corrected{Entry: rapid.SampledFrom(earlier).Draw(t, "target").ID, At: epoch, Point: pointID(1), Body: Read{Samples: []float64{25}}}
			}))
	}
	return rapid.OneOf(bodies...)
}

func TestMergeProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := entriesGen().Draw(t, "entries")
		part := func(name string) []Entry {
			var some []Entry
			for _, e := range all {
				if rapid.Bool().Draw(t, name) {
					some = append(some, e)
				}
			}
			return rapid.Permutation(some).Draw(t, name+" order")
		}
		a, b, c := part("a"), part("b"), part("c")
		same(t, "commutative", Merge(a, b), Merge(b, a))
		same(t, "associative", Merge(Merge(a, b), c), Merge(a, Merge(b, c)))
		same(t, "idempotent", Merge(Merge(a, b), b), Merge(a, b))
		for _, e := range a {
			if !slices.ContainsFunc(Merge(a, b), func(x Entry) bool { return x.ID == e.ID }) {
				t.Fatalf("entry %s was lost", e.ID)
			}
		}
	})
}

func same(t *rapid.T, law string, a, b []Entry) {
	if diff := cmp.Diff(a, b); diff != "" {
		t.Fatalf("merging is not %s:\n%s", law, diff)
	}
}

func TestFoldDoesNotDependOnArrival(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		entries := entriesGen().Draw(t, "entries")
		shuffled := rapid.Permutation(entries).Draw(t, "shuffled")
		asOf := epoch.Add(time.Duration(rapid.IntRange(0, 40).Draw(t, "as of")) * time.Hour)
		if diff := cmp.Diff(sketch(Fold(entries, asOf)), sketch(Fold(shuffled, asOf))); diff != "" {
			t.Fatalf("the register depends on the order of arrival:\n%s", diff)
		}
		doubled := slices.Concat(entries, shuffled)
		if diff := cmp.Diff(sketch(Fold(entries, asOf)), sketch(Fold(doubled, asOf))); diff != "" {
			t.Fatalf("entries handed in twice change the register:\n%s", diff)
		}
	})
}

// sketch tells a register in words, so that two can be compared.
func sketch(r *Register) []string {
	lines := []string{fmt.Sprint(r.Entries, r.Readings, r.Last, r.Site)}
	for _, p := range append(r.Points(), r.Strays()...) {
		lines = append(lines, fmt.Sprint(p.ID, p.Place, p.Type, p.Wanted, p.Found, p.Wants, p.Since, p.Disabled != nil, p.Removed != nil))
		for _, reading := range p.Readings {
			lines = append(lines, fmt.Sprint("  read ", reading.At, reading.Samples))
		}
		for _, event := range p.Events {
			lines = append(lines, fmt.Sprint("  event ", event.At, event.Kind, event.Cause))
		}
		for _, reset := range p.Resets {
			lines = append(lines, fmt.Sprint("  reset ", reset.At, reset.Why))
		}
	}
	for number := 1; number <= 5; number++ {
		for _, p := range r.Named(Ref{"1", "2", number}, epoch.Add(20*time.Hour)) {
			lines = append(lines, fmt.Sprint("named ", number, " ", p.ID))
		}
	}
	return lines
}

func TestAmendments(t *testing.T) {
	site, point := DerivedID(epoch, []byte("s")), pointID(1)
	n := 0
	entry := func(body Body) Entry {
		n++
		at := epoch.Add(time.Duration(n) * time.Hour)
		e := Entry{ID: DerivedID(at, fmt.Append(nil, n)), Site: site, At: at, Noted: at, Station: "laptop", Body: body}
		if row, _ := findKind(body.Kind()); row.about == ofPoint {
			e.Point = point
		}
		return e
	}
	read := entry(Read{Samples: []float64{250}})
	fix := entry(Corrected{Entry: read.ID, Why: "typed 250 for 25", At: read.At, Point: point, Body: Read{Samples: []float64{25}}})
	better := entry(Corrected{Entry: read.ID, At: read.At, Point: point, Body: Read{Samples: []float64{26}}})
	undoBetter := entry(Withdrawn{Entry: better.ID})
	gone := entry(Withdrawn{Entry: read.ID})
	undoGone := entry(Withdrawn{Entry: gone.ID})
	tests := []struct {
		name string
		log  []Entry
		want []float64
	}{
		{"as written", []Entry{read}, []float64{250}},
		{"corrected", []Entry{read, fix}, []float64{25}},
		{"the latest correction holds", []Entry{read, fix, better}, []float64{26}},
		{"a withdrawn correction does nothing", []Entry{read, fix, better, undoBetter}, []float64{25}},
		{"withdrawn", []Entry{read, gone}, nil},
		{"a withdrawn withdrawal does nothing", []Entry{read, fix, gone, undoGone}, []float64{25}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			// As of the reading itself: amendments speak of the record, so they
			// hold although they were written later.
			r := Fold(test.log, read.At)
			var got []float64
			if p := r.Point(point); p != nil {
				for _, reading := range p.Readings {
					got = append(got, reading.Samples...)
				}
			}
			if diff := cmp.Diff(test.want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestAsOf(t *testing.T) {
	site, point := DerivedID(epoch, []byte("s")), pointID(1)
	log := []Entry{
		{ID: DerivedID(LongAgo, []byte("1")), Site: site, At: LongAgo, Point: point, Body: Fitted{Place: Place{Panel: "1", Loop: "1"}}},
		{ID: DerivedID(LongAgo, []byte("2")), Site: site, At: LongAgo, Point: point, Body: Addressed{Wanted: 7}},
		{ID: DerivedID(epoch, []byte("3")), Site: site, At: epoch, Point: point, Body: Addressed{Wanted: 9}},
	}
	before, after := epoch.Add(-time.Second), epoch.Add(time.Second)
	if got := Fold(log, before).Points()[0].Ref().String(); got != "1.1.007" {
		t.Errorf("before the change the point is %s, want 1.1.007", got)
	}
	now := Fold(log, after)
	if got := now.Points()[0].Ref().String(); got != "1.1.009" {
		t.Errorf("after the change the point is %s, want 1.1.009", got)
	}
	for _, test := range []struct {
		number int
		at     time.Time
		want   int
	}{{7, before, 1}, {7, after, 0}, {9, before, 0}, {9, after, 1}} {
		if got := len(now.Named(Ref{"1", "1", test.number}, test.at)); got != test.want {
			t.Errorf("number %d at %s names %d points, want %d", test.number, test.at, got, test.want)
		}
	}
}

// An entry that says nothing is refused when it is made, and never when it is read.
// A loop that no reference could name is refused when it is written.
func TestNewLoopsCanBeNamed(t *testing.T) {
	for name, want := range map[string]Code{"2": "", "A": "", "2.1": Invalid, "02": Invalid, "a": Invalid, "B 1": Invalid} {
		for _, body := range []Body{LoopFacts{Panel: "1", Loop: name, First: 1, Last: 126}, Supply{Panel: "1", Loop: name, Volts: 24}} {
			e := Entry{ID: pointID(1), Site: pointID(2), At: LongAgo, Body: body}
			if err := e.CheckNew(); ErrorCode(err) != want {
				t.Errorf("%s of loop %q: %v", body.Kind(), name, err)
			}
		}
	}
}

func TestNewEntriesSaySomething(t *testing.T) {
	point := DerivedID(epoch, []byte("a point"))
	for _, c := range []struct {
		body  Body
		point ID
		ok    bool
	}{
		{Alarm{}, ID{}, false},
		{Alarm{Text: " \n"}, ID{}, false},
		{Alarm{}, point, true},
		{Alarm{Category: RealFire}, ID{}, true},
		{Fault{}, ID{}, false},
		{Disabled{}, ID{}, false},
		{Restored{}, ID{}, false},
		{Restored{}, point, true},
		{Opened{}, ID{}, false},
		{Service{}, ID{}, true},
		{Note{Text: "  "}, point, false},
		{Note{Photo: strings.Repeat("0af9", 16)}, ID{}, true},
		{Changed{Text: "new zone"}, point, false},
		{Changed{Text: "new zone"}, ID{}, true},
		{Visit{State: VisitOpened}, point, false},
		{Corrected{Entry: point, At: epoch, Body: Alarm{}}, ID{}, false},
		{Corrected{Entry: point, At: epoch, Point: point, Body: Alarm{}}, ID{}, true},
	} {
		e := Entry{ID: point, Site: point, At: epoch, Point: c.point, Body: c.body}
		if err := e.Check(); err != nil {
			t.Errorf("%#v is refused where old logs may hold it: %v", c.body, err)
		}
		if err := e.CheckNew(); (err == nil) != c.ok {
			t.Errorf("%#v at %v: %v", c.body, c.point, err)
		}
	}
}
