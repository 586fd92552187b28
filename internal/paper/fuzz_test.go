package paper

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"math"
	"strings"
	"testing"

	"sootline/internal/fuzzing"
)

// FuzzLogo: any file that is let through as a logo is a picture of a bearable size,
// and a paper with it is printed or refused in a sentence.
func FuzzLogo(f *testing.F) {
	var jpg, png1 bytes.Buffer
	if err := jpeg.Encode(&jpg, image.NewGray(image.Rect(0, 0, 8, 8)), nil); err != nil {
		f.Fatal(err)
	}
	if err := png.Encode(&png1, image.NewGray(image.Rect(0, 0, 8, 8))); err != nil {
		f.Fatal(err)
	}
	f.Add(jpg.Bytes())
	f.Add(png1.Bytes())
	f.Add([]byte("GIF89a\x01\x00\x01\x00"))
	f.Fuzz(func(t *testing.T, logo []byte) {
		fuzzing.Within(t, len(logo), func() {
			if err := CheckLogo(logo); err != nil && err.Error() == "" {
				t.Fatal("an error without words")
			}
		})
	})
}

// FuzzSheet: a sheet of labels that is taken lies on its paper.
func FuzzSheet(f *testing.F) {
	f.Add("L7160 A4 3 7 7.2 15.1 63.5 38.1 66 38.1")
	f.Add("x letter -1 0 NaN 0 1e9 1 1 1")
	f.Fuzz(func(t *testing.T, line string) {
		fuzzing.Within(t, len(line), func() {
			s, err := parseSheet(strings.Fields(line))
			if err != nil {
				return
			}
			right := s.Left + float64(s.Across-1)*s.StepX + s.Width
			below := s.Top + float64(s.Down-1)*s.StepY + s.Height
			if !(right <= s.Paper.Width+1e-9 && below <= s.Paper.Height+1e-9) || math.IsInf(right, 0) || math.IsInf(below, 0) {
				t.Fatalf("%q ends at %g, %g: %+v", line, right, below, s)
			}
			if _, err := FindSize(s.Paper.Name); err != nil {
				t.Fatal(err)
			}
		})
	})
}

// FuzzSquare: any text becomes a square code, or is refused in a sentence.
func FuzzSquare(f *testing.F) {
	f.Add("HTTPS://X/1")
	f.Add(strings.Repeat("a", 3000))
	f.Fuzz(func(t *testing.T, text string) {
		fuzzing.Within(t, len(text), func() {
			code, err := newSquare(text)
			if err == nil && code.size < 21 { // version 1 (ISO/IEC 18004, from memory)
				t.Fatalf("%q: %d squares a side", text, code.size)
			}
			if err != nil && fmt.Sprint(err) == "" {
				t.Fatal("an error without words")
			}
		})
	})
}
