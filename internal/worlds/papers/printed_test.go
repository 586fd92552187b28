package papers

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// printer prints papers of a book with the program itself, and reads them.
type printer struct {
	t                   *testing.T
	program, folder, on string
}

// pages prints a paper and reads it; none where the program has no such paper, or none of this site.
func (p printer) pages(paper string) []Page {
	file := filepath.Join(p.folder, paper+".pdf")
	args := []string{"--book", filepath.Join(p.folder, "book.db"), "--by", "A. Tech", "paper", paper, "-o", file, "--on", p.on}
	if said, err := exec.Command(p.program, args...).CombinedOutput(); err != nil {
		p.t.Logf("%s: %s", paper, said)
		return nil
	}
	pages, err := ReadPDF(file)
	if err != nil {
		p.t.Fatal(err)
	}
	return pages
}

func (p printer) text(paper string) string { return joined(p.pages(paper)).Lines }

// printed writes a story into a book in a folder.
func printed(t *testing.T, s *Story, program, folder string) printer {
	t.Helper()
	if err := os.MkdirAll(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	book, err := store.Open(context.Background(), filepath.Join(folder, "book.db"), true, nil)
	if err != nil {
		t.Fatal(err)
	}
	a := &app.App{Book: book, Who: sootline.Actor{Name: s.Person, Role: sootline.Manager, Station: "laptop"}, Logs: app.NewLogs(64 << 20)}
	if _, err := s.Write(context.Background(), a); err != nil {
		t.Fatal(err)
	}
	if err := book.Close(); err != nil {
		t.Fatal(err)
	}
	on := s.Opened
	if on.IsZero() {
		on = time.Date(2026, 1, 20, 0, 0, 0, 0, time.UTC)
	}
	return printer{t, program, folder, on.Format(time.DateOnly)}
}

// TestPrintedPapers scores what the program prints of the stories: SOOTLINE_PAPERS names the program by its whole path. It
// fails for each question that page one leaves open and each field that is not there, and tells how many of how many.
func TestPrintedPapers(t *testing.T) {
	program := os.Getenv("SOOTLINE_PAPERS")
	if program == "" {
		t.Skip("SOOTLINE_PAPERS names no program")
	}
	for i := range 3 * len(Shapes()) {
		shape, seed := Shapes()[i/3], uint64(1+i%3)
		t.Run(fmt.Sprintf("%s %d", shape, seed), func(t *testing.T) {
			s := Draw(shape, seed)
			p := printed(t, s, program, filepath.Join(t.TempDir(), "book"))
			pages := p.pages("visit")
			missed := s.Judge(pages)
			for _, m := range missed {
				t.Errorf("%s: %s %s", m.Kind, m.Asks, m.Says)
			}
			t.Logf("%d pages; %d answers wanted, %d wrong", len(pages), count(s.Questions())+count(s.Whole()), len(missed))
			if shape != Full || seed > 1 {
				return
			}
			marked := 0
			found := Fields(t, s.Site, p.text)
			for _, f := range found {
				if f.Marked {
					marked++
				}
			}
			t.Logf("%d fields, %d of them with a word that says how each is known", len(found), marked)
		})
	}
}

func count(questions []Question) (n int) {
	for _, q := range questions {
		n += len(q.By)
	}
	return n
}
