package paper

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/image/font/sfnt"
)

// The type of every paper: DejaVu Sans Condensed 2.37, free (font/LICENSE.txt).
var (
	//go:embed font/DejaVuSansCondensed.ttf
	regular []byte
	//go:embed font/DejaVuSansCondensed-Bold.ttf
	bold []byte
)

// glyphs knows which letters can be printed as they are. A letter cannot when the
// type lacks it, when it is written from right to left, or when its form depends
// on its neighbours: nothing here orders or shapes letters, and wrong text would be
// worse than none.
type glyphs struct {
	face   *sfnt.Font
	buffer sfnt.Buffer
	known  map[rune]bool
	stood  map[string]bool // the scripts of letters that were not printed
}

func newGlyphs() (*glyphs, error) {
	face, err := sfnt.Parse(bold) // what the bold type has, the other has too (a test compares them)
	return &glyphs{face: face, known: map[rune]bool{}, stood: map[string]bool{}}, err
}

func (g *glyphs) can(r rune) bool {
	if r >= ' ' && r <= '~' {
		return true
	}
	can, known := g.known[r]
	if !known {
		i, err := g.face.GlyphIndex(&g.buffer, r)
		can = err == nil && i != 0 && r <= 0xFFFF && !unicode.IsControl(r) && !unicode.In(r, unicode.Mn, unicode.Cf) && !shaped(r)
		g.known[r] = can
	}
	return can
}

// shaped reports whether a letter is of a script that runs from right to left or
// joins its letters.
func shaped(r rune) bool {
	return unicode.In(r, unicode.Arabic, unicode.Hebrew, unicode.Syriac, unicode.Thaana, unicode.Nko, unicode.Devanagari,
		unicode.Bengali, unicode.Tamil, unicode.Telugu, unicode.Khmer, unicode.Thai, unicode.Lao, unicode.Myanmar, unicode.Tibetan, unicode.Mongolian)
}

// printable gives a text as it can be printed: letters that cannot be are counted
// by their script, as in "[Han 4]".
func (g *glyphs) printable(s string) string {
	if g.plain(s) {
		return s
	}
	var b strings.Builder
	script, missing, space := "", 0, ""
	flush := func() {
		if missing > 0 {
			fmt.Fprintf(&b, "[%s %d]", script, missing)
			g.stood[script] = true
		}
		b.WriteString(space)
		missing, space = 0, ""
	}
	for _, r := range s {
		switch {
		case unicode.IsSpace(r): // between two words of one script it is no end of them
			space = " "
		case unicode.In(r, unicode.Cf) || unicode.IsControl(r):
		case g.can(r):
			flush()
			b.WriteRune(r)
		case missing == 0 || script != scriptOf(r):
			flush()
			script = scriptOf(r)
			fallthrough
		default:
			missing++
			space = ""
		}
	}
	flush()
	return b.String()
}

func (g *glyphs) plain(s string) bool {
	for _, r := range s {
		if !g.can(r) {
			return false
		}
	}
	return true
}

// scriptOf names the script of a letter, as Unicode does.
func scriptOf(r rune) string {
	names := make([]string, 0, 1)
	for name, table := range unicode.Scripts {
		if unicode.Is(table, r) && name != "Common" && name != "Inherited" {
			names = append(names, name)
		}
	}
	if len(names) == 0 {
		return "signs"
	}
	return slices.Min(names)
}

// look goes through a document and says which letters will not be printed, or
// nothing.
func (g *glyphs) look(d *Document) string {
	for s := range d.texts() {
		g.printable(s)
	}
	if len(g.stood) == 0 {
		return ""
	}
	var names []string
	for name := range g.stood {
		names = append(names, name)
	}
	slices.Sort(names)
	return "This paper cannot print all letters of the record (" + strings.Join(names, ", ") + "): in their place stands how many there are, " +
		"as in [" + names[0] + " 4]. The same paper as HTML or XLSX holds them."
}
