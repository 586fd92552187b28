package listing

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// TestLeftMended takes a list with bad rows, mends its left file, takes that, and ends with every row.
func TestLeftMended(t *testing.T) {
	const list = "Titel;;;\nPunkt;Datum;Wert;Bemerkung\n1/1;13.02.2025;23,5;=gut\n1/2;14.02.2025;;\"zwei\nZeilen; \"\"so\"\"\"\n1/3;15.02.2025;x;-3\n"
	table := openBytes(t, "a.csv", []byte(list)).Tables()[0]
	u, err := Understand(table, Profile{})
	must(t, err)
	var b bytes.Buffer
	l, err := NewLeft(&b, u)
	must(t, err)
	for rec, bad := range u.Records(table) {
		if bad != nil {
			must(t, l.Add(rec.Cells, bad.Trouble()))
		}
	}
	must(t, l.Close())
	want := "\ufeffPunkt,Datum,Wert,Bemerkung,trouble\n" +
		"1/2,14.02.2025,,\"zwei\nZeilen; \"\"so\"\"\",\"expected a value, found no value\"\n" +
		"1/3,15.02.2025,x,-3,\"expected a number, found \"\"x\"\"\"\n"
	if diff := cmp.Diff(want, b.String()); diff != "" {
		t.Fatal(diff)
	}
	mended := strings.Replace(strings.Replace(b.String(), "2025,,", `2025,"22,5",`, 1), ",x,", ",24,", 1)
	got := accountOf(t, openBytes(t, "a.left.csv", []byte(mended)).Tables()[0], u.Profile())
	wantRows := []string{".1.2 2025-02-14 [22.5] remark=\"zwei\\nZeilen; \\\"so\\\"\"", ".1.3 2025-02-15 [24] remark=\"-3\""}
	if diff := cmp.Diff(wantRows, got.Records); diff != "" || len(got.Troubles) > 0 {
		t.Error(diff, got.Troubles)
	}
}

// TestGuard: what a spreadsheet would run is guarded, plain numbers are not, and all come back.
func TestGuard(t *testing.T) {
	for cell, want := range map[string]string{
		"=1+1": "'=1+1", "+A1": "'+A1", "@x": "'@x", "-3": "-3", "-2,5": "-2,5", "+7": "+7", "-": "'-", "-1+2": "'-1+2",
		"'=x": "''=x", "'plain": "'plain", "\tx": "'\tx", "": "", "a=b": "a=b", "'-3": "''-3",
	} {
		if got := guard(cell); got != want || unguard(got) != cell {
			t.Errorf("guard(%q) = %q, back to %q", cell, got, unguard(got))
		}
	}
}

// throughLeft writes one row into a left file and reads it back, without its trouble.
func throughLeft(cells []string) ([]string, error) {
	u := &Understanding{HeaderLine: 1}
	for i := range cells {
		u.Columns = append(u.Columns, Column{Index: i, Field: Unused, Heading: "h" + columnKey(i)})
	}
	var b bytes.Buffer
	l, err := NewLeft(&b, u)
	if err != nil {
		return nil, err
	}
	err = errors.Join(l.Add(cells, "expected x, found y"), l.Close())
	f, openErr := Open("x.left.csv", bytes.NewReader(b.Bytes()), int64(b.Len()), Limits{})
	if err = errors.Join(err, openErr); err != nil {
		return nil, err
	}
	var last []string
	rows := 0
	for row, err := range f.Tables()[0].Rows() {
		if err != nil {
			return nil, err
		}
		last = slices.Clone(row.Cells)
		rows++
	}
	if n := len(last) - 1; rows == 2 && n == len(cells) && last[n] == "expected x, found y" {
		return last[:n], nil
	}
	return nil, fmt.Errorf("%d rows, the last one %q, from %q", rows, last, b.String())
}

func TestLeftRoundTrip(t *testing.T) {
	cell := rapid.OneOf(rapid.StringMatching(`[a-z=+@'"\-\t\r\n,; 0-9]{0,9}`), rapid.String())
	rapid.Check(t, func(t *rapid.T) {
		cells := rapid.SliceOfN(cell, 1, 6).Draw(t, "cells")
		for i := range cells {
			cells[i] = cleanText([]byte(cells[i]))
		}
		if got, err := throughLeft(cells); err != nil || !slices.Equal(got, cells) {
			t.Fatalf("%q came back as %q: %v", cells, got, err)
		}
	})
}
