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
	Undoes    map[string]int `json:"undoes"`
	Same      int            `json:"said_already"`
	Repeated  int            `json:"repeated"`
	Remarks   []string       `json:"remarks"`
	Left      int            `json:"rows_left"`
	Troubles  []string       `json:"troubles"`
	LeftRows  string         `json:"left_rows"`
	Learned   *Learned       `json:"learned,omitempty" doc:"What was answered of a listing of the same shape; left out: nothing"`
	Spellings []Spelling     `json:"spellings" doc:"Spellings that are not known and near to what is; they are taken as written"`
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
	ID      string   `json:"id"`
	Text    string   `json:"text"`
	Choices []string `json:"choices"`
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
		shape.Tables = append(shape.Tables, tableOf(&app.TableOutcome{Table: table}))
	}
	for _, o := range out.Tables {
		one := tableOf(o)
		learnedAndSpelled(&one, o)
		if o.LeftFile != "" {
			var err error
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
		Undoes: map[string]int{},
	}
	for kind, n := range o.Added {
		one.Added[string(kind)] = n
	}
	for e, u := range o.Undoes {
		one.Undoes[string(e)] = u.Rows
	}
	for _, c := range u.Columns {
		one.Columns = append(one.Columns, Column{c.Heading, string(c.Field), c.Why})
	}
	for _, q := range u.Questions {
		doubt := Doubt{ID: q.ID, Text: q.Text, Choices: []string{}}
		for _, choice := range q.Choices {
			doubt.Choices = append(doubt.Choices, choice.Value)
		}
		one.Questions = append(one.Questions, doubt)
	}
	return one
}
