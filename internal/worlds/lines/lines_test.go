package lines_test

import (
	"reflect"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"sootline/internal/worlds/lines"
)

// TestOracleReadsAll: whoever knows a style reads all its lines; so the truth is what stands on the paper.
func TestOracleReadsAll(t *testing.T) {
	for _, style := range lines.Styles() {
		t.Run(style, func(t *testing.T) {
			w := lines.Draw(style, 300, 2000, 1)
			s, err := lines.Play(w, w.Later, knowing(style), 1)
			if err != nil {
				t.Fatal(err)
			}
			if falls := s.Falls(); len(falls) > 0 || s.Clean.Right < s.Clean.Events-4 {
				t.Errorf("%v %+v\n%s", falls, s.Clean, strings.Join(s.Examples, "\n"))
			}
		})
	}
}

// TestMangledTellsThemApart: the same oracle, which believes what fits, is caught at mangled lines; so the score can fail.
func TestMangledTellsThemApart(t *testing.T) {
	caught := lines.Tally{}
	for _, style := range lines.Styles() {
		w := lines.Draw(style, 300, 1500, 2)
		s, err := lines.Play(w, w.Spoil(0.1, 2), knowing(style), 2)
		if err != nil {
			t.Fatal(err)
		}
		if s.Mangled.Events < 50 || s.Clean.Events < 800 {
			t.Errorf("%s: %d mangled and %d whole lines", style, s.Mangled.Events, s.Clean.Events)
		}
		caught.Add(s.Mangled)
	}
	t.Logf("mangled: %+v", caught)
	if caught.Another < 20 || caught.Wrong*10 < caught.Events {
		t.Errorf("nothing tempts a careless reader: %+v", caught)
	}
}

// TestGoalCanBeReached: who knows the style and asks the register reads 99 % of the whole lines, and no mangled line as another event.
func TestGoalCanBeReached(t *testing.T) {
	for _, style := range lines.Styles() {
		w := lines.Draw(style, 600, 1500, 2)
		s, err := lines.Play(w, w.Spoil(0.1, 2), careful(style), 2)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: %+v %+v", style, s.Clean, s.Mangled)
		if falls := s.Falls(); len(falls) > 0 {
			t.Errorf("%s: %v\n%s", style, falls, strings.Join(s.Examples, "\n"))
		}
	}
}

func TestDrawnAgain(t *testing.T) {
	if n := len(lines.Styles()); n != 20 {
		t.Errorf("%d styles", n)
	}
	for _, style := range lines.Styles() {
		a, b, c := lines.Draw(style, 100, 300, 3), lines.Draw(style, 100, 300, 3), lines.Draw(style, 100, 300, 4)
		if !reflect.DeepEqual(a.Later, b.Later) || !reflect.DeepEqual(a.Spoil(0.2, 5), b.Spoil(0.2, 5)) ||
			!reflect.DeepEqual(lines.Chunks(a.Heard, 1), lines.Chunks(b.Heard, 1)) {
			t.Errorf("%s: the same seed draws another world", style)
		}
		if reflect.DeepEqual(a.Later, c.Later) {
			t.Errorf("%s: another seed draws the same world", style)
		}
	}
}

// TestExamples: three lines of different events, whose marks hold what the truth says.
func TestExamples(t *testing.T) {
	for _, style := range lines.Styles() {
		w := lines.Draw(style, 100, 0, 6)
		var heard []byte
		at := map[int]lines.Record{}
		for _, r := range w.Heard {
			at[len(heard)] = r
			heard = append(heard, r.Bytes...)
		}
		lesson := w.Lesson(1)
		var came []byte
		for _, c := range lesson.Heard {
			came = append(came, c.Bytes...)
		}
		if string(came) != string(heard) {
			t.Errorf("%s: chunks are not the bytes", style)
		}
		var events []lines.Event
		for _, e := range lesson.Examples {
			if again, ok := lesson.Mark(e.Span); !ok || !reflect.DeepEqual(again, e) {
				t.Errorf("%s: marked again it is %+v instead of %+v", style, again, e)
			}
			truth := at[e.From].Truth
			events = append(events, truth.Event)
			for _, m := range e.Marks {
				said := string(heard[m.From:m.To])
				if m.From < e.From || m.To > e.To || strings.TrimSpace(said) == "" {
					t.Errorf("%s: a mark of %s lies at %v of %v", style, m.Role, m.Span, e.Span)
				}
				if m.Role == lines.Text && utf8.ValidString(said) && said != truth.Text && !strings.Contains(said, "\n") && isASCII(said) {
					t.Errorf("%s: the text %q is marked as %q", style, truth.Text, said)
				}
			}
		}
		if slices.Sort(events); len(slices.Compact(events)) != 3 || !slices.Contains(events, lines.Alarm) {
			t.Errorf("%s: examples of %v", style, events)
		}
	}
}

