package worlds

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
)

// amends is one amendment of a hand-made log: what it says ("" takes back), of which entry, what it saw, and when it was
// noted, by a clock that may say anything.
type amends struct {
	id, says, of string
	saw          []string
	noted        int
}

// amending gives a log of one entry, whose text is "first", and amendments of it.
func amending(all []amends) []Line {
	text := func(v any) json.RawMessage {
		raw, err := json.Marshal(v)
		if err != nil {
			panic(err)
		}
		return raw
	}
	at := func(n int) string { return fmt.Sprintf("20%02d-01-01T00:00:00.000Z", 50+n) }
	lines := []Line{{ID: "e", At: at(0), Noted: at(0), Kind: "note", Body: text(map[string]string{"text": "first"})}}
	for i, a := range all {
		l := Line{ID: a.id, At: at(a.noted), Noted: at(a.noted), Seq: i + 2}
		body := map[string]any{"entry": a.of, "why": "typed wrongly"}
		if a.saw != nil {
			body["seen"] = a.saw
		}
		l.Kind = "withdrawn"
		if a.says != "" {
			l.Kind = "corrected"
			body["at"], body["kind"], body["body"] = at(0), "note", map[string]string{"text": a.says}
		}
		l.Body = text(body)
		lines = append(lines, l)
	}
	return lines
}

// said is what the entry of such a log says; "" where it is taken back.
func said(t *testing.T, lines []Line) string {
	t.Helper()
	all, err := facts(lines)
	if err != nil {
		t.Fatal(err)
	}
	if len(all) == 0 {
		return ""
	}
	var b struct{ Text string }
	if err := json.Unmarshal(all[0].body, &b); err != nil || all[0].id != "e" || len(all) > 1 {
		t.Fatal(all, err)
	}
	return b.Text
}

// orders are worked by hand; the comments are the working. The clock of each is its last number.
var orders = map[string]struct {
	log  []amends
	want string
}{
	// b names a among what it saw: b, though its clock is forty years behind.
	"sight against the clock": {[]amends{{"a", "A", "e", nil, 40}, {"b", "B", "e", []string{"a"}, 0}}, "B"},
	// c names b, and b names a: c is later than a too.
	"sight through another": {[]amends{
		{"a", "A", "e", nil, 40},
		{"b", "B", "e", []string{"a"}, 9},
		{"c", "C", "e", []string{"b"}, 0},
	}, "C"},
	// b is taken back; c knew a by it all the same.
	"sight through one that was taken back": {[]amends{
		{"a", "A", "e", nil, 40},
		{"b", "B", "e", []string{"a"}, 9},
		{"c", "C", "e", []string{"b"}, 0},
		{"w", "", "b", nil, 1},
	}, "C"},
	// neither knew of the other: the later clock.
	"unknown to each other": {[]amends{{"a", "A", "e", nil, 3}, {"b", "B", "e", nil, 2}}, "A"},
	// and by one clock: the order of the log, (at, id).
	"unknown to each other, at once": {[]amends{{"a", "A", "e", nil, 2}, {"b", "B", "e", nil, 2}}, "B"},
	// one that was there before it was written what one saw: it saw nothing.
	"nothing seen": {[]amends{{"a", "A", "e", nil, 3}, {"b", "", "e", nil, 2}}, "A"},
	// c saw both, and takes back.
	"both seen": {[]amends{{"a", "A", "e", nil, 30}, {"b", "B", "e", nil, 20}, {"c", "", "e", []string{"a", "b"}, 1}}, ""},
	// the taking back is taken back: what stood before stands again.
	"holds again": {[]amends{
		{"a", "A", "e", nil, 30},
		{"w", "", "e", []string{"a"}, 2},
		{"v", "", "w", nil, 1},
	}, "A"},
	// b was taken back, and that was taken back: b holds again, and is later than a.
	"a correction holds again": {[]amends{
		{"a", "A", "e", nil, 30},
		{"b", "B", "e", []string{"a"}, 2},
		{"w", "", "b", nil, 9},
		{"v", "", "w", nil, 1},
	}, "B"},
	// b is taken back twice, one of which is taken back: it is still taken back.
	"taken back twice": {[]amends{
		{"b", "B", "e", nil, 2},
		{"w", "", "b", nil, 9},
		{"x", "", "b", nil, 3},
		{"v", "", "w", nil, 1},
	}, "first"},
	// a is seen by b, c knew nothing: of a and c, then b and c, the clocks tell; b and c are left, and c is noted later.
	"one that was seen is out": {[]amends{
		{"a", "A", "e", nil, 40},
		{"b", "B", "e", []string{"a"}, 1},
		{"c", "C", "e", nil, 2},
	}, "C"},
	// the same, and b is taken back: a and c are left, and a is noted later.
	"one that was seen is in again": {[]amends{
		{"a", "A", "e", nil, 40},
		{"b", "B", "e", []string{"a"}, 1},
		{"c", "C", "e", nil, 2},
		{"w", "", "b", nil, 0},
	}, "A"},
	// what is of another entry, or is nowhere, is not seen.
	"sees what is not its own": {[]amends{
		{"a", "A", "e", nil, 3},
		{"w", "", "other", nil, 1},
		{"b", "B", "e", []string{"w", "nowhere"}, 2},
	}, "A"},
	// each says that it saw the other, which cannot be: the clock tells.
	"a circle of sight": {[]amends{{"a", "A", "e", []string{"b"}, 3}, {"b", "B", "e", []string{"a"}, 2}}, "A"},
	"it saw itself":     {[]amends{{"a", "A", "e", []string{"a"}, 3}, {"b", "B", "e", []string{"a"}, 2}}, "B"},
	// three that take back each other in a circle touch nothing else.
	"a circle of amendments": {[]amends{
		{"a", "A", "e", nil, 3},
		{"x", "", "y", nil, 2},
		{"y", "", "z", nil, 2},
		{"z", "", "x", nil, 2},
		{"s", "", "s", nil, 2},
	}, "A"},
}

