package main

import (
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/listing"
)

// showUnderstood tells what a table was taken for, column by column.
func (s *session) showUnderstood(t *app.IntakeTable) error {
	fmt.Fprintf(s.out, "%s: %s, %s (%s)\n", tableName(t), app.KindName(t.Kind), count(t.Understanding.Rows, "row", "rows"), t.KindWhy)
	s.showPassedOver(t)
	var rows [][]string
	for columns := t.Columns; len(columns) > 0; {
		run := alike(columns)
		c := run[0]
		columns = columns[len(run):]
		heading := c.Heading
		switch {
		case len(run) > 1:
			heading = strings.TrimSpace(fmt.Sprintf("%s (columns %d to %d)", heading, c.Index+1, run[len(run)-1].Index+1))
		case heading == "":
			heading = fmt.Sprintf("(column %d)", c.Index+1)
		}
		rows = append(rows, []string{heading, string(c.Field), c.Why, strings.Join(c.Samples, " | ")})
	}
	if err := printTable(s.out, []string{"column", "taken as", "because", "for example"}, rows); err != nil {
		return err
	}
	_, err := fmt.Fprintln(s.out)
	return err
}

// showPassedOver counts the rows that were taken for none, with the reason.
func (s *session) showPassedOver(t *app.IntakeTable) {
	for _, skipped := range t.Skipped {
		fmt.Fprintf(s.out, "  passed over: %d x %s, first in row %d\n", skipped.Count, skipped.Why, skipped.First)
	}
}

// showOutcome tells what the rows did, or would do; seen: what was understood of the
// tables was shown before.
func (s *session) showOutcome(out *app.Outcome, did string, seen bool) error {
	for _, note := range out.Notes {
		if note.Hidden {
			note.Text += "; --hidden takes it"
		}
		fmt.Fprintln(s.out, note.Text)
	}
	for _, t := range out.Tables {
		var parts []string
		for _, kind := range slices.Sorted(maps.Keys(t.Added)) {
			parts = append(parts, sootline.KindCount(t.Added[kind], kind))
		}
		if len(parts) == 0 && t.Revived > 0 {
			parts = []string{"nothing new"}
		} else if len(parts) == 0 {
			parts = []string{"nothing"}
		}
		fmt.Fprintf(s.out, "%s: %s %s", tableName(t.Table), did, strings.Join(parts, ", "))
		if t.Same > 0 {
			fmt.Fprintf(s.out, "; %s what the book says already", count(t.Same, "row says", "rows say"))
		}
		if t.Repeated > 0 {
			fmt.Fprintf(s.out, "; %s", count(t.Repeated, "row repeats another", "rows repeat others"))
		}
		fmt.Fprintln(s.out)
		if says := t.Effects(); seen && says != "" {
			fmt.Fprintf(s.out, "  it %s\n", wrap(says, 4))
		}
		if !seen {
			s.showPassedOver(t.Table)
		}
		s.showUnused(t.Table)
		s.showRemarks(t)
		s.showSpellings(t)
		s.showOpen(t.Table)
	}
	for _, table := range out.Open {
		q, _ := table.Blocking()
		fmt.Fprintf(s.out, "%s: left out until this is answered:\n  %s\n", tableName(table), wrap(q.Text, 2))
		if err := s.showChoices(table, q); err != nil {
			return err
		}
		s.showHint(q)
		s.showUnused(table)
	}
	for _, table := range out.Skipped {
		fmt.Fprintf(s.out, "%s: left alone; %s\n", tableName(table), table.KindWhy)
	}
	return nil
}

// showUnused names the columns that hold something of which nothing was taken:
// with --yes nobody has seen that before. Columns beside each other of one
// heading, or none, and one reason are told of at once: a merged range may fill thousands.
func (s *session) showUnused(t *app.IntakeTable) {
	for columns := t.Columns; len(columns) > 0; {
		run := alike(columns)
		c := run[0]
		columns = columns[len(run):]
		switch {
		case c.Field != listing.Unused || c.Filled == 0:
		case len(run) > 1:
			fmt.Fprintf(s.out, "  %d columns%s, %d to %d, were not used; of each: %s\n", len(run), named(c.Heading), c.Index+1, run[len(run)-1].Index+1, wrap(c.Why, 4))
		default:
			fmt.Fprintf(s.out, "  column %q was not used: %s\n", cmp.Or(c.Heading, strconv.Itoa(c.Index+1)), wrap(c.Why, 4))
		}
	}
}

