package papers

import (
	"testing"

	"sootline/internal/fuzzing"
)

// FuzzPaperCode: a code as it was typed has one spelling, which reads as itself.
func FuzzPaperCode(f *testing.F) {
	f.Add("ABCD-EFGH-IJKL-MNOP")
	f.Add("abcd efgh 1jk8 mn0p")
	f.Fuzz(func(t *testing.T, text string) {
		fuzzing.Within(t, len(text), func() {
			code, err := cleanCode(text)
			if err != nil {
				return
			}
			if again, err := cleanCode(code); err != nil || again != code {
				t.Fatalf("%q is %q, which is %q: %v", text, code, again, err)
			}
		})
	})
}

// FuzzPaperName: a kind of paper is found by its name alone.
func FuzzPaperName(f *testing.F) {
	f.Add("visit")
	f.Fuzz(func(t *testing.T, name string) {
		fuzzing.Within(t, len(name), func() {
			if kind, err := findPaper(name); err == nil && kind.Name != name {
				t.Fatalf("%q gives %q", name, kind.Name)
			}
		})
	})
}
