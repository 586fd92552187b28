package sootline

import (
	"bytes"
	"encoding/json"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"sootline/internal/fuzzing"
)

func TestLinesRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for _, e := range entriesGen().Draw(t, "entries") {
			line, err := AppendLine(nil, &e)
			if err != nil {
				t.Fatal(err)
			}
			if !json.Valid(line) {
				t.Fatalf("not JSON: %s", line)
			}
			back, err := ParseLine(line)
			if err != nil {
				t.Fatalf("%v\n%s", err, line)
			}
			if diff := cmp.Diff(e, back); diff != "" {
				t.Fatal(diff)
			}
			again, err := AppendLine(nil, &back)
			if err != nil || !bytes.Equal(line, again) {
				t.Fatalf("export, import, export changed the bytes (%v):\n%s\n%s", err, line, again)
			}
		}
	})
}

// The short way of writing and reading a reading must be what encoding/json does.
func TestReadSpelling(t *testing.T) {
	type slow struct {
		Samples  []float64 `json:"samples"`
		Quantity string    `json:"quantity,omitempty"`
		Remark   string    `json:"remark,omitempty"`
	}
	rapid.Check(t, func(t *rapid.T) {
		read := Read{
			Samples:  rapid.SliceOfN(rapid.Float64(), 1, 5).Filter(func(x []float64) bool { return !slices.ContainsFunc(x, func(f float64) bool { return !finite(f) }) }).Draw(t, "samples"),
			Quantity: rapid.String().Draw(t, "quantity"), Remark: rapid.String().Draw(t, "remark"),
		}
		want, err := marshal(slow(read))
		if err != nil {
			t.Fatal(err)
		}
		got, err := appendBody(nil, read)
		if err != nil || !bytes.Equal(got, want) {
			t.Fatalf("got %s, want %s (%v)", got, want, err)
		}
		back, err := DecodeBody(ReadKind, got)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(Body(read), back); diff != "" {
			t.Fatal(diff)
		}
	})
}

func TestParseLineRefuses(t *testing.T) {
	good, err := AppendLine(nil, &Entry{
		ID: pointID(1), Site: pointID(2), At: epoch, Noted: epoch, Station: "laptop", Seq: 1,
		Point: pointID(3), Body: Read{Samples: []float64{25}},
	})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := ParseLine(good); err != nil {
		t.Fatal(err)
	}
	for name, replace := range map[string][2]string{
		"white space":        {`,"noted"`, `, "noted"`},
		"another order":      {`"kind":"read","body":{"samples":[25]}`, `"body":{"samples":[25]},"kind":"read"`},
		"unknown kind":       {`"kind":"read"`, `"kind":"sung"`},
		"unknown key":        {`[25]}`, `[25],"colour":"red"}`},
		"no sample":          {`[25]`, `[]`},
		"another spelling":   {`[25]`, `[25.0]`},
		"not a number":       {`[25]`, `["x"]`},
		"no such day":        {`2024-03-01`, `2024-02-30`},
		"before all time":    {`2024-03-01T09:00:00.000Z","noted"`, `1812-03-01T09:00:00.000Z","noted"`},
		"capital id":         {`"id":"`, `"id":"A`},
		"a tail":             {`"}`, `"} `},
		"cut short":          {`"}`, ``},
		"point left out":     {`,"point":"` + pointID(3).String() + `"`, ``},
		"leading zero":       {`"seq":1`, `"seq":01`},
		"escaped needlessly": {`"laptop"`, `"l\u0061ptop"`},
	} {
		t.Run(name, func(t *testing.T) {
			bad := strings.Replace(string(good), replace[0], replace[1], 1)
			if bad == string(good) {
				t.Fatal("the test changed nothing")
			}
			if _, err := ParseLine([]byte(bad)); err == nil {
				t.Errorf("taken: %s", bad)
			} else if ErrorCode(err) == "" {
				t.Errorf("not an Error with a code: %v", err)
			}
		})
	}
}

