package web

import (
	"fmt"
	"maps"
	"net/url"
	"path/filepath"
	"slices"
	"strconv"

	"sootline"
	"sootline/internal/app"
)

// intakePage shows how far an intake has come: what is being done, or what was
// understood and what every row would become, or what was taken in.
type intakePage struct {
	Frame
	Address, Back string
	Names         []string
	GaveUp        string
	Working       *workingLine
	Trouble       string
	WayOut        []wayLine
	Taken         bool
	Tables        []tableLine
	Table         *tablePart // nil: not looked at
	AsIs          bool
	Effects       []string   // in words of the site, a table each
	Undoes        []undoPart // what of the known would be undone
	Open          string     // what is not asked to the end, and is no hindrance
	Act           *actLine   // the take, once it is in
	CanTake       bool
	WhyNot        string
	Adds          string
	Notes         []string // what of the files was not looked at
}

// workingLine tells how far the work under way has come.
type workingLine struct {
	What        string
	Done, Total int // Total is 0 where nobody knows yet
}

// undoPart is one way in which what is known would be undone, with its rows and a yes of its own.
type undoPart struct {
	Name, Ask string
	Allowed   bool
	Rows      []string
	More      int
}

// tableLine is one table of the files, in short.
type tableLine struct {
	Name, Address  string
	Current        bool
	Kind           string
	Rows           string
	Becomes        []string // what was, or would be, added
	Left           int
	LeftFile       string
	Questions      int
	Remarks        []string
	LeftOutBecause string
}

// page shows the intake; the caller holds its lock.
func (in *intake) page(survey *app.Survey, q url.Values) (*intakePage, error) {
	page := &intakePage{
		Frame:   Frame{Title: "Intake of " + sootline.Joined(in.names...), Survey: survey},
		Address: in.address(), Back: siteAddress(survey) + "/intake", Names: in.names, GaveUp: in.gaveUp, Taken: in.at == taken,
	}
	if in.trouble != nil {
		page.Trouble, page.WayOut = in.plain(sentence(in.trouble)), replaced(waysOf(siteAddress(survey), sootline.ErrorWays(in.trouble)), in.plain)
	}
	switch in.at {
	case looking:
		page.Working = &workingLine{"Looking at every row", in.progress.Done, in.progress.Total}
	case taking:
		page.Working = &workingLine{"Taking in", in.progress.Done, in.progress.Total}
	case taken:
		page.addOutcome(in.outcome, "")
		page.addEffects(in.outcome)
		page.addAct(survey, in.outcome)
	case ready:
		page.AsIs = in.asIs
		page.addOutcome(in.preview.outcome, q.Get("table"))
		page.addEffects(in.preview.outcome)
		page.addUndoes(in)
		page.mayTake(in)
		return page, page.addTable(in, q)
	}
	return page, nil
}

// addOutcome lists the tables with what became of them, or would.
func (p *intakePage) addOutcome(out *app.Outcome, current string) {
	for _, o := range out.Tables {
		line := tableLine{
			Name: tableName(o.Table), Kind: app.KindName(o.Table.Kind), Rows: grouped(o.Table.Understanding.Rows),
			Left: o.Left, Questions: len(o.Table.Questions),
		}
		if o.LeftFile != "" {
			line.LeftFile = filepath.Base(o.LeftFile)
		}
		for _, kind := range slices.Sorted(maps.Keys(o.Added)) {
			line.Becomes = append(line.Becomes, grouped(o.Added[kind])+" "+sootline.KindNameOf(o.Added[kind], kind))
		}
		for _, remark := range o.Remarks {
			line.Remarks = append(line.Remarks, remark.Text)
		}
		if o.Same > 0 {
			line.Remarks = append(line.Remarks, count(o.Same, "row says", "rows say")+" what the book says already")
		}
		if o.Repeated > 0 {
			line.Remarks = append(line.Remarks, count(o.Repeated, "row repeats another", "rows repeat others"))
		}
		p.Tables = append(p.Tables, line)
	}
	for _, t := range out.Open {
		p.Tables = append(p.Tables, tableLine{
			Name: tableName(t), Kind: app.KindName(t.Kind), Rows: grouped(t.Understanding.Rows), Questions: len(t.Questions), LeftOutBecause: "a question is open",
		})
	}
	for _, t := range out.Skipped {
		p.Tables = append(p.Tables, tableLine{
			Name: tableName(t), Kind: app.KindName(t.Kind), Rows: grouped(t.Understanding.Rows), Questions: len(t.Questions), LeftOutBecause: t.KindWhy,
		})
	}
	for _, note := range out.Notes {
		p.Notes = append(p.Notes, note.Text)
	}
	p.Adds = count(out.Added, "entry", "entries")
}

