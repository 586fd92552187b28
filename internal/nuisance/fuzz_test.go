package nuisance

import (
	"strings"
	"testing"

	"sootline/internal/fuzzing"
)

// FuzzCode: a code is found by its key alone.
func FuzzCode(f *testing.F) {
	f.Add("BS5839-1:2017")
	f.Add("")
	f.Fuzz(func(t *testing.T, key string) {
		fuzzing.Within(t, len(key), func() {
			if code, err := FindCode(key); err == nil && key != "" && !strings.EqualFold(code.Key, key) {
				t.Fatalf("%q gives %q", key, code.Key)
			}
		})
	})
}
