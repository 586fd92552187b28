package papers

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
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

// text gives the text of a paper; empty where the program has no such paper, or none of this site.
func (p printer) text(paper string) string {
	file := filepath.Join(p.folder, paper+".pdf")
	args := []string{"--book", filepath.Join(p.folder, "book.db"), "--by", "A. Tech", "paper", paper, "-o", file, "--on", p.on}
	if said, err := exec.Command(p.program, args...).CombinedOutput(); err != nil {
		p.t.Logf("%s: %s", paper, said)
		return ""
	}
	text, err := exec.Command("pdftotext", "-layout", file, "-").Output()
	if err != nil {
		p.t.Fatal(err)
	}
	return string(text)
}

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
	for _, shape := range Shapes() {
		t.Run(string(shape), func(t *testing.T) {
			s := Draw(shape, 1)
			p := printed(t, s, program, filepath.Join(t.TempDir(), "book"))
			pages := strings.Split(strings.TrimSuffix(p.text("visit"), "\f"), "\f")
			missed := s.Judge(pages)
			for _, m := range missed {
				t.Errorf("%s: %s %s", m.Kind, m.Asks, m.Says)
			}
			t.Logf("%d pages; %d answers wanted, %d wrong", len(pages), count(s.Questions())+count(s.Whole()), len(missed))
			if shape != Full {
				return
			}
			marked := 0
			found := Fields(t, p.text)
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
