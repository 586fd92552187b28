package firm

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"compress/zlib"
	"context"
	"encoding/base64"
	"fmt"
	"testing"
	"unicode/utf16"

	"sootline"
	"sootline/internal/pgtest"
	"sootline/internal/store"
)

func someMarked(t *testing.T) (*Marked, *store.Store) {
	t.Helper()
	book, err := store.Open(context.Background(), pgtest.Book(t), true, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := book.Close(); err != nil {
			t.Error(err)
		}
	})
	w, err := MarkedFirms(t.Context(), book, 4, someDay)
	if err != nil {
		t.Fatal(err)
	}
	return w, book
}

// answerOf is all that a book says of some sites: an answer that leaks what it should not.
func answerOf(t *testing.T, book *store.Store, sites ...MarkedSite) []byte {
	t.Helper()
	var text []byte
	for _, site := range sites {
		for line, err := range book.Lines(t.Context(), site.ID) {
			if err != nil {
				t.Fatal(err)
			}
			text = append(append(text, line.Text...), '\n')
		}
		file, err := book.Photo(t.Context(), site.Photo)
		if err != nil {
			t.Fatal(err)
		}
		text = append(text, file...)
	}
	return text
}

// TestMarkedSitesHoldTheirMarks: every mark of a site stands in its log or its file, and
// in those of no other site, save what several sites share.
func TestMarkedSitesHoldTheirMarks(t *testing.T) {
	w, book := someMarked(t)
	if len(w.Sites) != 8 {
		t.Fatalf("%d sites", len(w.Sites))
	}
	for n, site := range w.Sites {
		key, own := fmt.Sprintf("site %d", n+1), map[What]int{}
		for _, m := range Found(answerOf(t, book, site), w.Marks) {
			if m.Site != "" && m.Site != key {
				t.Errorf("%s holds a mark of %s", key, m.Site)
			}
			own[m.What]++
		}
		for _, what := range []What{SiteMark, PlaceMark, NoteMark, HandMark, SerialMark, DefectMark, WhyMark, FileMark, CustomerMark, FirmMark} {
			if own[what] == 0 {
				t.Errorf("%s holds no mark of %s", key, what)
			}
		}
		log, err := book.Entries(t.Context(), site.ID)
		if err != nil {
			t.Fatal(err)
		}
		if len(sootline.Fold(log, someDay).Points()) != 1 {
			t.Errorf("%s has not its one point", key)
		}
	}
}

// TestEightKinds: how many of the eight sites each kind sees, counted by hand from the
// layout, and never one of the other firm.
func TestEightKinds(t *testing.T) {
	w, _ := someMarked(t)
	want := map[PersonKind]int{"stranger": 0, "leaver": 0, "customer": 2, "reader": 4, "team technician": 2, "office technician": 2, "office manager": 2, "firm manager": 4}
	seen := map[PersonKind]bool{}
	for _, p := range w.People {
		seen[p.Sees.Kind] = true
		sites, accounts, journals := 0, 0, 0
		for _, m := range w.Marks {
			if !p.May(m, w.Marks) {
				continue
			}
			if m.Firm != p.Firm {
				t.Errorf("a %s of %s may see %s of %s", p.Sees.Kind, p.Firm, m.What, m.Firm)
			}
			switch m.What {
			case SiteMark:
				sites++
			case AccountMark:
				accounts++
			case JournalMark:
				journals++
			}
		}
		all := p.Sees.Kind == "firm manager"
		if sites != want[p.Sees.Kind] || all != (accounts == 14) || all != (journals == 1) {
			t.Errorf("a %s sees %d sites, %d accounts, %d journals", p.Sees.Kind, sites, accounts, journals)
		}
	}
	if len(seen) != 8 || len(want) != 8 {
		t.Errorf("%d kinds of person", len(seen))
	}
}

// TestLeaksFindsEachSite: an answer with a site in it that somebody may not see is found,
// and one with those alone that they may see is clean and shows all that they may see of sites.
func TestLeaksFindsEachSite(t *testing.T) {
	w, book := someMarked(t)
	for _, p := range w.People {
		var own [][]byte
		for n, site := range w.Sites {
			answer := answerOf(t, book, site)
			may := p.May(Mark{What: SiteMark, Firm: site.Firm, Office: site.Office, Team: site.Team, Customer: site.Customer, Site: fmt.Sprint("site ", n+1)}, w.Marks)
			if leaks := w.Leaks(answer, &p); may != (len(leaks) == 0) {
				t.Errorf("a %s, site %d, may see it: %t; leaks %v", p.Sees.Kind, n+1, may, leaks)
			}
			if may {
				own = append(own, answer)
			}
		}
		for _, m := range w.Unseen(own, &p) {
			if m.Site != "" {
				t.Errorf("a %s may see %s of %s, and it is in no answer", p.Sees.Kind, m.What, m.Site)
			}
		}
	}
	if p := w.People[len(w.People)-1]; len(w.Unseen(nil, &p)) == 0 {
		t.Error("whoever was answered nothing has seen all")
	}
}

// TestLeaksLooksThrough: a mark is found in whatever it is packed.
func TestLeaksLooksThrough(t *testing.T) {
	mark := Mark{Text: "zqbcdfghjklmnpqrst", What: NoteMark}
	text := []byte("a note: " + mark.Text + ", and no more of it")
	packed := map[string][]byte{
		"plain": text, "capitals": bytes.ToUpper(text), "base64": []byte(`{"file":"` + base64.StdEncoding.EncodeToString(text) + `"}`),
		"html": []byte("a &#122;qbcdfghjklmnpqrst"), "url": []byte("/find?q=100%&name=%7Aqbcdfghjkl%6dnpqrst"), "wrapped": []byte("zqbcdfgh\n  jklmn<b>pqrst</b>"),
	}
	var z, x, s bytes.Buffer
	g := gzip.NewWriter(&z)
	mustWrite(t, g, text)
	archive := zip.NewWriter(&x)
	file, err := archive.Create("sheet.xml")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := file.Write(text); err != nil {
		t.Fatal(err)
	}
	if err := archive.Close(); err != nil {
		t.Fatal(err)
	}
	mustWrite(t, zlib.NewWriter(&s), text)
	packed["gzip"], packed["zip"], packed["zip in base64"] = z.Bytes(), x.Bytes(), []byte(base64.RawURLEncoding.EncodeToString(x.Bytes()))
	packed["pdf"] = []byte("1 0 obj\n<<>>\nstream\n" + s.String() + "\nendstream")
	var wide []byte
	for _, c := range utf16.Encode([]rune(string(text))) {
		wide = append(wide, byte(c), byte(c>>8))
	}
	packed["utf-16"] = wide
	none := func(Mark) bool { return false }
	for name, answer := range packed {
		if len(Leaks(answer, []Mark{mark}, none)) != 1 {
			t.Errorf("%s: the mark is not found", name)
		}
	}
	if found := Leaks([]byte("zqbcdfghjklmnpqrs"), []Mark{mark}, none); len(found) > 0 {
		t.Errorf("found where it is not: %v", found)
	}
}

func mustWrite(t *testing.T, w interface {
	Write([]byte) (int, error)
	Close() error
}, text []byte,
) {
	t.Helper()
	if _, err := w.Write(text); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
}