// addUndoes lists what of the known the rows would undo.
func (p *intakePage) addUndoes(in *intake) {
	const most = 20
	for _, e := range app.Effects() {
		u := in.preview.outcome.Undone(e)
		if u.Rows == 0 {
			continue
		}
		part := undoPart{Name: string(e), Ask: sootline.Capital(e.Ask(u.Rows)), Allowed: slices.Contains(in.allow, e)}
		for _, says := range u.Says[:min(most, len(u.Says))] {
			part.Rows = append(part.Rows, fmt.Sprintf("Row %d: %s.", says.Line, says.Text))
		}
		part.More = u.Rows - len(part.Rows)
		p.Undoes = append(p.Undoes, part)
	}
}

// addEffects says what the tables would do, or did, in words of the site.
func (p *intakePage) addEffects(out *app.Outcome) {
	spellings := 0
	for _, o := range out.Tables {
		spellings += len(o.Spellings)
		if says := o.Effects(); says != "" {
			p.Effects = append(p.Effects, tableName(o.Table)+" "+says)
		}
	}
	if spellings > 0 {
		p.Open = count(spellings, "spelling is", "spellings are") + " open: its rows are written with the name as it stands, and mean what you answer, now or later."
	}
}

// mayTake says whether the intake can be taken in, and why not.
func (p *intakePage) mayTake(in *intake) {
	open, left := 0, 0
	for _, t := range in.preview.outcome.Tables {
		left += t.Left
	}
	for _, t := range in.opened.Tables {
		for _, q := range t.Questions {
			if !q.Aside {
				open++
			}
		}
	}
	switch {
	case open > 0:
		p.WhyNot = count(open, "question is", "questions are") + " open: answer what could not be told from the files, then they can be taken in."
	case in.preview.outcome.Added == 0 && left > 0:
		p.WhyNot, p.CanTake = "No row of it adds anything; those that cannot be used can be had as a file.", true
	case in.preview.outcome.Added == 0:
		p.WhyNot = "There is nothing in it that the book does not know."
	default:
		p.CanTake = true
	}
}

// tablePart is one table in full: what was understood, and its rows.
type tablePart struct {
	Place, Name   string
	KindWhy       string
	Kinds         []choiceLine
	Headings      string
	Layout        string
	Skipped       []string
	Columns       []columnLine
	MoreColumns   int
	Questions     []questionPart
	Learned       *learnedPart
	Spellings     []spellingPart
	Heads         []string
	Rows          []keptRow
	Count, Left   int
	Troubles      bool // only those that cannot be used
	All, Only     string
	Page, Pages   int
	Earlier, Next string
}

type choiceLine struct {
	Value, Says string
	Chosen      bool
}

type columnLine struct {
	Field, Heading, Why, Samples string
	Choices                      []choiceLine
}

// questionPart is a question with its answers, and what each would make of the first rows.
type questionPart struct {
	ID, Text, Typed string
	Choices         []choiceLine
	Rows            []comparedRow
	Opens           []string // what an answer would ask next, as the choices
}

// comparedRow is a row of the listing beside what each answer would make of it.
type comparedRow struct {
	Line    int
	Cells   []app.ComparedCell
	Becomes []string
}

const mostColumns = 60

// addTable puts the table on the page that was asked for.
func (p *intakePage) addTable(in *intake, q url.Values) error {
	order := slices.Clone(in.opened.Tables)
	place := max(0, slices.IndexFunc(order, func(t *app.IntakeTable) bool { _, open := t.Blocking(); return open }))
	if n, err := strconv.Atoi(q.Get("table")); err == nil && n >= 0 && n < len(order) {
		place = n
	}
	for i := range p.Tables {
		at := slices.IndexFunc(order, func(t *app.IntakeTable) bool { return tableName(t) == p.Tables[i].Name })
		p.Tables[i].Address, p.Tables[i].Current = "?table="+strconv.Itoa(at), at == place
	}
	if len(order) == 0 {
		return nil
	}
	t := order[place]
	p.Table = partOf(t, place)
	if err := p.Table.addQuestions(t, in.typed); err != nil {
		return err
	}
	p.Table.addAsked(in.preview.outcome, t)
	return p.Table.addRows(in.preview, t, q)
}

