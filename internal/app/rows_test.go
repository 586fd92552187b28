package app

import (
	"context"
	"errors"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sootline"
)

// A preview tells of every row what it would become, in the order of the list,
// and stops when it is told to.
func TestRowsOfPreview(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	folder := files(t, map[string]string{
		"types.csv":    "name,kind,low,high\nLarch,optical smoke,20,40\n",
		"schedule.csv": "loop,address,type\n1,1,Larch\n1,2,Larch\n",
		"reads.csv":    "point,date,value\n1.001,2025-03-15,31\n1.001,2025-03-15,31\n1.099,2025-03-15,31\n1.002,2025-03-15,dusty\n",
	})
	ctx := context.Background()
	take(t, a, site, filepath.Join(folder, "types.csv"))
	rows := func(paths ...string) (lines []int, became []Becomes) {
		in, err := a.Look(context.Background(), site, paths, nil)
		if err != nil {
			t.Fatal(err)
		}
		defer in.Close() //nolint:errcheck // only read
		_, err = a.Preview(ctx, site, in, TakeOptions{Row: func(row RowOutcome) error {
			if (row.Becomes == RowLeft) != (row.Why != "") {
				t.Errorf("row %d is %s because %q", row.Line, row.Becomes, row.Why)
			}
			lines, became = append(lines, row.Line), append(became, row.Becomes)
			return nil
		}})
		if err != nil {
			t.Fatal(err)
		}
		return lines, became
	}
	lines, became := rows(filepath.Join(folder, "types.csv"), filepath.Join(folder, "schedule.csv"), filepath.Join(folder, "reads.csv"))
	if diff := cmp.Diff([]int{2, 2, 3, 2, 3, 4, 5}, lines); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]Becomes{RowOfSheet, RowAdded, RowAdded, RowAdded, RowRepeated, RowLeft, RowLeft}, became); diff != "" {
		t.Error(diff)
	}
	take(t, a, site, filepath.Join(folder, "schedule.csv"))
	if _, became := rows(filepath.Join(folder, "schedule.csv")); !cmp.Equal(became, []Becomes{RowSame, RowSame}) {
		t.Errorf("taken already, the rows are %v", became)
	}
	in, err := a.Look(context.Background(), site, []string{filepath.Join(folder, "reads.csv")}, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close() //nolint:errcheck // only read
	stop := errors.New("stop")
	if _, err := a.Preview(ctx, site, in, TakeOptions{Row: func(RowOutcome) error { return stop }}); !errors.Is(err, stop) {
		t.Errorf("a preview told to stop gives %v", err)
	}
}

// A form that is handed in twice writes once, and not at all what is impossible.
func TestFormOnce(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	ctx := context.Background()
	entries := func() int {
		all, err := a.Book.Entries(ctx, site)
		if err != nil {
			t.Fatal(err)
		}
		return len(all)
	}
	before := entries()
	form := *a
	form.Form = sootline.NewID(today, a.Random())
	sheet := sootline.TypeSheet{Name: "Larch", Kind: sootline.Smoke, Unit: "%/m"}
	for range 2 {
		if err := form.SetSheet(ctx, site, sheet); err != nil {
			t.Fatal(err)
		}
	}
	if got := entries() - before; got != 1 {
		t.Errorf("%d entries, want 1", got)
	}
	if known, err := form.Noted(ctx, site); err != nil || !known {
		t.Errorf("the form is noted: %v, %v", known, err)
	}
	if err := form.SetArea(ctx, site, sootline.AreaFacts{Area: "Hall"}); sootline.ErrorCode(err) != sootline.Conflict {
		t.Errorf("the same form that says something else gives %v", err)
	}
	if err := a.SetSheet(ctx, site, sheet); err != nil || entries()-before != 1 {
		t.Errorf("a sheet that says nothing new adds something, or %v", err)
	}
	if err := a.SetLoop(ctx, site, sootline.LoopFacts{Panel: "1", Loop: "1", First: 9, Last: 3}); sootline.ErrorCode(err) != sootline.Invalid {
		t.Errorf("a span that is none gives %v", err)
	}
}
