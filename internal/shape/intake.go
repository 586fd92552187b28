package shape

import (
	"fmt"
	"path/filepath"

	"sootline"
	"sootline/internal/app"
)

// Intake is what listings became, or would become.
type Intake struct {
	Preview bool     `json:"preview"`
	Added   int      `json:"added"`
	Tables  []Table  `json:"tables"`
	Skipped []string `json:"skipped"`
	Notes   []string `json:"notes"`
	Take    string   `json:"take" doc:"Name of the take, by which it is taken back whole; empty: nothing was written"`
}

// Table is what one table of a listing became.
type Table struct {
	File      string         `json:"file"`
	Table     string         `json:"table"`
	Kind      string         `json:"kind"`
	Columns   []Column       `json:"columns"`
	Questions []Doubt        `json:"questions"`
	Rows      int            `json:"rows"`
	Added     map[string]int `json:"added"`
	Effects   string         `json:"effects"`
	Undoes    []Undoing      `json:"undoes" doc:"What of the known the rows would undo; each needs its word in allow"`
	Same      int            `json:"said_already"`
	Repeated  int            `json:"repeated"`
	Remarks   []string       `json:"remarks"`
	Left      int            `json:"rows_left"`
	Troubles  []string       `json:"troubles"`
	LeftRows  string         `json:"left_rows"`
	Learned   *Learned       `json:"learned,omitempty" doc:"What was answered of a listing of the same shape; left out: nothing"`
	Spellings []Spelling     `json:"spellings" doc:"Spellings that are not known and near to what is; they are written as they stand, and mean what an alias says, now or later"`
}

// Undoing is one way in which rows would undo what is known.
type Undoing struct {
	Effect string   `json:"effect" doc:"As allow has it"`
	Rows   int      `json:"rows"`
	Held   int      `json:"held" doc:"How many of them are put aside, for it was not allowed"`
	Says   []string `json:"says" doc:"Of the first of them, what the register says and what the row"`
}

// Learned is what was answered of a listing of the same shape.
type Learned struct {
	Day     string `json:"day"`
	By      string `json:"by"`
	Take    string `json:"take"`
	Answers string `json:"answers" doc:"As a map file has them"`
	Used    bool   `json:"used"`
	Why     string `json:"why" doc:"Why it is not used unasked; empty: nothing speaks against it"`
}

// Spelling is a spelling that nobody knows.
type Spelling struct {
	Of     string   `json:"of"`
	Said   string   `json:"said"`
	Rows   int      `json:"rows"`
	Likely []string `json:"likely" doc:"What may be meant, the likeliest first"`
}

func learnedAndSpelled(one *Table, o *app.TableOutcome) {
	if l := o.Table.Learned; l != nil {
		one.Learned = &Learned{l.Day, l.By, l.Take, l.Answers, l.Used, l.Why}
	}
	one.Spellings = []Spelling{}
	for _, s := range o.Spellings {
		one.Spellings = append(one.Spellings, Spelling{string(s.Of), s.Said, s.Rows, append([]string{}, s.Likely...)})
	}
}

// Column is what a column was taken for.
type Column struct {
	Heading string `json:"heading"`
	Field   string `json:"field"`
	Why     string `json:"why"`
}

// Doubt is what a listing leaves open; it is answered by handing the listing in
// again with the answer.
type Doubt struct {
	ID       string         `json:"id"`
	Text     string         `json:"text"`
	Choices  []string       `json:"choices"`
	Readings []DoubtReading `json:"readings" doc:"What each choice would make of the first rows, where that differs and the whole table hangs on it"`
}

// DoubtReading is one answer, with what it would make of the first rows.
type DoubtReading struct {
	Choice string    `json:"choice"`
	Text   string    `json:"text"`
	Opens  string    `json:"opens" doc:"What it would ask next; empty: nothing"`
	Rows   []ReadRow `json:"rows"`
}

// ReadRow is a row as it stands, beside what it would become.
type ReadRow struct {
	Row     int        `json:"row"`
	Cells   []ReadCell `json:"cells"`
	Becomes string     `json:"becomes"`
}

