package sootline

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"sootline/internal/fuzzing"
)

// FuzzID: what reads as an id has that one spelling.
func FuzzID(f *testing.F) {
	f.Add("01890a5d-ac96-774b-bcce-b302099a8057")
	f.Add("01890a5d-ac96-774b-bcce-b302099a80-7")
	f.Fuzz(func(t *testing.T, text string) {
		fuzzing.Within(t, len(text), func() {
			id, err := ParseID(text)
			var again ID
			if bad := again.UnmarshalText([]byte(text)); (bad == nil) != (err == nil) || again != id {
				t.Fatalf("%q: %v %v, and as text %v %v", text, id, err, again, bad)
			}
			if err == nil && id.String() != text {
				t.Fatalf("two spellings of one id: %q and %q", text, id)
			}
		})
	})
}

// FuzzHash: what reads as a hash has that one spelling.
func FuzzHash(f *testing.F) {
	f.Add(Hash{1, 2, 3}.String())
	f.Add("AAAAAAAAAAAAAAAAAAAAAB")
	f.Fuzz(func(t *testing.T, text string) {
		fuzzing.Within(t, len(text), func() {
			hash, err := ParseHash(text)
			var again Hash
			if bad := again.UnmarshalText([]byte(text)); (bad == nil) != (err == nil) || again != hash {
				t.Fatalf("%q: %v %v, and as text %v %v", text, hash, err, again, bad)
			}
			if err == nil && hash.String() != text {
				t.Fatalf("two spellings of one hash: %q and %q", text, hash)
			}
		})
	})
}

// FuzzHeadLine: a head has one spelling, and reading it says nothing of its signature.
func FuzzHeadLine(f *testing.F) {
	head := Secret{7}.Sign(pointID(1), Head{"laptop \"1\"", 3, Hash{9}})
	f.Add(AppendHeadLine(nil, &head))
	line := AppendHeadLine(nil, &head)
	copy(line[len(line)-10:], "\n\n") // base64 passes over line ends
	f.Add(line)
	f.Add([]byte(`{"head":{"site":"`))
	f.Fuzz(func(t *testing.T, line []byte) {
		fuzzing.Within(t, len(line), func() {
			h, err := ParseHeadLine(line)
			if err != nil {
				return
			}
			h.Genuine()
			if again := AppendHeadLine(nil, &h); !IsHeadLine(line) || !bytes.Equal(again, line) {
				t.Fatalf("two spellings of one head:\n%s\n%s", line, again)
			}
		})
	})
}

func kindAt(n byte) Kind {
	all := kinds()
	return all[int(n)%len(all)].kind
}

// FuzzBody: whatever a body was read from, its one spelling reads back to the same
// body; it says something in words, and folds.
func FuzzBody(f *testing.F) {
	for i, row := range kinds() {
		f.Add(byte(i), []byte(`{}`))
		for _, raw := range bodiesToBegin[row.kind] {
			f.Add(byte(i), []byte(raw))
		}
	}
	f.Fuzz(func(t *testing.T, n byte, raw []byte) {
		kind := kindAt(n)
		fuzzing.Within(t, len(raw), func() {
			body, err := DecodeBody(kind, raw)
			if err != nil {
				return
			}
			once, err := appendBody(nil, body)
			if err != nil {
				t.Fatalf("what was read cannot be written: %v\n%s", err, raw)
			}
			again, err := DecodeBody(kind, once)
			if err != nil {
				t.Fatalf("what was written cannot be read: %v\n%s\n%s", err, raw, once)
			}
			if twice, err := appendBody(nil, again); err != nil || !bytes.Equal(once, twice) {
				t.Fatalf("two spellings of one body (%v):\n%s\n%s", err, once, twice)
			}
			if body.say() == "" {
				t.Fatalf("an entry of kind %s says nothing: %s", kind, raw)
			}
			PinsOf(&Entry{Body: body})
			foldsAlone(body)
		})
	})
}