func TestOrderOfAmendments(t *testing.T) {
	for name, c := range orders {
		lines := amending(c.log)
		if got := said(t, lines); got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
		slices.Reverse(lines)
		if got := said(t, lines); got != c.want {
			t.Errorf("%s, lines turned round: %q, want %q", name, got, c.want)
		}
	}
}

// TestOneBook: in one book each amendment is written in sight of those before it, so that the last that holds counts,
// whatever the clock said. What was written is kept here as a stack, and not as a log.
func TestOneBook(t *testing.T) {
	again, back := 0, 0
	for seed := range uint64(3000) {
		rng := rand.New(rand.NewPCG(seed, 9))
		var log []amends
		var of []int             // of the entry itself, in the order of writing
		taken := map[int][]int{} // by amendment: what takes it back
		var holds func(int) bool
		holds = func(i int) bool { return !slices.ContainsFunc(taken[i], holds) }
		for i := range 2 + rng.IntN(8) {
			a := amends{id: fmt.Sprint("a", i), of: "e", noted: rng.IntN(45)}
			if i > 0 && rng.IntN(2) == 0 { // takes an earlier one back
				target := rng.IntN(i)
				a.of = log[target].id
				taken[target] = append(taken[target], i)
			} else {
				if len(of) > 0 {
					a.saw = []string{log[of[len(of)-1]].id}
				}
				if rng.IntN(4) > 0 {
					a.says = a.id
				}
				of = append(of, i)
			}
			log = append(log, a)
		}
		want := "first"
		for _, i := range of {
			if holds(i) {
				want = log[i].says
			} else {
				back++
			}
			if holds(i) && len(taken[i]) > 0 {
				again++
			}
		}
		if got := said(t, jumbled(rng, amending(log))); got != want {
			t.Fatalf("seed %d: %q, want %q: %v", seed, got, want, log)
		}
	}
	if again < 100 || back < 100 {
		t.Errorf("%d hold again, %d are taken back: too few to tell", again, back)
	}
}

// books are amendments of one entry by stations that know some of each other's.
type books struct {
	log   []amends
	sight [][]bool // of one of another, itself or by others
	gone  []bool   // taken back
}

// manyBooks makes some; rarely one names what was not there yet.
func manyBooks(rng *rand.Rand) books {
	n := 2 + rng.IntN(7)
	b := books{sight: make([][]bool, n), gone: make([]bool, n)}
	for i := range n {
		b.sight[i] = make([]bool, n)
		a := amends{id: fmt.Sprint("a", i), says: fmt.Sprint("a", i), of: "e", noted: rng.IntN(9)}
		for k := range n {
			if k < i && rng.IntN(3) == 0 || k != i && rng.IntN(60) == 0 {
				a.saw, b.sight[i][k] = append(a.saw, fmt.Sprint("a", k)), true
			}
		}
		b.log = append(b.log, a)
	}
	for k := range n { // Warshall
		for i := range n {
			for j := range n {
				b.sight[i][j] = b.sight[i][j] || b.sight[i][k] && b.sight[k][j]
			}
		}
	}
	for i := range n {
		if b.gone[i] = rng.IntN(4) == 0; b.gone[i] {
			b.log = append(b.log, amends{id: fmt.Sprint("w", i), of: b.log[i].id, noted: rng.IntN(9)})
		}
	}
	return b
}

// over says that one was written in sight of another, and both hold.
func (b books) over(i, j int) bool {
	return !b.gone[i] && !b.gone[j] && b.sight[i][j] && !b.sight[j][i]
}

// top says that one holds, and that none that holds was written in sight of it.
func (b books) top(i int) bool {
	for j := range b.gone {
		if b.over(j, i) {
			return false
		}
	}
	return !b.gone[i]
}

// TestManyBooks: the one that counts holds; none that holds was written in sight of it; and none of which this is so too
// was noted later.
func TestManyBooks(t *testing.T) {
	against, none := 0, 0
	for seed := range uint64(3000) {
		rng := rand.New(rand.NewPCG(seed, 10))
		b := manyBooks(rng)
		got := said(t, jumbled(rng, amending(b.log)))
		at := slices.IndexFunc(b.log, func(a amends) bool { return a.says == got })
		if at < 0 {
			if none++; slices.Contains(b.gone, false) || got != "first" {
				t.Fatalf("seed %d: it says %q: %v", seed, got, b.log)
			}
			continue
		}
		if !b.top(at) {
			t.Fatalf("seed %d: %s counts, and does not hold, or another saw it: %v", seed, got, b.log)
		}
		for i := range b.gone {
			earlier := b.log[i].noted < b.log[at].noted || b.log[i].noted == b.log[at].noted && i < at
			if i != at && b.top(i) && !earlier {
				t.Fatalf("seed %d: %s counts, and %s was noted later: %v", seed, got, b.log[i].id, b.log)
			}
			if b.over(at, i) && !earlier {
				against++
			}
		}
	}
	if against < 300 || none < 3 {
		t.Errorf("sight went against the clock %d times, and %d logs had nothing that held: too few to tell", against, none)
	}
}

// jumbled gives lines in any order, some of them twice.
func jumbled(rng *rand.Rand, lines []Line) []Line {
	lines = append(lines, lines[rng.IntN(len(lines))])
	rng.Shuffle(len(lines), func(i, k int) { lines[i], lines[k] = lines[k], lines[i] })
	return lines
}
