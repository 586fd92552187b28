package app

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"sootline/internal/listing"
)

// Compared is a question about a table with what each answer would make of the first rows for which that differs.
type Compared struct {
	Question listing.Question
	Rows     []ComparedRow // none: the answers differ in no row that was looked at
	Readings []Reading     // as the choices
}

// ComparedRow is a row as it stands in the listing.
type ComparedRow struct {
	Line  int
	Cells []ComparedCell // those that the answers read otherwise
}

// ComparedCell is a cell under its heading.
type ComparedCell struct{ Heading, Text string }

// Reading is one answer to a question, with what it would make of the rows.
type Reading struct {
	Choice  listing.Choice
	Becomes []string // as the rows
	Opens   string   // what else it would ask; empty: nothing
	Never   string   // why none of the rows that were looked at could be used; empty: some can
}

// What is compared of a table; choices of ours. A long one is not read anew for each answer.
const (
	mostCompared      = 200     // rows that are looked at
	mostComparedRows  = 3       // that are shown
	mostComparedCells = 4       // of one row
	mostReadings      = 6       // answers
	longestCompared   = 200_000 // rows of the table
)

// Compared gives the open questions that a choice answers and on which the whole table hangs, with what each answer
// would make of it.
func (t *IntakeTable) Compared() ([]Compared, error) {
	if t.comparedOf == t.Understanding {
		return t.compared, nil
	}
	var all []Compared
	for _, q := range t.Questions {
		c := Compared{Question: q}
		if !q.Aside && len(q.Choices) > 1 && len(q.Choices) <= mostReadings && t.Understanding.Rows <= longestCompared {
			if err := t.compare(&c); err != nil {
				return nil, err
			}
		}
		all = append(all, c)
	}
	t.compared, t.comparedOf = all, t.Understanding
	return all, nil
}

// compare compares the answers to the questions of all tables, before a transaction begins.
func (in *Intake) compare() error {
	for _, t := range in.Tables {
		if _, err := t.Compared(); err != nil {
			return err
		}
	}
	return nil
}

// tried is a table as one answer has it understood, with its first rows.
type tried struct {
	*listing.Understanding
	rows map[int]saidRow
}

func (t *IntakeTable) compare(c *Compared) error {
	var all []tried
	cells := map[int][]string{}
	var lines []int
	for _, choice := range c.Question.Choices {
		profile := t.profile
		if err := profile.Answer(c.Question.ID, choice.Value); err != nil {
			return unreadable(err)
		}
		u, err := t.known.Understand(t.Table, profile)
		if err != nil {
			return t.reads.unreadable(err)
		}
		one := tried{u, map[int]saidRow{}}
		for record, fault := range u.Records(t.Table) {
			if record.Line == 0 || len(one.rows) == mostCompared {
				break
			}
			if cells[record.Line] == nil {
				cells[record.Line] = slices.Clone(record.Cells)
				lines = append(lines, record.Line)
			}
			one.rows[record.Line] = append(one.rows[record.Line], saidOf(record, fault)...)
		}
		all = append(all, one)
		reading := Reading{Choice: choice}
		if q, open := u.Blocking(); open && !slices.ContainsFunc(t.Questions, func(old listing.Question) bool { return old.ID == q.ID }) {
			reading.Opens = q.Text
		}
		reading.Never = one.never()
		c.Readings = append(c.Readings, reading)
	}
	slices.Sort(lines)
	c.show(t, all, lines, cells)
	return nil
}

// never says why no row can be used; empty: some can, or there is none.
func (one tried) never() string {
	if one.Refused {
		return one.KindWhy
	}
	why := ""
	for _, line := range slices.Sorted(maps.Keys(one.rows)) {
		trouble := one.rows[line].of(factTrouble)
		if trouble == "" {
			return ""
		}
		why = cmp.Or(why, trouble)
	}
	return why
}

// show keeps the first rows in which the answers differ, with what differs.
func (c *Compared) show(t *IntakeTable, all []tried, lines []int, cells map[int][]string) {
	for _, line := range lines {
		differs := differing(all, line)
		if len(differs) == 0 {
			continue
		}
		c.Rows = append(c.Rows, ComparedRow{line, t.cellsOf(all, cells[line], differs)})
		for i, one := range all {
			c.Readings[i].Becomes = append(c.Readings[i].Becomes, one.rows[line].words(differs))
		}
		if len(c.Rows) == mostComparedRows {
			return
		}
	}
}

// differing lists what of a row the answers read otherwise.
func differing(all []tried, line int) []string {
	var names []string
	for _, one := range all {
		for _, fact := range one.rows[line] {
			if !slices.Contains(names, fact.name) {
				names = append(names, fact.name)
			}
		}
	}
	return slices.DeleteFunc(names, func(name string) bool {
		first := all[0].rows[line].of(name)
		return !slices.ContainsFunc(all[1:], func(other tried) bool { return other.rows[line].of(name) != first })
	})
}

// cellsOf gives the cells of a row from which the answers take what they read otherwise; the first ones, where it is
// no column that they differ in.
func (t *IntakeTable) cellsOf(all []tried, cells []string, differs []string) []ComparedCell {
	var shown, others []ComparedCell
	for i, text := range cells {
		if strings.TrimSpace(text) == "" || i >= len(t.Columns) {
			continue
		}
		cell := ComparedCell{t.Columns[i].Heading, text}
		if slices.ContainsFunc(all, func(one tried) bool { return i < len(one.Columns) && tells(one.Columns[i].Field, differs) }) {
			shown = append(shown, cell)
		} else {
			others = append(others, cell)
		}
	}
	if len(shown) == 0 {
		shown = others
	}
	return shown[:min(mostComparedCells, len(shown))]
}
