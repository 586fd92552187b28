package address

import (
	"testing"

	"sootline/internal/fuzzing"
)

// FuzzSetter: a way of setting numbers that is understood is one that can be, and is
// understood the same as it is written.
func FuzzSetter(f *testing.F) {
	for _, text := range []string{"switches 7 high-first on-is-zero", "dials 15", "electronic 1-99", "switches 7 0-200", "base", "dials -9223372036854775808"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		fuzzing.Within(t, len(text), func() {
			s, err := ParseSetter(text)
			if err != nil {
				return
			}
			if again, err := ParseSetter(s.String()); err != nil || again != s {
				t.Fatalf("%q is %+v, written %q, which is %+v: %v", text, s, s, again, err)
			}
			for n := range min(s.Most(), 200) {
				if on := s.Positions(n); on != nil && s.ReadSwitches(on) != n {
					t.Fatalf("%v: %d is set as %v, which is %d", s, n, on, s.ReadSwitches(on))
				}
			}
		})
	})
}
