package main

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"sootline/internal/app"
	"sootline/internal/listing"
)

// TestTakeTellsOfRowsPassedOver: whoever says --yes is told of them too.
func TestTakeTellsOfRowsPassedOver(t *testing.T) {
	var out bytes.Buffer
	s := &session{out: &out}
	table := &app.IntakeTable{Table: &listing.Table{}, Understanding: &listing.Understanding{Skipped: []listing.Skipped{{Why: "rows that nobody filled in", Count: 3, First: 4}}}}
	if err := s.showOutcome(&app.Outcome{Tables: []*app.TableOutcome{{Table: table}}}, "added", false); err != nil {
		t.Fatal(err)
	}
	if want := "passed over: 3 x rows that nobody filled in, first in row 4"; !strings.Contains(out.String(), want) {
		t.Errorf("it says %q, want %q", out.String(), want)
	}
}

// TestTakeTellsOfManyColumnsOnce: columns beside each other that one reason leaves out
// are one line with their number, whether they have no heading or the same.
func TestTakeTellsOfManyColumnsOnce(t *testing.T) {
	u := &listing.Understanding{Columns: []listing.Column{{Heading: "point", Field: listing.Point, Filled: 9}, {Index: 1, Heading: "odd", Field: listing.Unused, Why: "nobody knows it", Filled: 1}}}
	for i := 2; i < 3075; i++ {
		u.Columns = append(u.Columns, listing.Column{Index: i, Field: listing.Unused, Why: "it has no heading and begins in row 1", Filled: 9})
	}
	u.Columns = append(u.Columns, listing.Column{Index: 3075, Field: listing.Unused, Why: "it has no heading and begins in row 7", Filled: 1})
	for i := 3076; i < 4000; i++ { // a merged range covers the headings too
		u.Columns = append(u.Columns, listing.Column{Index: i, Heading: "point", Field: listing.Unused, Why: "column 1 gives that already", Filled: 9})
	}
	var out bytes.Buffer
	s := &session{out: &out}
	table := &app.IntakeTable{Table: &listing.Table{}, Understanding: u}
	s.showUnused(table)
	want := fmt.Sprintf("  column %q was not used: nobody knows it\n  3073 columns, 3 to 3075, were not used; of each: it has no heading and begins in row 1\n"+
		"  column %q was not used: it has no heading and begins in row 7\n"+
		"  924 columns %q, 3077 to 4000, were not used; of each: column 1 gives that already\n", "odd", "3076", "point")
	if out.String() != want {
		t.Errorf("it says\n%.400s\nwant\n%s", out.String(), want)
	}
	out.Reset()
	if err := s.showUnderstood(table); err != nil {
		t.Fatal(err)
	}
	if lines := strings.Count(out.String(), "\n"); lines > 10 {
		t.Errorf("what was understood of 4,000 columns takes %d lines", lines)
	}
}