// bodiesToBegin are bodies to begin with, where {} is none.
var bodiesToBegin = map[Kind][]string{
	ReadKind:      {`{"samples":[25,26.5,1e3]}`, `{"samples":[25],"quantity":"µA","remark":"<wet>"}`},
	FittedKind:    {`{"panel":"1","loop":"2","number":7,"type":"X"}`},
	CorrectedKind: {`{"entry":"01890a5d-ac96-774b-bcce-b302099a8057","at":"2026-01-15T09:30:00.000Z","kind":"note","body":{"text":"a"}}`},
	WithdrawnKind: {`{"entry":"01890a5d-ac96-774b-bcce-b302099a8057"}`},
	NoteKind:      {`{"text":"a"}`},
	BenchKind:     {`{"state":"opened","points":["01890a5d-ac96-774b-bcce-b302099a8057"],"box":[{"serial":"S1","type":"X"}],"panel":"1","loop":"2"}`},
	BenchedKind:   {`{"run":"01890a5d-ac96-774b-bcce-b302099a8057","outcome":"done","serial":"S1","with":["01890a5d-ac96-774b-bcce-b302099a8058"]}`},
	SetKind:       {`{"settings":{"mode":"2"}}`},
	OpenedKind:    {`{"name":"Works","zone":"Europe/Paris"}`},
	SheetKind:     {`{"type":"X","quantity":"value","low":20,"high":60}`},
	SourceKind:    {`{"name":"printer","style":"{\"page\":\"utf-8\"}"}`},
	AliasKind:     {`{"of":"type","said":"OPT 2","means":"OPT-2"}`},
	TakenKind:     {`{"name":"2026-11-30-1","files":[{"name":"a.csv","sha256":"` + strings.Repeat("ab", 32) + `","bytes":7}],"added":{"read":2},"first":1,"last":2}`},
	PinnedKind:    {`{"heads":[{"station":"a","seq":1,"hash":"AQIDAAAAAAAAAAAAAAAAAA"}]}`},
}

// foldsAlone folds a log of this one body.
func foldsAlone(body Body) {
	e := Entry{ID: pointID(1), Site: pointID(2), At: epoch, Noted: epoch, Station: "laptop", Seq: 1, Point: pointID(3), Body: body}
	Fold([]Entry{e}, epoch.Add(time.Hour))
}

// FuzzForm: what was typed into the fields of a kind and made a body is typed the
// same when the body is shown to be corrected, and makes the same body.
func FuzzForm(f *testing.F) {
	for i := range kinds() {
		f.Add(byte(i), "1\x002026-01-15\x00passed\x00a=b")
		f.Add(byte(i), "24,9\x00[1]\x00{\"a\":1}\x00\x00x")
	}
	f.Fuzz(func(t *testing.T, n byte, typed string) {
		kind, form := kindAt(n), Form{}
		parts := strings.Split(typed, "\x00")
		for i, field := range FieldsOf(kind) {
			if i < len(parts) {
				form[field.Key] = parts[i]
			}
		}
		fuzzing.Within(t, len(typed), func() {
			body, err := BodyOf(kind, form)
			if err != nil {
				return
			}
			sameForm(t, body)
		})
	})
}

func sameForm(t *testing.T, body Body) {
	t.Helper()
	once, err := appendBody(nil, body)
	if err != nil {
		t.Fatal(err)
	}
	shown, err := FormOf(body)
	if err != nil {
		t.Fatalf("no form shows it: %v\n%s", err, once)
	}
	again, err := BodyOf(body.Kind(), shown)
	if err != nil {
		t.Fatalf("the form that shows it is refused: %v\n%s\n%q", err, once, shown)
	}
	if twice, err := appendBody(nil, again); err != nil || !bytes.Equal(once, twice) {
		t.Fatalf("the form makes another body (%v):\n%s\n%s\n%q", err, once, twice, shown)
	}
}

// FuzzMoment: what reads as a moment is written so that it reads back, and lies in
// its day.
func FuzzMoment(f *testing.F) {
	for _, text := range []string{"2026-01-15", "2026-03-29 02:30", "2026-10-25T02:30:10", "2026-01-15T09:30+01:00", "2011-12-30"} {
		f.Add(text, byte(0))
		f.Add(text, byte(1))
	}
	f.Fuzz(func(t *testing.T, text string, n byte) {
		names := []string{"Europe/Paris", "America/St_Johns", "Pacific/Apia", "Australia/Lord_Howe", "UTC"}
		zone, err := ZoneNamed(names[int(n)%len(names)])
		if err != nil {
			t.Fatal(err)
		}
		fuzzing.Within(t, len(text), func() {
			begins, err1 := ParseDayBegins(text, zone)
			ends, err2 := ParseDayEnds(text, zone)
			m, err := ParseMoment(text, zone)
			switch {
			case (err1 == nil) != (err2 == nil), err1 == nil && err != nil:
				t.Fatalf("%q is a day and is none: %v, %v, %v", text, err1, err2, err)
			case err != nil:
				return
			case m.Day != (err1 == nil):
				t.Fatalf("%q: %+v, as a day %v", text, m, err1)
			case m.Day && ends.After(begins) && (m.At.Before(begins) || m.At.After(ends)):
				t.Fatalf("%q: %v is not from %v to %v", text, m.At, begins, ends)
			case m.Day:
				return
			}
			readsBack(t, m.At.Truncate(time.Second), zone)
		})
	})
}

