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
