package demo_test

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"

	"sootline"
	"sootline/internal/demo"
)

func TestSameSeedSameBytes(t *testing.T) {
	once := demo.Make(7, until())
	again := demo.Make(7, until().Add(3*time.Hour).In(time.FixedZone("elsewhere", 3600)))
	if diff := cmp.Diff(once, again); diff != "" {
		t.Errorf("two tellings of one story differ:\n%s", diff)
	}
	for i, f := range demo.Make(8, until()).Files {
		if f.Name != "types.csv" && bytes.Equal(f.Content, once.Files[i].Content) {
			t.Errorf("%s does not depend on the seed", f.Name)
		}
	}
}

// A workbook is a zip with a stamp on every part and two in its properties: a
// clock that crept in would not show in two tellings within the same second.
func TestWorkbooksKnowNoClock(t *testing.T) {
	s := demo.Make(1, until())
	for _, f := range s.Files {
		if filepath.Ext(f.Name) != ".xlsx" {
			continue
		}
		archive, err := zip.NewReader(bytes.NewReader(f.Content), int64(len(f.Content)))
		if err != nil {
			t.Fatal(err)
		}
		for _, part := range archive.File {
			if part.Modified.Year() >= 2000 {
				t.Errorf("%s: %s is stamped %v", f.Name, part.Name, part.Modified)
			}
			if part.Name == "docProps/core.xml" {
				in, err := part.Open()
				if err != nil {
					t.Fatal(err)
				}
				text, err := io.ReadAll(in)
				if err != nil {
					t.Fatal(err)
				}
				if n := strings.Count(string(text), ">2026-11-25T00:00:00Z<"); n != 2 {
					t.Errorf("%s: %d of its 2 stamps are the last day of the story: %s", f.Name, n, text)
				}
			}
		}
	}
}

func TestSize(t *testing.T) {
	s := demo.Make(1, until())
	if len(s.Site.Loops) < 3 {
		t.Errorf("%d loops, want at least 3", len(s.Site.Loops))
	}
	floors, loops := map[string]bool{}, map[string]bool{}
	points := records(t, file(t, s, "schedule.xlsx"))
	for _, point := range points {
		floor, _, _ := strings.Cut(point["location"], ",")
		floors[floor], loops[point["loop"]] = true, true
	}
	if len(points) < 300 || len(floors) != 3 || len(loops) != len(s.Site.Loops) {
		t.Errorf("%d points on %d loops and %d floors, want at least 300 on %d and 3", len(points), len(loops), len(floors), len(s.Site.Loops))
	}
	if n := len(readingsOf(t, s)); n < 4000 || n >= 8000 {
		t.Errorf("%d readings, want 4000 to 8000", n)
	}
}

// Every year has two to four visits of several days, and all its readings are
// in the file that is named by its end.
func TestVisits(t *testing.T) {
	for seed := range uint64(10) {
		s := demo.Make(seed, until())
		for year := 1; year <= demo.Years; year++ {
			from, to := s.From.AddDate(year-1, 0, 0), s.From.AddDate(year, 0, 0)
			name := fmt.Sprintf("readings-%d.csv", to.Year())
			if year == 4 {
				name = fmt.Sprintf("readings-%d.xlsx", to.Year())
			}
			days, weeks := map[time.Time]bool{}, map[int]bool{}
			for _, record := range records(t, file(t, s, name)) {
				day := dayOf(t, record)
				_, week := day.ISOWeek()
				days[day], weeks[week] = true, true
				if day.Before(from) || !day.Before(to) {
					t.Fatalf("seed %d: %s holds a reading of %v", seed, name, day)
				}
			}
			if len(weeks) < 2 || len(weeks) > 4 || len(days) != 4*len(weeks) {
				t.Errorf("seed %d: %s speaks of %d weeks and %d days", seed, name, len(weeks), len(days))
			}
		}
	}
}

func TestNumbersAreOnTheLoop(t *testing.T) {
	s := demo.Make(1, until())
	width := map[string]int{}
	for _, sheet := range records(t, file(t, s, "types.csv")) {
		n, err := strconv.Atoi(sheet["numbers"])
		if err != nil {
			t.Fatal(err)
		}
		width[sheet["name"]] = n
	}
	used := map[string]int{}
	for _, point := range records(t, file(t, s, "schedule.xlsx")) {
		ref, err := sootline.ParseRef(pointOf(t, point))
		if err != nil {
			t.Fatal(err)
		}
		for range width[point["type"]] {
			used[ref.String()]++
			if ref.Number < s.Site.Loops[0].First || (ref.Number > s.Site.Loops[0].Last && ref.Number != s.Site.Loops[0].Unset) {
				t.Errorf("%s is off its loop", ref)
			}
			ref.Number++
		}
	}
	twin := s.Of(demo.DuplicateNumber)[0].Points[0]
	for point, n := range used {
		if (n > 1) != (point == twin) {
			t.Errorf("%s is used %d times; the number used twice is %s", point, n, twin)
		}
	}
}

// Cells hold what prints, and nothing that a spreadsheet would take for a
// formula.
func TestCellsArePlain(t *testing.T) {
	for _, f := range demo.Make(3, until()).Files {
		for _, row := range cells(t, f) {
			for _, cell := range row {
				if !utf8.ValidString(cell) || strings.ContainsFunc(cell, func(r rune) bool { return !unicode.IsPrint(r) }) ||
					strings.ContainsAny(cell[:min(1, len(cell))], "=+-@") {
					t.Errorf("%s: cell %q", f.Name, cell)
				}
			}
		}
	}
}

func BenchmarkMake(b *testing.B) {
	for b.Loop() {
		demo.Make(1, until())
	}
}