func isASCII(text string) bool {
	return strings.IndexFunc(text, func(r rune) bool { return r > 126 }) < 0
}

// TestFlood: ten thousand lines within a second, each with its truth.
func TestFlood(t *testing.T) {
	w := lines.Draw("wide", 100, 1000, 7)
	s, err := lines.Play(w, w.Spoil(0, 7, "flood"), knowing("wide"), 7)
	if err != nil {
		t.Fatal(err)
	}
	if flood := s.ByFault["flood"]; flood == nil || flood.Events != 10_000 || flood.Right != 10_000 {
		t.Errorf("%+v", flood)
	}
}

func TestEveryFaultHappens(t *testing.T) {
	w := lines.Draw("pipes", 100, 3000, 8)
	plain := len(w.Later)
	for _, fault := range lines.Faults() {
		spoiled := w.Spoil(0.1, 8, fault)
		n := 0
		for _, r := range spoiled {
			if r.Fault == fault {
				n++
			}
		}
		if fault == "silence" {
			n = plain - len(spoiled)
		}
		if n < 50 {
			t.Errorf("%s happened to %d records", fault, n)
		}
	}
}

// TestScoreTellsApart holds one answer against one whole record, by hand: the score tells the ways apart.
func TestScoreTellsApart(t *testing.T) {
	truth := &lines.Truth{Wall: "2026-03-14T09:12", Loop: "1", Number: 17, Zone: 3, Event: lines.Fault, Text: "Boiler room 2"}
	right := lines.Answer{To: 10, Wall: truth.Wall, Loop: "1", Number: 17, Zone: 3, Event: lines.Fault, Text: "Boiler room 2"}
	but := func(change func(*lines.Answer)) []lines.Answer {
		a := right
		change(&a)
		return []lines.Answer{a}
	}
	for name, try := range map[string]struct {
		answers []lines.Answer
		want    lines.Tally
	}{
		"right":     {[]lines.Answer{right}, lines.Tally{Right: 1}},
		"no zone":   {but(func(a *lines.Answer) { a.Zone = 0 }), lines.Tally{Partial: 1}},
		"no day":    {but(func(a *lines.Answer) { a.Wall = "T09:12" }), lines.Tally{Partial: 1}},
		"kept":      {[]lines.Answer{{To: 10, As: lines.Kept}}, lines.Tally{NotUnderstood: 1}},
		"head":      {[]lines.Answer{{To: 10, As: lines.NoEvent}}, lines.Tally{Wrong: 1, Another: 1}},
		"cleared":   {but(func(a *lines.Answer) { a.Event = lines.Cleared }), lines.Tally{Wrong: 1, Another: 1}},
		"neighbour": {but(func(a *lines.Answer) { a.Number = 18 }), lines.Tally{Wrong: 1, Another: 1}},
		"a sub":     {but(func(a *lines.Answer) { a.Sub = 1 }), lines.Tally{Wrong: 1, Another: 1}},
		"minute":    {but(func(a *lines.Answer) { a.Wall = "2026-03-14T09:13" }), lines.Tally{Wrong: 1}},
		"year":      {but(func(a *lines.Answer) { a.Wall = "2025-03-14T09:12" }), lines.Tally{Wrong: 1}},
		"text":      {but(func(a *lines.Answer) { a.Text = "Boiler room" }), lines.Tally{Wrong: 1}},
		"nothing":   {nil, lines.Tally{Lost: 1}},
	} {
		try.want.Events = 1
		s := lines.Judge([]lines.Record{{Bytes: make([]byte, 10), Truth: truth}}, try.answers)
		if s.Clean != try.want {
			t.Errorf("%s: %+v", name, s.Clean)
		}
	}
	s := lines.Judge([]lines.Record{{Bytes: make([]byte, 10), Truth: truth}, {Bytes: make([]byte, 5)}}, []lines.Answer{right, right, {From: 10, To: 15, Event: lines.Reset}})
	if s.Doubled != 1 || s.Invented != 1 || s.Claims() != 2 || len(s.Falls()) != 2 {
		t.Errorf("%+v", s)
	}
}
