package papers

import (
	"fmt"
	"strings"
	"testing"

	"sootline/internal/paper"
)

// Lines to sign never stand alone on a page: the last rows before them go along. A column in which no row says anything
// is not printed, and is named.
func TestSignaturesAreNotAlone(t *testing.T) {
	broken := 0
	for n := 24; n < 44; n++ {
		table := paper.Table{Title: "Rows", Columns: []paper.Column{{Name: "name"}, {Name: "serial"}, {Name: "done"}}}
		for i := range n {
			table.Rows = append(table.Rows, []paper.Cell{paper.Text(fmt.Sprintf("row-%02d", i)), {}, paper.Tick()})
		}
		d := &paper.Document{Title: "Sample", Site: "Mill", Parts: []paper.Part{{Blocks: []paper.Block{table, paper.Signatures{Roles: []string{"technician", "responsible person"}}}}}}
		pages := printedPages(t, d, paper.Sizes()[0])
		for i, page := range pages {
			if strings.Contains(page.Flow, "signature") && !strings.Contains(page.Flow, "row-") {
				t.Errorf("%d rows: the lines to sign stand alone on page %d", n, i+1)
			}
		}
		if len(pages) > 1 {
			broken++
		}
		if text := pages[len(pages)-1].Flow; !strings.Contains(text, "left out: serial.") {
			t.Errorf("%d rows: the column without entries is not named", n)
		}
	}
	if broken == 0 || broken == 20 {
		t.Errorf("%d of 20 go over to a second page: the test looks at one kind alone", broken)
	}
}