// TestChain changes a log in every way a file gets changed, and wants the first
// line at fault named.
func TestChain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var lines [][]byte
		chain := &Chain{}
		for _, e := range entriesGen().Filter(func(es []Entry) bool { return len(es) > 2 }).Draw(t, "log") {
			e.Station = "laptop"
			line, err := chain.Seal(nil, &e)
			if err != nil {
				t.Fatal(err)
			}
			lines = append(lines, line)
		}
		if fault := firstBreak(t, lines); fault != nil {
			t.Fatalf("an untouched log is said to be broken: %v", fault)
		}
		i := rapid.IntRange(0, len(lines)-2).Draw(t, "line")
		var changed [][]byte
		switch rapid.SampledFrom([]string{"alter", "drop", "swap", "repeat"}).Draw(t, "change") {
		case "alter":
			changed = slices.Clone(lines)
			changed[i] = bytes.Replace(lines[i], []byte(`"noted":"2024`), []byte(`"noted":"2023`), 1)
		case "drop":
			changed = slices.Delete(slices.Clone(lines), i, i+1)
		case "swap":
			changed = slices.Clone(lines)
			changed[i], changed[i+1] = changed[i+1], changed[i]
		case "repeat":
			changed = slices.Insert(slices.Clone(lines), i+1, lines[i])
		}
		fault := firstBreak(t, changed)
		if fault == nil || fault.Seq != int64(i+1) {
			t.Fatalf("the fault lies in line %d, found %v", i+1, fault)
		}
	})
}

func firstBreak(t *rapid.T, lines [][]byte) *Break {
	ledger := Ledger{}
	for _, line := range lines {
		e, err := ParseLine(line)
		if err != nil {
			t.Fatal(err)
		}
		if fault := ledger.Follow(line, &e); fault != nil {
			return fault
		}
	}
	return nil
}

func FuzzParseLine(f *testing.F) {
	f.Add([]byte(`{"id":"`))
	good, err := AppendLine(nil, &Entry{
		ID: pointID(1), Site: pointID(2), At: epoch, Noted: epoch, Station: "laptop", Seq: 1,
		Point: pointID(3), Body: Read{Samples: []float64{25}},
	})
	if err != nil {
		f.Fatal(err)
	}
	f.Add(good)
	f.Fuzz(func(t *testing.T, line []byte) {
		fuzzing.Within(t, len(line), func() {
			e, err := ParseLine(line)
			if err != nil {
				return
			}
			again, err := AppendLine(nil, &e)
			if err != nil || !bytes.Equal(again, line) {
				t.Fatalf("two spellings of one entry (%v):\n%s\n%s", err, line, again)
			}
		})
	})
}

// The short way of writing and reading instants must be the time package's.
func TestTimeSpelling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := time.UnixMilli(rapid.Int64Range(LongAgo.UnixMilli(), 253402300799999).Draw(t, "ms")).UTC()
		text := appendTime(nil, at)
		if want := at.Format(timeLayout); string(text) != want {
			t.Fatalf("wrote %s, want %s", text, want)
		}
		if back, err := parseTime(text); err != nil || !back.Equal(at) {
			t.Fatalf("%s came back as %s, %v", text, back, err)
		}
		i := rapid.IntRange(0, len(text)-1).Draw(t, "place")
		text[i] = byte(rapid.IntRange('-', ':').Draw(t, "character"))
		want, wantErr := time.Parse(timeLayout, string(text))
		got, err := parseTime(text)
		// The time package is more lenient: it takes "00:00:00.-00Z".
		if err == nil && (wantErr != nil || !got.Equal(want)) || err != nil && wantErr == nil && string(appendTime(nil, want)) == string(text) {
			t.Fatalf("%s: got %v, %v; the time package says %v, %v", text, got, err, want, wantErr)
		}
	})
}