func partOf(t *app.IntakeTable, place int) *tablePart {
	part := &tablePart{Place: strconv.Itoa(place), Name: tableName(t), KindWhy: t.KindWhy, Headings: t.HeaderWhy, Layout: sootline.Joined(t.Encoding, separatorWord(t.Separator))}
	for _, kind := range app.Kinds() {
		part.Kinds = append(part.Kinds, choiceLine{string(kind), app.KindName(kind), kind == t.Kind})
	}
	for _, s := range t.Skipped {
		part.Skipped = append(part.Skipped, fmt.Sprintf("%s: %s, first in row %d", count(s.Count, "row", "rows"), s.Why, s.First))
	}
	for i, c := range t.Columns[:min(len(t.Columns), mostColumns)] {
		line := columnLine{Field: "column" + strconv.Itoa(i), Heading: c.Heading, Why: c.Why, Samples: samplesOf(c.Samples)}
		if line.Heading == "" {
			line.Heading = fmt.Sprintf("(column %d)", i+1)
		}
		fields := t.Fields()
		if !slices.Contains(fields, c.Field) {
			fields = append(fields, c.Field)
		}
		for _, field := range fields {
			line.Choices = append(line.Choices, choiceLine{string(field), string(field), field == c.Field})
		}
		part.Columns = append(part.Columns, line)
	}
	part.MoreColumns = len(t.Columns) - len(part.Columns)
	return part
}

// addQuestions puts the open questions of a table on the page.
func (part *tablePart) addQuestions(t *app.IntakeTable, typed string) error {
	all, err := t.Compared()
	if err != nil {
		return err
	}
	for _, c := range all {
		asked := questionPart{ID: c.Question.ID, Text: c.Question.Text, Typed: typed}
		for _, choice := range c.Question.Choices {
			asked.Choices = append(asked.Choices, choiceLine{Value: choice.Value, Says: choice.Text})
		}
		for i, row := range c.Rows {
			line := comparedRow{Line: row.Line}
			for _, cell := range row.Cells {
				line.Cells = append(line.Cells, app.ComparedCell{Heading: clipped(cell.Heading, 30), Text: clipped(cell.Text, mostCellText)})
			}
			for _, reading := range c.Readings {
				line.Becomes = append(line.Becomes, reading.Becomes[i])
			}
			asked.Rows = append(asked.Rows, line)
		}
		for _, reading := range c.Readings {
			asked.Opens = append(asked.Opens, reading.Opens)
		}
		part.Questions = append(part.Questions, asked)
	}
	return nil
}

func separatorWord(separator string) string {
	if separator == "" {
		return ""
	}
	return "parted by " + separator
}

func samplesOf(samples []string) string {
	const most = 3
	var texts []string
	for _, s := range samples[:min(most, len(samples))] {
		texts = append(texts, clipped(s, 30))
	}
	return sootline.Joined(texts...)
}

// Asks reports whether anything is asked, or offered, about the table.
func (part *tablePart) Asks() bool {
	return part.Learned != nil || len(part.Questions) > 0 || len(part.Spellings) > 0
}

// addRows puts one page of the table's rows on the page.
func (part *tablePart) addRows(p *preview, t *app.IntakeTable, q url.Values) error {
	rows := p.all[t]
	if left := p.troubles[t]; left != nil {
		part.Left = left.count
	}
	if q.Get("rows") == "left" && part.Left > 0 {
		rows, part.Troubles = p.troubles[t], true
	}
	if rows == nil {
		return nil
	}
	part.Count = rows.count
	part.All, part.Only = with(q, "rows", "", "page", "1"), with(q, "rows", "left", "page", "1")
	part.Pages = max(1, len(rows.pages))
	n, err := strconv.Atoi(q.Get("page"))
	if err != nil {
		n = 1
	}
	part.Page = min(max(n, 1), part.Pages)
	if part.Page > 1 {
		part.Earlier = with(q, "page", strconv.Itoa(part.Page-1))
	}
	if part.Page < part.Pages {
		part.Next = with(q, "page", strconv.Itoa(part.Page+1))
	}
	for i, c := range t.Columns[:min(len(t.Columns), mostCells)] {
		heading := c.Heading
		if heading == "" {
			heading = fmt.Sprintf("(column %d)", i+1)
		}
		part.Heads = append(part.Heads, clipped(heading, mostCellText))
	}
	part.Rows, err = rows.page(part.Page - 1)
	for i := range part.Rows {
		for len(part.Rows[i].Cells) < len(part.Heads) {
			part.Rows[i].Cells = append(part.Rows[i].Cells, "")
		}
	}
	return err
}
