package paper

import (
	"math"
	"slices"
	"strings"
)

// The inside of a table's cells, in millimetres.
const (
	gap     = 1.4 // between the text of two columns, each side
	rowGap  = 0.9 // above and below the text of a row
	leastMM = 7
	roomMM  = 16 // of a cell to write in
)

// table writes a table; its head stands on each page.
func (p *press) table(t *Table) {
	if len(t.Rows) == 0 {
		p.tableTitle(t, p.tail)
		p.paragraph(t.None, 0)
		p.y += 2
		return
	}
	t, left := t.filled()
	if p.tail > 0 {
		p.tail += p.belowTable(left)
	}
	g := p.grid(t)
	last := max(0, len(t.Rows)-lastRows)
	first := g.measure(t.Rows[0])
	if last == 0 {
		first = g.height(t.Rows) + p.tail
	}
	p.tableTitle(t, first)
	g.head()
	for i, row := range t.Rows {
		if p.Err() {
			return
		}
		if i == last && i > 0 {
			g.together(t.Rows[i:])
		}
		g.row(row)
	}
	p.leftOut(left)
	p.y += 3
}

// lastRows is how many rows of a table stay with what follows it and must not stand alone.
const lastRows = 3

// together begins a page where the last rows and what must not stand alone behind them do not fit on this one.
func (g *grid) together(rows [][]Cell) {
	if g.tail == 0 || g.y+g.height(rows)+g.tail <= g.size.Height-bottom {
		return
	}
	g.newPage()
	g.head()
	g.font(false, small+0.5)
}

// height is how high rows stand together; no more than a page.
func (g *grid) height(rows [][]Cell) float64 {
	sum := 0.0
	for _, row := range rows {
		sum += g.measure(row)
	}
	return min(sum, g.size.Height-top-bottom-40)
}

// belowTable is how much room a table takes below its last row: the columns left out, and a gap.
func (p *press) belowTable(left []string) float64 {
	const gap = 4
	if len(left) == 0 {
		return gap
	}
	p.font(false, small)
	return gap + 1 + float64(len(p.wrap(p.printable(LeftOut(left)), p.width)))*p.line()
}

// leftOut names the columns that were not printed.
func (p *press) leftOut(names []string) {
	if len(names) == 0 {
		return
	}
	p.y += 0.8
	p.font(false, small)
	p.ink(grey)
	for _, line := range p.wrap(p.printable(LeftOut(names)), p.width) {
		p.room(p.line())
		p.write(margin, p.y, line)
		p.y += p.line()
	}
	p.ink(black)
}

// LeftOut says which columns of a table are not printed.
func LeftOut(names []string) string {
	return "Empty in each row, and left out: " + strings.Join(names, ", ") + "."
}

// filled is a table without the columns in which no row says anything, and their names; the first column stays.
func (t *Table) filled() (*Table, []string) {
	var names []string
	var keep []int
	for i, c := range t.Columns {
		if i > 0 && !slices.ContainsFunc(t.Rows, func(row []Cell) bool { return row[i].text != "" || row[i].tick || row[i].roomy }) {
			names = append(names, c.Name)
			continue
		}
		keep = append(keep, i)
	}
	if len(names) == 0 || len(t.Rows) == 0 {
		return t, nil
	}
	out := &Table{Title: t.Title, None: t.None}
	for _, i := range keep {
		out.Columns = append(out.Columns, t.Columns[i])
	}
	for _, row := range t.Rows {
		cells := make([]Cell, len(keep))
		for n, i := range keep {
			cells[n] = row[i]
		}
		out.Rows = append(out.Rows, cells)
	}
	return out, names
}

// tableTitle writes the title of a table, together with its head and a first row
// of that height: neither stands alone at the foot of a page.
func (p *press) tableTitle(t *Table, row float64) {
	const head, title = 12, 10
	if t.Title == "" {
		p.room(row + head)
		return
	}
	p.room(row + head + title)
	p.heading(t.Title)
}

// grid is a table on its way to the page.
type grid struct {
	*press
	t      *Table
	widths []float64
	lines  [][]string // of the cells of the row at hand
}

