package paper

import (
	"bytes"
	"flag"
	"fmt"
	"image"
	_ "image/png"
	"os"
	"path/filepath"
	"testing"
)

var update = flag.Bool("update", false, "keep the pictures of pages as they look now, instead of comparing")

// Pages look as they did when somebody looked at them: rendered by poppler, held
// against kept pictures. Rendering differs a little from machine to machine, so
// that it is the shade of small fields that is compared: 1 of 255 on average over
// the page, 40 in any field of 8 by 8 dots.
func TestPagesLookAsKept(t *testing.T) {
	others(t)
	for _, size := range Sizes() {
		path := kept(t, "sample.pdf", written(t, func(b *bytes.Buffer) error { return WritePDF(b, sample(25), size) }))
		base := filepath.Join(filepath.Dir(path), "page")
		tool(t, "pdftoppm", "-r", "50", "-gray", "-png", path, base)
		pages, err := filepath.Glob(base + "*.png")
		if err != nil || len(pages) != 4 {
			t.Fatalf("%s: %d pages, want 4 (%v)", size.Name, len(pages), err)
		}
		for i, page := range pages {
			name := filepath.Join("testdata", fmt.Sprintf("sample-%s-%d.png", size.Name, i+1))
			if *update {
				raw, err := os.ReadFile(page)
				if err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(name, raw, 0o600); err != nil {
					t.Fatal(err)
				}
				continue
			}
			mean, most := differ(t, fields(t, page), fields(t, name))
			if mean > 1 || most > 40 {
				t.Errorf("%s looks otherwise: %.2f on average, %.0f at most (look at it, then -update)", name, mean, most)
			}
		}
	}
}

// fields gives the mean shades of fields of 8 by 8 dots, row by row.
func fields(t *testing.T, path string) [][]float64 {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	picture, _, err := image.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	const side = 8
	bounds := picture.Bounds()
	shades := make([][]float64, bounds.Dy()/side)
	for y := range shades {
		shades[y] = make([]float64, bounds.Dx()/side)
		for x := range shades[y] {
			for dot := range side * side {
				r, _, _, _ := picture.At(bounds.Min.X+x*side+dot%side, bounds.Min.Y+y*side+dot/side).RGBA()
				shades[y][x] += float64(r>>8) / (side * side)
			}
		}
	}
	return shades
}

func differ(t *testing.T, a, b [][]float64) (mean, most float64) {
	t.Helper()
	if len(a) != len(b) || len(a[0]) != len(b[0]) {
		t.Fatalf("%d by %d fields, kept were %d by %d", len(a[0]), len(a), len(b[0]), len(b))
	}
	for y := range a {
		for x := range a[y] {
			d := max(a[y][x]-b[y][x], b[y][x]-a[y][x])
			mean, most = mean+d, max(most, d)
		}
	}
	return mean / float64(len(a)*len(a[0])), most
}
