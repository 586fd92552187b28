package worlds

import (
	"bytes"
	"testing"

	"sootline/internal/fuzzing"
)

// FuzzReadLog: the scorer's own reader of a log takes any bytes to their end.
func FuzzReadLog(f *testing.F) {
	f.Add([]byte("{\"id\":\"a\"}\n\n{\"head\":{}}\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		fuzzing.Within(t, len(text), func() {
			lines, err := ReadLog(bytes.NewReader(text))
			if err == nil && len(lines) > 1+bytes.Count(text, []byte("\n")) {
				t.Fatalf("%d entries of %q", len(lines), text)
			}
		})
	})
}
