package exchange

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"
	"time"

	"sootline"
)

var began = time.Date(2026, 1, 15, 9, 0, 0, 0, time.UTC)

// chainOf writes so many notes as a station, a minute apart from an instant on.
func chainOf(t testing.TB, station string, n int, from time.Time) (lines []Line, head *sootline.SignedHead) {
	t.Helper()
	var chain sootline.Chain
	for i := range n {
		at := from.Add(time.Duration(i) * time.Minute)
		e := sootline.Entry{
			ID: sootline.NewID(at, [10]byte{byte(i), station[0]}), Site: sootline.NewID(began, [10]byte{1}), At: at, Noted: at, By: "A. Tech",
			Station: station, Body: sootline.Note{Text: fmt.Sprintf("note %d behind the \"beam\"", i)},
		}
		text, err := chain.Seal(nil, &e)
		if err != nil {
			t.Fatal(err)
		}
		lines = append(lines, Line{text, e})
	}
	last := &lines[n-1].Entry
	signed := sootline.Secret{7}.Sign(last.Site, sootline.Head{Station: station, Seq: last.Seq, Hash: last.Hash})
	return lines, &signed
}

// TestLackingIsWhatTheyDoNotHold: spans that follow from ranges, against a count line by
// line, over random ranges.
func TestLackingIsWhatTheyDoNotHold(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	hash := func(seq int64) sootline.Hash { return sootline.Hash{byte(seq), byte(seq >> 8), 1} }
	draw := func() (ranges []Range, holds map[int64]bool) {
		holds = map[int64]bool{}
		for next := int64(1 + rng.IntN(3)); next < 30; {
			last := next + int64(rng.IntN(6))
			ranges = append(ranges, Range{next, last, hash(last)})
			for seq := next; seq <= last; seq++ {
				holds[seq] = true
			}
			next = last + 2 + int64(rng.IntN(4))
		}
		return ranges, holds
	}
	for range 2000 {
		ours, mine := draw()
		theirs, held := draw()
		spans, err := Lacking(map[string][]Range{"a": ours}, map[string][]Range{"a": theirs})
		if err != nil {
			t.Fatal(err)
		}
		answer := (&Vector{Held: map[string][]Range{"a": theirs}}).Against(&Vector{Held: map[string][]Range{"a": ours}})
		if short, err := answer.Lacks(map[string][]Range{"a": ours, "b": ours}); err != nil || !reflect.DeepEqual(short, spans) {
			t.Fatalf("an answer asks for %v, not %v: %v", short, spans, err)
		}
		got := map[int64]bool{}
		for _, s := range spans {
			for seq := s.First; seq <= s.Last; seq++ {
				if got[seq] {
					t.Fatalf("line %d twice: %v of %v, %v", seq, spans, ours, theirs)
				}
				got[seq] = true
			}
			if s.Gap != (s.First > 1 && !mine[s.First-1]) {
				t.Fatalf("%+v of %v, %v: whether the holder lacks the line before", s, ours, theirs)
			}
			if s.After != (sootline.Hash{}) && s.After != hash(s.First-1) {
				t.Fatalf("%+v of %v, %v: the hash before is of another line", s, ours, theirs)
			}
		}
		for seq := range int64(50) {
			if got[seq] != (mine[seq] && !held[seq]) {
				t.Fatalf("line %d: %v of %v, %v", seq, spans, ours, theirs)
			}
		}
	}
}

func TestContradictionIsFound(t *testing.T) {
	ours, theirs := map[string][]Range{"a": {{1, 9, sootline.Hash{1}}}}, map[string][]Range{"a": {{1, 9, sootline.Hash{2}}}}
	if _, err := Lacking(ours, theirs); sootline.ErrorCode(err) != sootline.Conflict {
		t.Errorf("two logs that end otherwise: %v", err)
	}
}

// TestParcelArrivesOrIsRefused: a parcel gives again what was put into it, byte for byte;
// each that was cut, or has one bit altered, is refused.
func TestParcelArrivesOrIsRefused(t *testing.T) {
	lines, head := chainOf(t, "laptop", 12, began)
	run, err := NewRun(lines[3:], false, head)
	if err != nil {
		t.Fatal(err)
	}
	sent := &Parcel{
		More: true, Vectors: []Vector{{Site: run.Site, Name: "Works", Held: map[string][]Range{"laptop": {{1, 12, head.Hash}}}, Photos: []string{"aa"}}, {Name: "Mill"}},
		Runs: []Run{run}, Photos: []Photo{{"bb", []byte("\xff\xd8\xffpicture")}},
	}
	packed, err := sent.Pack()
	if err != nil {
		t.Fatal(err)
	}
	got, err := Unpack(packed)
	if err != nil || !reflect.DeepEqual(got, sent) {
		t.Fatalf("%+v\nis not\n%+v: %v", got, sent, err)
	}
	before := lines[2].Entry.Hash
	opened, err := got.Runs[0].Open(&before)
	if err != nil {
		t.Fatal(err)
	}
	for i, line := range opened {
		if string(line.Text) != string(lines[3+i].Text) {
			t.Errorf("line %s came as %s", lines[3+i].Text, line.Text)
		}
	}
	refused := func(what string, altered []byte) {
		t.Helper()
		p, err := Unpack(altered)
		if err == nil && len(p.Runs) == 1 {
			_, err = p.Runs[0].Open(&before)
		}
		if err == nil && !reflect.DeepEqual(p, sent) {
			t.Errorf("%s is taken", what)
		}
	}
	for i := range packed {
		refused(fmt.Sprintf("a parcel cut at %d", i), packed[:i])
		altered := []byte(string(packed))
		altered[i] ^= 1 << (i % 8)
		refused(fmt.Sprintf("a parcel altered at %d", i), altered)
	}
}

