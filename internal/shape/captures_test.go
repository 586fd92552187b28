package shape

import (
	"fmt"
	"runtime"
	"strings"
	"testing"
)

// TestCapturesBounded: what a phone hands in is refused in a sentence before it
// takes more memory than 64 times its size and 16 MB, counting what is freed again.
func TestCapturesBounded(t *testing.T) {
	const id, entry = "01890a5d-ac96-774b-bcce-b302099a8057", `{"id":"01890a5d-ac96-774b-bcce-b302099a80%02x","at":1,"kind":"%s","body":%s}`
	one := func(kind, body string) string { return `{"entries":[` + fmt.Sprintf(entry, 1, kind, body) + `]}` }
	correction := `{"entry":"` + id + `","at":"2026-01-15T09:30:00.000Z","kind":"corrected","body":`
	const deep = 3000
	var many []string
	for i := range MostCaptures + 1 {
		many = append(many, fmt.Sprintf(entry, i%256, "note", `{"text":"x"}`))
	}
	for name, c := range map[string]struct{ text, says string }{
		"empty entries":      {`{"entries":[` + strings.Repeat("{},", 300_000) + `{}]}`, "entry 1 has no id"},
		"too many":           {`{"entries":[` + strings.Join(many, ",") + `]}`, "at most 1000 entries"},
		"nested corrections": {one("corrected", strings.Repeat(correction, deep)+`{"text":"x"}`+strings.Repeat("}", deep)), "cannot say \"corrected\""},
		"deep arrays":        {one("note", `{"text":`+strings.Repeat("[", 300_000)+strings.Repeat("]", 300_000)+`}`), "exceeded max depth"},
		"another list":       {`{"others":[` + strings.Repeat("{},", 300_000) + `{}],"entries":[]}`, ""},
		"cut off":            {`{"entries":[`, "unexpected EOF"},
		"no object":          {`[[[[`, "expected {"},
		"many samples":       {one("read", `{"samples":[`+strings.Repeat("1,", 400_000)+`1]}`), "from 1 to 1000 samples"},
	} {
		t.Run(name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			captures, refused, err := ReadCaptures(strings.NewReader(c.text))
			runtime.ReadMemStats(&after)
			says := fmt.Sprint(refused, err)
			if !strings.Contains(says, c.says) || c.says != "" && len(captures) > MostCaptures {
				t.Errorf("it says %.300s, want %q", says, c.says)
			}
			if took, most := after.TotalAlloc-before.TotalAlloc, uint64(64*len(c.text)+16<<20); took > most {
				t.Errorf("%d bytes took %d MB, more than %d", len(c.text), took>>20, most>>20)
			}
		})
	}
}

// TestCaptureRefusedAlone: one entry that cannot be read is told of by its id, or by its
// place, and the others are read.
func TestCaptureRefusedAlone(t *testing.T) {
	const id, good = "01890a5d-ac96-774b-bcce-b302099a8057", `{"id":"01890a5d-ac96-774b-bcce-b302099a8001","at":1,"kind":"note","body":{"text":"x"}}`
	for bad, want := range map[string]Refused{
		`{"id":"nonsense","at":1,"kind":"note","body":{"text":"x"}}`: {Place: 2, Why: "entry 2: "},
		`{"id":7,"at":1,"kind":"note","body":{"text":"x"}}`:          {Place: 2, Why: `its "id" may not be a JSON number`},
		`{"at":1,"kind":"note","body":{"text":"x"}}`:                 {Place: 2, Why: "entry 2 has no id"},
		`[1]`:  {Place: 2, Why: "it is no entry but"},
		`null`: {Place: 2, Why: "entry 2 has no id"},
		`{"id":"` + id + `","at":"noon","kind":"note","body":{"text":"x"}}`:                   {ID: id, Why: "its time is a JSON string"},
		`{"id":"` + id + `","at":1.5,"kind":"note","body":{"text":"x"}}`:                      {ID: id, Why: "its time is a JSON number 1.5"},
		`{"at":{},"id":"` + id + `","kind":"note","body":{"text":"x"}}`:                       {ID: id, Why: "its time is a JSON object"},
		`{"id":"` + id + `","at":1,"point":"nowhere","kind":"note","body":{"text":"x"}}`:      {ID: id, Why: "nowhere"},
		`{"id":"` + id + `","at":1,"kind":["note"],"body":{"text":"x"}}`:                      {ID: id, Why: `its "kind" may not be a JSON array`},
		`{"id":"` + id + `","at":1,"kind":"note","body":"x"}`:                                 {ID: id},
		`{"id":"` + id + `","at":1,"kind":"read","body":{"samples":[1],"nobody knows":"it"}}`: {ID: id},
	} {
		captures, refused, err := ReadCaptures(strings.NewReader(`{"entries":[` + good + "," + bad + "," + good + `]}`))
		if err != nil || len(captures) != 2 || len(refused) != 1 {
			t.Errorf("%s: %d read, refused %v, %v", bad, len(captures), refused, err)
			continue
		}
		if got := refused[0]; got.ID != want.ID || got.Place != want.Place || !strings.Contains(got.Why, want.Why) || got.Why == "" {
			t.Errorf("%s: refused %+v, want %+v", bad, got, want)
		}
	}
}