// readsBack holds an instant against what people see of it. Years of five digits are
// not typed.
func readsBack(t *testing.T, at time.Time, zone *time.Location) {
	t.Helper()
	if year := at.In(zone).Year(); year < 1 || year > 9998 {
		return
	}
	text := Clocked(at, zone)
	if back, err := ParseMoment(text, zone); err != nil || !back.At.Equal(at) {
		t.Fatalf("%v in %v is shown as %q, which reads as %v: %v", at, zone, text, back.At, err)
	}
}

// FuzzPointRef: a reference that commands take reads the same as it is written.
func FuzzPointRef(f *testing.F) {
	f.Add("1.2.073")
	f.Add(" 01.a.7")
	f.Fuzz(func(t *testing.T, text string) {
		fuzzing.Within(t, len(text), func() {
			ref, err := ParseRef(text)
			if err != nil {
				return
			}
			if again, err := ParseRef(ref.String()); err != nil || again != ref {
				t.Fatalf("%q is %+v, written %q, which is %+v: %v", text, ref, ref, again, err)
			}
		})
	})
}

// FuzzName: a name that is kept is kept as it is; a name as a terminal shows it holds
// nothing that steers.
func FuzzName(f *testing.F) {
	f.Add("  L.  Local ")
	f.Add("Завод ABB")
	f.Add("a\x1b[2Jb\u202e\xff")
	f.Fuzz(func(t *testing.T, text string) {
		fuzzing.Within(t, len(text), func() {
			for _, proper := range []func(string) (string, error){
				PersonName,
				func(s string) (string, error) { return ProperName("site", s, MostSiteName) },
			} {
				name, err := proper(text)
				if err != nil {
					continue
				}
				if again, err := proper(name); err != nil || again != name || !utf8.ValidString(name) {
					t.Fatalf("%q is kept as %q, which is kept as %q: %v", text, name, again, err)
				}
			}
			if shown := Shown(text); strings.IndexFunc(shown, Steers) >= 0 || !utf8.ValidString(shown) || Shown(shown) != shown {
				t.Fatalf("%q is shown as %q", text, shown)
			}
			if clean := CleanName(text); CleanName(clean) != clean {
				t.Fatalf("%q has the spellings %q and %q", text, clean, CleanName(clean))
			}
		})
	})
}

// FuzzZone: a zone that is known is known by its own name.
func FuzzZone(f *testing.F) {
	for _, name := range []string{"Europe/Paris", "", "Local", "../etc/passwd", "europe/paris"} {
		f.Add(name)
	}
	f.Fuzz(func(t *testing.T, name string) {
		fuzzing.Within(t, len(name), func() {
			zone, err := ZoneNamed(name)
			if err != nil {
				return
			}
			if again, err := ZoneNamed(zone.String()); err != nil || again.String() != zone.String() {
				t.Fatalf("%q is %v, and that is %v: %v", name, zone, again, err)
			}
		})
	})
}

// FuzzSplit: lines and labels lose nothing but what parts them.
func FuzzSplit(f *testing.F) {
	f.Add([]byte("a\r\nb\n\nc"))
	f.Add([]byte("clean air (%/ft)"))
	f.Fuzz(func(t *testing.T, text []byte) {
		fuzzing.Within(t, len(text), func() {
			lines := SplitLines(text)
			again := SplitLines(bytes.Join(lines, []byte("\n")))
			if !slices.EqualFunc(lines, again, bytes.Equal) {
				t.Fatalf("%q: %q, then %q", text, lines, again)
			}
			name, unit := SplitQuantity(string(text))
			if len(name)+len(unit) > len(text) {
				t.Fatalf("%q: %q and %q", text, name, unit)
			}
		})
	})
}
