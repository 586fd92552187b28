package papers

import (
	"fmt"
	"os/exec"
	"strings"
)

// ReadPDF reads the pages of a PDF both ways with pdftotext, which must be installed.
func ReadPDF(path string) ([]Page, error) {
	lines, err := pdftotext("-layout", path)
	if err != nil {
		return nil, err
	}
	flow, err := pdftotext(path)
	if err != nil {
		return nil, err
	}
	if len(flow) != len(lines) {
		return nil, fmt.Errorf("%s has %d pages by lines and %d by cells", path, len(lines), len(flow))
	}
	var pages []Page
	for i := range lines {
		pages = append(pages, Page{lines[i], flow[i]})
	}
	return pages, nil
}

// pdftotext gives the text of each page.
func pdftotext(args ...string) ([]string, error) {
	text, err := exec.Command("pdftotext", append(args, "-")...).Output()
	if err != nil {
		return nil, fmt.Errorf("pdftotext %s: %w", strings.Join(args, " "), err)
	}
	return strings.Split(strings.TrimSuffix(string(text), "\f"), "\f"), nil
}
