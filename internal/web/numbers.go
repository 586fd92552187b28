package web

import (
	"fmt"
	"net/http"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/app"
)

// loopPart is the loop that a page is about, among the others.
type loopPart struct {
	Base  string // the address of the numbers' pages
	Loops []loopChoice
	Loop  string // empty: the site has none
	id    sootline.LoopID
}

// loopIn gives the loop that the query names, or the first one, with the others
// as links to the same page.
func loopIn(r *http.Request, survey *app.Survey) (loopPart, error) {
	part := loopPart{Base: siteAddress(survey) + "/numbers"}
	loops := survey.Register.Loops()
	if len(loops) == 0 {
		return part, nil
	}
	part.id = loops[0].LoopID
	if name := r.FormValue("loop"); name != "" {
		var err error
		if part.id, err = survey.LoopNamed(name); err != nil {
			return part, err
		}
	}
	part.Loop = part.id.String()
	for _, loop := range loops {
		part.Loops = append(part.Loops, loopChoice{loop.String(), "?loop=" + queryWord(loop.String()), loop.LoopID == part.id})
	}
	return part, nil
}

// numbersPage shows the numbers of a loop as a grid.
type numbersPage struct {
	Frame
	loopPart
	Numbers  string
	Tables   []numberTable
	Findings []findingLine
	Noted    string
}

// numberTable is the grid of one range: rows of ten numbers.
type numberTable struct {
	Name   string // of the range; empty where there is one
	Counts []standingCount
	Rows   []numberRow
	Aside  []asideLine
}

type standingCount struct {
	Standing, Mark string
	Count          int
}

type numberRow struct {
	From  int
	Cells []numberCell
}

// numberCell is a number, or the part in this row of those that a wide device takes.
type numberCell struct {
	Text     string
	Span     int
	Standing string // empty: no number of the loop
	Mark     string
	Devices  []deviceLink
}

// deviceLink leads to a device: Says is its kind, Title all that tells it apart.
type deviceLink struct{ Says, Title, Ref, Place, Type, Address string }

// asideLine lists devices that stand at no number of the grid.
type asideLine struct {
	Says    string
	Devices []deviceLink
}

func (s *Server) showNumbers(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	page := &numbersPage{Frame: Frame{Title: "Numbers of " + survey.Register.Site.Name, Survey: survey}}
	if page.loopPart, err = loopIn(r, survey); err != nil {
		return err
	}
	if page.Loop != "" {
		if err := page.lay(survey); err != nil {
			return err
		}
	}
	page.Noted = s.saidBefore(r)
	return s.show(w, r, http.StatusOK, "numbers.html", page)
}

func (p *numbersPage) lay(survey *app.Survey) error {
	numbers, err := survey.Numbers(p.id)
	if err != nil {
		return err
	}
	loop := survey.Register.Loop(p.id)
	p.Numbers = numbersOf(loop)
	if loop.Unset != 0 {
		p.Numbers += fmt.Sprintf(", unset %d", loop.Unset)
	}
	link := func(i int) deviceLink { return deviceOf(survey, numbers.Loop.Devices[i].ID) }
	for _, t := range numbers.Tables {
		table := numberTable{}
		if loop.Separate {
			table.Name = t.Range.String()
		}
		counts := map[string]int{}
		for _, slot := range t.Slots {
			counts[string(slot.Standing)] += slot.Last - slot.First + 1
			table.put(slot.First, slot.Last, string(slot.Standing), links(slot.Devices, link))
		}
		table.count(counts)
		table.aside("still at the unset number", links(t.Unset, link))
		table.aside("without a number", links(t.Without, link))
		table.aside("at a number that the loop does not have", links(t.Outside, link))
		p.Tables = append(p.Tables, table)
	}
	p.addFindings(survey)
	return nil
}

func links(devices []int, link func(int) deviceLink) []deviceLink {
	all := make([]deviceLink, len(devices))
	for i, d := range devices {
		all[i] = link(d)
	}
	return all
}

// deviceOf links to a point by what it is.
func deviceOf(survey *app.Survey, id sootline.ID) deviceLink {
	p := survey.Register.Point(id)
	kind := "type not known"
	if sheet := survey.Register.Sheet(p.Type); sheet != nil && sheet.Kind != "" {
		kind = string(sheet.Kind)
	}
	return deviceLink{kind, sootline.Joined(p.Ref().String(), p.Type, place(p)), p.Ref().String(), place(p), p.Type, pointAddress(survey, p)}
}

const numbersInRow = 10

// Ends are the last digits that the columns stand for.
func (t numberTable) Ends() []int { return []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9} }

// put puts a run of numbers into the grid, in parts where it goes on in the next row.
func (t *numberTable) put(first, last int, standing string, devices []deviceLink) {
	for first <= last {
		from := first - first%numbersInRow
		if len(t.Rows) == 0 || t.Rows[len(t.Rows)-1].From != from {
			t.Rows = append(t.Rows, numberRow{From: from})
			if gap := first - from; gap > 0 {
				t.Rows[len(t.Rows)-1].Cells = []numberCell{{Span: gap}}
			}
		}
		end := min(last, from+numbersInRow-1)
		cell := numberCell{Text: fmt.Sprint(first), Span: end - first + 1, Standing: standing, Mark: standingMark(standing), Devices: devices}
		if end > first {
			cell.Text = fmt.Sprintf("%d–%d", first, end)
		}
		row := &t.Rows[len(t.Rows)-1]
		row.Cells = append(row.Cells, cell)
		first = end + 1
	}
}

// count tells how many numbers stand how.
func (t *numberTable) count(counts map[string]int) {
	for _, standing := range []app.NumberStanding{app.NumberFree, app.NumberTaken, app.NumberClashing, app.NumberReserved, app.NumberUnset} {
		if n := counts[string(standing)]; n > 0 || standing == app.NumberFree {
			t.Counts = append(t.Counts, standingCount{string(standing), standingMark(string(standing)), n})
		}
	}
}

func (t *numberTable) aside(says string, devices []deviceLink) {
	if len(devices) > 0 {
		t.Aside = append(t.Aside, asideLine{count(len(devices), "device is ", "devices are ") + says, devices})
	}
}

// standingMark is the shape of how a number stands, so that it needs no colour.
func standingMark(standing string) string {
	switch app.NumberStanding(standing) {
	case app.NumberTaken:
		return "●"
	case app.NumberClashing:
		return "✕"
	case app.NumberReserved:
		return "▨"
	case app.NumberUnset:
		return "◌"
	}
	return "·"
}

// addFindings lists what is wrong with the numbers of the loop.
func (p *numbersPage) addFindings(survey *app.Survey) {
	ofLoop := slices.DeleteFunc(slices.Clone(survey.Findings()), func(f sootline.Finding) bool {
		return !strings.HasPrefix(f.Code, "number-") || len(f.Points) == 0 || f.Points[0].LoopID() != p.id
	})
	for _, f := range app.FindingLines(ofLoop) {
		p.Findings = append(p.Findings, findingLine{Weight: f.Weight.String(), Reason: f.Reason, WayOut: waysOf(siteAddress(survey), f.WayOut)})
	}
}