// ReadCell is a cell under its heading.
type ReadCell struct {
	Heading string `json:"heading"`
	Text    string `json:"text"`
}

// OfIntake shapes the outcome of an intake; left gives the rows that could not be
// used, ready to be mended.
func OfIntake(out *app.Outcome, preview bool, left func(file string) (string, error)) (Intake, error) {
	shape := Intake{Preview: preview, Added: out.Added, Tables: []Table{}, Skipped: []string{}, Notes: []string{}}
	for _, note := range out.Notes {
		shape.Notes = append(shape.Notes, note.Text)
	}
	if out.Act != nil {
		if said, ok := out.Act.Body.(sootline.Taken); ok {
			shape.Take = said.Name
		}
	}
	for _, table := range out.Skipped {
		shape.Skipped = append(shape.Skipped, filepath.Base(table.Path))
	}
	for _, table := range out.Open {
		one := tableOf(&app.TableOutcome{Table: table})
		var err error
		if one.Questions, err = doubts(table); err != nil {
			return shape, err
		}
		shape.Tables = append(shape.Tables, one)
	}
	for _, o := range out.Tables {
		one := tableOf(o)
		learnedAndSpelled(&one, o)
		var err error
		if one.Questions, err = doubts(o.Table); err != nil {
			return shape, err
		}
		if o.LeftFile != "" {
			if one.LeftRows, err = left(o.LeftFile); err != nil {
				return shape, err
			}
		}
		shape.Tables = append(shape.Tables, one)
	}
	return shape, nil
}

func remarks(list []app.Remark) []string {
	texts := make([]string, len(list))
	for i, remark := range list {
		texts[i] = withLine(remark)
	}
	return texts
}

func withLine(r app.Remark) string { return fmt.Sprintf("row %d: %s", r.Line, r.Text) }

// tableOf shapes what one table became; nothing, where a question about it is open.
func tableOf(o *app.TableOutcome) Table {
	u := o.Table.Understanding
	one := Table{
		File: filepath.Base(o.Table.Path), Table: o.Table.Table.Name, Kind: string(o.Table.Kind), Columns: []Column{}, Questions: []Doubt{}, Rows: u.Rows,
		Added: map[string]int{}, Same: o.Same, Repeated: o.Repeated, Left: o.Left, Remarks: remarks(o.Remarks), Troubles: remarks(o.Troubles), Effects: o.Effects(),
		Undoes: []Undoing{},
	}
	for kind, n := range o.Added {
		one.Added[string(kind)] = n
	}
	for _, e := range app.Effects() {
		if u := o.Undoes[e]; u != nil {
			one.Undoes = append(one.Undoes, Undoing{string(e), u.Rows, u.Held, remarks(u.Says)})
		}
	}
	for _, c := range u.Columns {
		one.Columns = append(one.Columns, Column{c.Heading, string(c.Field), c.Why})
	}
	return one
}

// doubts shapes the open questions of a table.
func doubts(t *app.IntakeTable) ([]Doubt, error) {
	all, err := t.Compared()
	list := []Doubt{}
	for _, c := range all {
		doubt := Doubt{ID: c.Question.ID, Text: c.Question.Text, Choices: []string{}, Readings: []DoubtReading{}}
		for _, choice := range c.Question.Choices {
			doubt.Choices = append(doubt.Choices, choice.Value)
		}
		for k, reading := range c.Readings {
			shaped := DoubtReading{Choice: reading.Choice.Value, Text: reading.Choice.Text, Opens: reading.Opens, Rows: []ReadRow{}}
			for i, row := range c.Rows {
				cells := []ReadCell{}
				for _, cell := range row.Cells {
					cells = append(cells, ReadCell{cell.Heading, cell.Text})
				}
				shaped.Rows = append(shaped.Rows, ReadRow{row.Line, cells, c.Readings[k].Becomes[i]})
			}
			doubt.Readings = append(doubt.Readings, shaped)
		}
		list = append(list, doubt)
	}
	return list, err
}