// alike gives the first of the columns, with those that follow it, when none is used,
// and all have its heading and its reason.
func alike(columns []listing.Column) []listing.Column {
	first, n := columns[0], 1
	if first.Field != listing.Unused {
		return columns[:1]
	}
	for n < len(columns) && columns[n].Field == listing.Unused && columns[n].Heading == first.Heading &&
		columns[n].Why == first.Why && (columns[n].Filled > 0) == (first.Filled > 0) {
		n++
	}
	return columns[:n]
}

// named quotes a heading after the word for what it heads; none is nothing.
func named(heading string) string {
	if heading == "" {
		return ""
	}
	return fmt.Sprintf(" %q", heading)
}

// showOpen names the questions that are open about single rows, with an answer
// as a map file has it.
func (s *session) showOpen(t *app.IntakeTable) {
	if len(t.Questions) == 0 {
		return
	}
	fmt.Fprintf(s.out, "  %s open; the rows that hang on it are put aside until it is answered:\n", count(len(t.Questions), "question is", "questions are"))
	for _, q := range t.Questions {
		fmt.Fprintf(s.out, "  - %s\n", wrap(q.Text, 4))
	}
	q := t.Questions[0]
	var answers []string
	for _, choice := range q.Choices {
		answers = append(answers, choice.Value)
	}
	var profile listing.Profile
	if err := profile.Answer(q.ID, answers[0]); err != nil {
		return
	}
	if text, err := json.Marshal(profile); err == nil {
		fmt.Fprintf(s.out, "  Answer on a terminal, or with --map; it may be %s, for example:\n    %s\n", strings.Join(answers, ", "), text)
	}
}

func (s *session) showRemarks(t *app.TableOutcome) {
	for _, remark := range t.Remarks {
		fmt.Fprintf(s.out, "  %s\n", wrap(withRow(remark), 4))
	}
	if more := t.Remarked - len(t.Remarks); more > 0 {
		fmt.Fprintf(s.out, "  and %d more remarks\n", more)
	}
	if t.Left == 0 {
		return
	}
	fmt.Fprintf(s.out, "  %s cannot be used:\n", count(t.Left, "row", "rows"))
	told := 0
	for _, cause := range t.Causes {
		told += cause.All
		alike := ""
		if cause.Varies {
			alike = " (the first; the others are alike)"
		}
		fmt.Fprintf(s.out, "  - %s\n", wrap(rowsOf(cause, t.Table.Table)+": "+cause.Text+alike, 4))
	}
	if more := t.Left - told; more > 0 {
		fmt.Fprintf(s.out, "  - and %d more\n", more)
	}
	s.showHeld(t)
	if t.Doubted > 0 {
		fmt.Fprintf(s.out, "  Values that look too large are taken as they are with: --as-is\n")
	}
	if t.LeftFile != "" {
		fmt.Fprintf(s.out, "  They are in %s; mend them there, then:\n    sootline take %s\n", t.LeftFile, shellWord(t.LeftFile))
	}
}

// rowsOf names the rows of one cause: all of few, the first of many.
func rowsOf(c *app.Cause, t *listing.Table) string {
	const few = 5
	if c.All == 1 && c.Rows[0] == 0 {
		return "the table"
	}
	var places []string
	for _, row := range c.Rows[:min(few, len(c.Rows))] {
		kind, number, _ := strings.Cut(t.Place(row), " ")
		if len(places) > 0 { // rows 2, 3 and 4
			places = append(places, number)
			continue
		}
		if c.All > 1 {
			kind += "s"
		}
		places = append(places, kind+" "+number)
	}
	more := c.All - len(places)
	switch {
	case more > 0:
		return fmt.Sprintf("%s and %d more", strings.Join(places, ", "), more)
	case len(places) == 1:
		return places[0]
	}
	last := len(places) - 1
	return strings.Join(places[:last], ", ") + " and " + places[last]
}

// showHeld says how what is known may be undone, where rows are held for want of that.
func (s *session) showHeld(t *app.TableOutcome) {
	var held []string
	for _, e := range app.Effects() {
		if u := t.Undoes[e]; u != nil && u.Held > 0 {
			held = append(held, string(e))
		}
	}
	if len(held) > 0 {
		fmt.Fprintf(s.out, "  What is known is not undone unasked; to have it so: --allow %s\n", strings.Join(held, ","))
	}
}

func withRow(r app.Remark) string {
	if r.Line == 0 {
		return r.Text
	}
	return fmt.Sprintf("row %d: %s", r.Line, r.Text)
}
