package listing

import (
	"strings"
	"testing"

	"golang.org/x/text/encoding/charmap"
)

// TestWesternPages: the page of a text with one byte a letter is told by what stands beside the letters, or asked; never is a letter read as
// another in silence.
func TestWesternPages(t *testing.T) {
	for _, c := range []struct{ place, windows, dos string }{ // the page that is taken, "?": asked
		{"Prüfraum Süd", "windows-1252", "cp850"},
		{"Möbellager", "windows-1252", "cp850"},
		{"Straße", "windows-1252", "?"},
		{"Caffè", "windows-1252", "cp850"},
		{"Couloir été", "windows-1252", "cp850"},
		{"Habitación", "windows-1252", "cp850"},
		{"Baño", "windows-1252", "cp850"},
		{"Más allá", "windows-1252", "?"},
		{"Città vecchia", "windows-1252", "?"},
		{"Ángel", "windows-1252", "?"},
		{"Índice", "windows-1252", "?"},
		{"Étage", "windows-1252", "cp850"},
		{"Cœur", "windows-1252", "windows-1252"},
		{"Coördinatie", "windows-1252", "cp850"},
	} {
		for page, want := range map[*charmap.Charmap]string{charmap.Windows1252: c.windows, charmap.CodePage850: c.dos} {
			text, err := page.NewEncoder().String("Loop;Address;Type;Location\n1;1;Larch;" + c.place + "\n1;2;Larch;Hall\n")
			if err != nil {
				continue // code page 850 has no œ
			}
			u, err := Understand(openBytes(t, "a.csv", []byte(text)).All()[0], Profile{})
			must(t, err)
			got := u.Encoding
			if q, open := u.Blocking(); open && q.ID == AskEncoding {
				got = "?"
			}
			if got != want {
				t.Errorf("%s in %s: %s, expected %s", c.place, page, got, want)
			}
		}
	}
	text, _ := charmap.CodePage850.NewEncoder().String("Loop;Address;Type;Location\n1;1;Larch;Straße\n1;2;Larch;Hall\n")
	var p Profile
	must(t, p.Answer(AskEncoding, "cp850"))
	u, _ := saidIn(t, "a.csv", text, p)
	if got := u.Columns[3].Samples[0]; got != "Straße" || len(u.Questions) > 0 {
		t.Errorf("answered: %q %+v", got, u.Questions)
	}
}

// TestPageQuestionShowsAWord: where letters speak for both pages, the question shows a word as each has it.
func TestPageQuestionShowsAWord(t *testing.T) {
	for _, head := range []string{"N\xf8", "Pi\xe8ce N\xf8", "R\x82f\x82rence N\xf8"} {
		text := "Point;Date;Valeur;" + head + "\n1.001;2025-09-16;31;fum\x82e\n1.002;2025-09-16;29;pi\xe8ce\n"
		u, _ := understood(t, "a.csv", text, Profile{})
		for _, q := range u.Questions {
			for _, c := range q.Choices {
				if q.ID == AskEncoding && strings.Contains(c.Text, `""`) {
					t.Errorf("%q: %s", head, c.Text)
				}
			}
		}
		if len(u.Questions) == 0 {
			t.Errorf("%q: nothing is asked", head)
		}
	}
}
