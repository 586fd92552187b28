package papers

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"sootline/internal/paper"
)

// Every paper by programs that are not ours: poppler finds each word of each table
// and field on it, all type is embedded, qpdf finds nothing wrong; A4 and Letter.
func TestPapersByOthers(t *testing.T) {
	if os.Getenv("SOOTLINE_ORACLE") != "1" {
		t.Skip("set SOOTLINE_ORACLE=1 to check papers with poppler-utils and qpdf")
	}
	a := newApp(t, "laptop")
	site := paperSite(t, a)
	for _, size := range paper.Sizes() {
		for _, kind := range Kinds() {
			d := makePaper(t, a, site, Wish{Kind: kind.Name, Point: "1.001"})
			path := filepath.Join(t.TempDir(), kind.Name+".pdf")
			var out bytes.Buffer
			if err := errors.Join(paper.WritePDF(&out, d, size), os.WriteFile(path, out.Bytes(), 0o600)); err != nil {
				t.Fatal(err)
			}
			text, err := exec.Command("pdftotext", "-layout", path, "-").CombinedOutput()
			if err != nil {
				t.Fatalf("pdftotext: %v\n%s", err, text)
			}
			missing(t, kind.Name+" on "+size.Name, d, string(text))
			if out, err := exec.Command("qpdf", "--check", path).CombinedOutput(); err != nil {
				t.Errorf("%s: qpdf: %v\n%s", kind.Name, err, out)
			}
			fonts, err := exec.Command("pdffonts", path).CombinedOutput()
			for i, line := range strings.Split(strings.TrimSpace(string(fonts)), "\n") {
				if fields := strings.Fields(line); i > 1 && fields[len(fields)-5] != "yes" || err != nil {
					t.Errorf("%s: type not embedded: %s (%v)", kind.Name, line, err)
				}
			}
		}
	}
}

// missing names words of a document that are not in its text. A word may be broken
// over lines, so that texts are compared without spaces where a word is not there.
func missing(t *testing.T, name string, d *paper.Document, text string) {
	t.Helper()
	there := map[string]bool{}
	for _, word := range strings.Fields(text) {
		there[word] = true
	}
	want := func(said string) {
		for _, word := range strings.Fields(said) {
			if !there[word] && !strings.Contains(text, word) {
				t.Errorf("%s: %q of %q is not on it", name, word, said)
				return
			}
		}
	}
	words := 0
	for _, part := range d.Parts {
		for _, block := range part.Blocks {
			switch b := block.(type) {
			case paper.Paragraph:
				want(b.Text)
			case paper.List:
				want(strings.Join(b.Items, " "))
			case paper.Fields:
				for _, f := range b.Rows {
					want(f.Name + " " + f.Value)
				}
			case paper.Table:
				for _, row := range b.Rows {
					for _, cell := range row {
						want(fmt.Sprint(cell))
						words++
					}
				}
			}
		}
	}
	if words == 0 && len(d.Parts) == 0 {
		t.Errorf("%s is empty", name)
	}
}