// grid chooses the widths of columns: what each would like, or, where that is too
// much, its longest word and a share of the rest.
func (p *press) grid(t *Table) *grid {
	g := &grid{press: p, t: t, lines: make([][]string, len(t.Columns)), widths: make([]float64, len(t.Columns))}
	likes, least := make([]float64, len(t.Columns)), make([]float64, len(t.Columns))
	sum, floor, stretch := 0.0, 0.0, 1.6 // wider would tear short tables apart
	for i := range t.Columns {
		likes[i], least[i] = g.wishes(i)
		sum, floor = sum+likes[i], floor+least[i]
		if len(t.Rows) > 0 && t.Rows[0][i].roomy {
			stretch = p.width
		}
	}
	for i := range g.widths {
		switch {
		case sum <= p.width:
			g.widths[i] = likes[i] * min(p.width/sum, stretch)
		case floor < p.width:
			g.widths[i] = least[i] + (p.width-floor)*(likes[i]-least[i])/(sum-floor)
		default:
			g.widths[i] = max(least[i]*p.width/floor, 1)
		}
	}
	return g
}

// sampled is how many rows are looked at for the widths of columns.
const sampled = 400

// wishes gives the width a column would like, and the least it can do with.
func (g *grid) wishes(column int) (likes, least float64) {
	g.font(true, small)
	look := func(text string) {
		text = g.printable(text)
		likes = max(likes, g.widthOf(text))
		for _, word := range strings.Fields(text) {
			least = max(least, g.widthOf(word))
		}
	}
	look(g.t.Columns[column].Name)
	g.font(false, small+0.5)
	step := max(1, len(g.t.Rows)/sampled)
	for i := 0; i < len(g.t.Rows); i += step {
		look(g.t.Rows[i][column].text)
		if g.t.Rows[i][column].roomy {
			likes, least = max(likes, roomMM), max(least, roomMM)
		}
	}
	const widest, longestWord, rounding = 70, 30, 0.05
	likes = math.Min(likes, widest) + 2*gap + rounding
	return max(likes, leastMM), max(math.Min(least, longestWord)+2*gap+rounding, leastMM)
}

// head writes the names of the columns.
func (g *grid) head() {
	g.font(true, small)
	high := 0
	for i, c := range g.t.Columns {
		g.lines[i] = g.wrap(g.printable(c.Name), g.widths[i]-2*gap)
		high = max(high, len(g.lines[i]))
	}
	height := float64(high)*g.line() + 2*rowGap
	g.room(height + 12)
	g.SetFillColor(235, 235, 235)
	g.Rect(margin, g.y, g.total(), height, "F")
	g.put(0, high)
	g.y += height
}

func (g *grid) total() float64 {
	sum := 0.0
	for _, w := range g.widths {
		sum += w
	}
	return sum
}

// measure breaks the texts of a row into lines and says how high it is.
func (g *grid) measure(cells []Cell) float64 {
	g.font(false, small+0.5)
	high, least := 1, 0.0
	for i, c := range cells {
		g.lines[i] = g.wrap(g.printable(c.text), g.widths[i]-2*gap)
		high = max(high, len(g.lines[i]))
		switch {
		case c.roomy:
			least = max(least, 7)
		case c.tick:
			least = max(least, 5.2)
		}
	}
	return max(float64(high)*g.line()+2*rowGap, least)
}

// row writes a row; one that is higher than a page goes on over the next.
func (g *grid) row(cells []Cell) {
	height := g.measure(cells)
	high := 1
	for _, lines := range g.lines {
		high = max(high, len(lines))
	}
	whole := g.size.Height - top - bottom - 15
	if g.y+min(height, whole) > g.size.Height-bottom {
		kept := append([][]string{}, g.lines...)
		g.newPage()
		g.head()
		copy(g.lines, kept)
		g.font(false, small+0.5)
	}
	for done := 0; done < high; {
		fit := min(high-done, max(1, int((g.size.Height-bottom-g.y-2*rowGap)/g.line())))
		g.put(done, done+fit)
		done += fit
		g.y += max(float64(fit)*g.line()+2*rowGap, height*float64(fit)/float64(high))
		if done < high {
			g.newPage()
			g.font(false, small+0.5)
		}
	}
	for i, x := 0, float64(margin); i < len(cells); i++ {
		if cells[i].tick {
			g.tickBox(x+gap, g.y-height+0.4)
		}
		x += g.widths[i]
	}
	g.rule(margin, margin+g.total(), g.y, faint)
}

// put writes some lines of the row at hand.
func (g *grid) put(from, to int) {
	x := float64(margin)
	for i, lines := range g.lines {
		for n := from; n < min(to, len(lines)); n++ {
			at := x + gap
			if g.t.Columns[i].Right {
				at = x + g.widths[i] - gap - g.widthOf(lines[n])
			}
			g.write(at, g.y+rowGap+float64(n-from)*g.line(), lines[n])
		}
		x += g.widths[i]
	}
}

// tickBox draws an empty box to tick.
func (p *press) tickBox(x, y float64) {
	p.SetDrawColor(black, black, black)
	p.SetLineWidth(0.2)
	p.Rect(x, y+0.4, 3, 3, "D")
}
