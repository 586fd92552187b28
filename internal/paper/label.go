package paper

import (
	_ "embed"
	"fmt"
	"io"
	"strconv"
	"strings"

	"sootline"
)

// Label is what is stuck on a base or a device.
type Label struct {
	Number string   // large
	Lines  []string // small, below it
	Code   string   // what the square code says; in capitals it needs fewer squares
}

// LabelSheet is a sheet of labels, in millimetres.
type LabelSheet struct {
	Name          string
	Paper         Size
	Across, Down  int     // labels
	Left, Top     float64 // to the first label
	Width, Height float64 // of a label
	StepX, StepY  float64 // from a label to the next
}

// labelSheets is the table of sheets; its head says what its columns are.
//
//go:embed labels.txt
var labelSheets string

// LabelSheets lists the sheets of labels.
func LabelSheets() ([]LabelSheet, error) {
	var sheets []LabelSheet
	for line := range strings.Lines(labelSheets) {
		fields := strings.Fields(line)
		if len(fields) == 0 || strings.HasPrefix(line, "#") {
			continue
		}
		sheet, err := parseSheet(fields)
		if err != nil {
			return nil, fmt.Errorf("sheet of labels %q: %w", strings.TrimSpace(line), err)
		}
		sheets = append(sheets, sheet)
	}
	return sheets, nil
}

func parseSheet(fields []string) (LabelSheet, error) {
	const columns = 10
	if len(fields) != columns {
		return LabelSheet{}, fmt.Errorf("%d columns, want %d", len(fields), columns)
	}
	var err error
	s := LabelSheet{Name: fields[0]}
	for i, into := range []*int{&s.Across, &s.Down} {
		if *into, err = strconv.Atoi(fields[2+i]); err != nil {
			return s, err
		}
	}
	for i, into := range []*float64{&s.Left, &s.Top, &s.Width, &s.Height, &s.StepX, &s.StepY} {
		if *into, err = strconv.ParseFloat(fields[4+i], 64); err != nil {
			return s, err
		}
	}
	if s.Paper, err = sheetSize(fields[1], &s); err != nil {
		return s, err
	}
	if s.Across < 1 || s.Down < 1 || !(min(s.Left, s.Top, s.StepX, s.StepY) >= 0) || !(min(s.Width, s.Height) > 0) { // a NaN is neither
		return s, fmt.Errorf("it has no label that lies on the paper")
	}
	if over := s.Left + float64(s.Across-1)*s.StepX + s.Width - s.Paper.Width; over > 0 {
		return s, fmt.Errorf("it is %.1f mm too wide for its paper", over)
	}
	if over := s.Top + float64(s.Down-1)*s.StepY + s.Height - s.Paper.Height; over > 0 {
		return s, fmt.Errorf("it is %.1f mm too high for its paper", over)
	}
	return s, nil
}

// onRoll is the paper of a printer of single labels.
const onRoll = "roll"

// sheetSize is the size of the paper that a sheet of labels is of: by its name, or,
// where single labels come off a roll, that of the label.
func sheetSize(name string, s *LabelSheet) (Size, error) {
	if name == onRoll {
		return Size{onRoll, s.Width, s.Height}, nil
	}
	return FindSize(name)
}

// FindLabelSheet finds a sheet by its name; an empty name means the first of that
// size of paper. A sheet of another size than asked for is refused.
func FindLabelSheet(name, size string) (LabelSheet, error) {
	sheets, err := LabelSheets()
	if err != nil {
		return LabelSheet{}, err
	}
	if size != "" || name == "" {
		asked, err := FindSize(size)
		if err != nil {
			return LabelSheet{}, err
		}
		size = asked.Name
	}
	var names []string
	for _, s := range sheets {
		fits := size == "" || s.Paper.Name == size
		switch {
		case (name == "" || strings.EqualFold(s.Name, name)) && fits:
			return s, nil
		case strings.EqualFold(s.Name, name):
			return LabelSheet{}, sootline.Errorf(sootline.Invalid, "leave the size out, or choose a sheet of it", "the sheet of labels %s is of %s, and not of %s", s.Name, s.Paper.Name, size)
		case fits:
			names = append(names, s.Name)
		}
	}
	return LabelSheet{}, sootline.Errorf(sootline.Invalid, "say one of: "+strings.Join(names, ", "), "there is no sheet of labels %q", name)
}