// TestRunIsWhatItsStationWrote: lines under a wrong line before, with one changed, left out
// or put in, or with a head that signs others, are refused; a station of which the sender
// lacks lines comes all the same.
func TestRunIsWhatItsStationWrote(t *testing.T) {
	lines, head := chainOf(t, "laptop", 9, began)
	others, _ := chainOf(t, "laptop", 9, began.Add(time.Second))
	runOf := func(change func(*Run)) *Run {
		run, err := NewRun(lines[4:], false, head)
		if err != nil {
			t.Fatal(err)
		}
		run.Lines = append([][]byte{}, run.Lines...)
		change(&run)
		return &run
	}
	before, wrong := lines[3].Entry.Hash, others[3].Entry.Hash
	if _, err := runOf(func(*Run) {}).Open(&before); err != nil {
		t.Fatal(err)
	}
	_, forged := chainOf(t, "laptop", 9, began)
	forged.Sig[0] ^= 1
	for what, run := range map[string]*Run{
		"one changed":      runOf(func(r *Run) { r.Lines[1] = []byte(strings.Replace(string(r.Lines[1]), "beam", "bean", 1)) }),
		"one left out":     runOf(func(r *Run) { r.Lines = append(r.Lines[:1], r.Lines[2:]...) }),
		"the last cut off": runOf(func(r *Run) { r.Lines = r.Lines[:4] }),
		"another log":      runOf(func(r *Run) { r.Lines[0], _ = sootline.Unsealed(others[4].Text) }),
		"another station":  runOf(func(r *Run) { r.Station = "tablet" }),
		"a forged head":    runOf(func(r *Run) { r.Head = forged }),
	} {
		if _, err := run.Open(&before); sootline.ErrorCode(err) != sootline.Damaged {
			t.Errorf("%s: %v", what, err)
		}
	}
	if _, err := runOf(func(*Run) {}).Open(&wrong); sootline.ErrorCode(err) != sootline.Damaged {
		t.Errorf("after another line: %v", err)
	}
	if _, err := runOf(func(*Run) {}).Open(nil); sootline.ErrorCode(err) != sootline.Conflict {
		t.Errorf("after a line that is not here: %v", err)
	}
	run, err := NewRun(lines[4:], true, head)
	if err != nil {
		t.Fatal(err)
	}
	if got, err := run.Open(nil); err != nil || len(got) != 5 {
		t.Errorf("of a sender that lacks the line before: %d lines, %v", len(got), err)
	}
	if _, err := run.Open(&wrong); err == nil {
		t.Error("it is taken after a line that it does not follow")
	}
}

// TestBatchesCanBeTakenOneByOne: each batch goes on where those before it end, station by
// station, and no amendment comes before what it amends, whatever the clocks.
func TestBatchesCanBeTakenOneByOne(t *testing.T) {
	early, _ := chainOf(t, "a", 40, began)
	late, _ := chainOf(t, "b", 40, began.Add(20*time.Minute))
	at := began.Add(-time.Hour) // by a clock that goes wrong
	amends := sootline.Entry{ID: sootline.NewID(at, [10]byte{9}), Site: early[0].Entry.Site, At: at, Noted: at, Station: "c", Body: sootline.Withdrawn{Entry: late[39].Entry.ID}}
	text, err := new(sootline.Chain).Seal(nil, &amends)
	if err != nil {
		t.Fatal(err)
	}
	batches := Batches(map[string][]Line{"a": early, "b": late, "c": {{text, amends}}}, 2000)
	if len(batches) < 10 {
		t.Fatalf("%d batches", len(batches))
	}
	next, come := map[string]int64{"a": 1, "b": 1, "c": 1}, map[sootline.ID]bool{}
	for _, batch := range batches {
		for station, lines := range batch {
			for _, line := range lines {
				if line.Entry.Seq != next[station] {
					t.Fatalf("line %d of %s, and %d is next", line.Entry.Seq, station, next[station])
				}
				next[station]++
				come[line.Entry.ID] = true
			}
		}
		for _, lines := range batch {
			for _, line := range lines {
				if target := sootline.Amends(line.Entry.Body); !target.Zero() && !come[target] {
					t.Errorf("an amendment comes before what it amends")
				}
			}
		}
	}
	if next["a"] != 41 || next["b"] != 41 || next["c"] != 2 {
		t.Errorf("it ends at %v", next)
	}
}

// FuzzParcel: whatever is read as a parcel is written again and read as the same.
func FuzzParcel(f *testing.F) {
	lines, head := chainOf(f, "laptop", 2, began)
	run, err := NewRun(lines, false, head)
	if err != nil {
		f.Fatal(err)
	}
	packed, err := (&Parcel{Runs: []Run{run}, Vectors: []Vector{{Name: "Works", Held: map[string][]Range{"a": {{1, 2, head.Hash}}}}}}).Pack()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(packed)
	f.Add([]byte(begins))
	f.Add([]byte("slx2\n"))
	f.Fuzz(func(t *testing.T, packed []byte) {
		p, err := Unpack(packed)
		if err != nil {
			if code := sootline.ErrorCode(err); code == "" {
				t.Fatalf("an error without a code: %v", err)
			}
			return
		}
		for i := range p.Runs {
			if opened, err := p.Runs[i].Open(&sootline.Hash{}); err == nil && len(opened) == 0 {
				t.Fatal("a run of no lines")
			}
		}
		again, err := p.Pack()
		if err != nil {
			t.Fatal(err)
		}
		if q, err := Unpack(again); err != nil || !reflect.DeepEqual(p, q) {
			t.Fatalf("%+v, and again %+v: %v", p, q, err)
		}
	})
}