// Place gives the upper left corner of the i-th label of a sheet, from 0, along
// the rows, and the page that it is on, from 0.
func (s *LabelSheet) Place(i int) (page int, x, y float64) {
	page, i = i/(s.Across*s.Down), i%(s.Across*s.Down)
	return page, s.Left + float64(i%s.Across)*s.StepX, s.Top + float64(i/s.Across)*s.StepY
}

// WriteLabels writes labels as PDF. The first skip labels of the first sheet are
// used already. Outline draws the edge of each label, to hold a print on plain
// paper against the sheet.
func WriteLabels(w io.Writer, d *Document, sheet *LabelSheet, labels []Label, skip int, outline bool) error {
	if skip < 0 || skip >= sheet.Across*sheet.Down {
		return sootline.Errorf(sootline.Invalid, "", "a sheet of %d labels cannot have %d used already", sheet.Across*sheet.Down, skip)
	}
	p, err := newPress(d, sheet.Paper)
	if err != nil {
		return err
	}
	codes, err := squares(labels)
	if err != nil {
		return err
	}
	on := -1
	for i := range labels {
		page, x, y := sheet.Place(skip + i)
		if page != on {
			p.AddPage()
			on = page
		}
		p.stick(&labels[i], codes[i], sheet, x, y, outline)
	}
	if len(labels) == 0 {
		p.AddPage()
		p.font(false, body)
		p.write(margin, top, "There is no point to label.")
	}
	return p.Output(w)
}

// stick prints a label: the code at the left, a number as large as there is room
// for, and as many lines as go below it.
func (p *press) stick(l *Label, code squareCode, sheet *LabelSheet, x, y float64, outline bool) {
	const inside, quietInside = 1.5, 0.5 // the code has an empty edge of its own
	if outline {
		p.SetDrawColor(faint, faint, faint)
		p.SetLineWidth(0.1)
		p.Rect(x, y, sheet.Width, sheet.Height, "D")
	}
	side := min(sheet.Height-2*quietInside, sheet.Width*0.42)
	p.square(code, x+quietInside, y+(sheet.Height-side)/2, side)
	left := x + side + inside
	width := x + sheet.Width - inside - left
	p.ink(black)
	pt := min(24.0, sheet.Height*0.34/perPt/leading)
	p.font(true, pt)
	number := p.printable(l.Number)
	if w := p.widthOf(number); w > width {
		p.font(true, pt*width/w)
	}
	at := y + inside
	p.write(left, at, number)
	at += p.line()
	p.font(false, min(7.5, max(4.5, sheet.Height*0.11/perPt/leading)))
	lines := p.labelLines(l.Lines, width, int((y+sheet.Height-inside+0.2-at)/p.line()))
	for _, line := range lines {
		p.write(left, at, line)
		at += p.line()
	}
}

// labelLines breaks the texts of a label into so many lines at most; that
// something was left out is shown.
func (p *press) labelLines(texts []string, width float64, most int) []string {
	var lines []string
	for _, text := range texts {
		lines = append(lines, p.wrap(p.printable(text), width)...)
	}
	if len(lines) <= most || most < 1 {
		return lines[:min(len(lines), max(most, 0))]
	}
	lines[most-1] = p.clip(lines[most-1]+" ...", width)
	if !strings.HasSuffix(lines[most-1], "...") {
		lines[most-1] += "..."
	}
	return lines[:most]
}
