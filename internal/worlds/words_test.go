package worlds

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// table reads a CSV file and checks its head.
func table(t *testing.T, file string, head ...string) [][]string {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = f.Close() }()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	if len(rows) == 0 || !slices.Equal(rows[0], head) {
		t.Fatalf("%s: its head is not %v", file, head)
	}
	return rows[1:]
}

// TestFailureWords: the table is large enough, in six languages, and never says two things of one cell.
func TestFailureWords(t *testing.T) {
	rows := table(t, "testdata/failure_words.csv", "language", "heading", "cell", "expected")
	if len(rows) < 400 {
		t.Errorf("%d rows, at least 400 are wanted", len(rows))
	}
	answers := []string{"failed", "passed", "not a test", "fault", "ask"}
	count, said := map[string]int{}, map[string]string{}
	for _, r := range rows {
		count[r[0]]++
		if !slices.Contains(answers, r[3]) {
			t.Errorf("%v: %q is no answer", r, r[3])
		}
		at := strings.Join(r[:3], "|")
		if was, ok := said[at]; ok {
			t.Errorf("%s: %s and %s", at, was, r[3])
		}
		said[at] = r[3]
	}
	for _, l := range []string{"en", "de", "fr", "es", "it", "nl"} {
		if count[l] < 60 {
			t.Errorf("%s has %d rows only", l, count[l])
		}
	}
}

// TestFailureListings: every listing has its truth, and every truth its listing.
func TestFailureListings(t *testing.T) {
	truths, err := filepath.Glob("testdata/failure_listings/*.truth.csv")
	if err != nil || len(truths) < 10 {
		t.Fatalf("%d listings, %v", len(truths), err)
	}
	for _, file := range truths {
		base := strings.TrimSuffix(file, ".truth.csv")
		with, err := filepath.Glob(base + ".[ct][sx][vt]")
		if err != nil || len(with) != 1 {
			t.Errorf("%s: its listing is %v", file, with)
		}
		seen := map[string]bool{}
		for _, r := range table(t, file, "point", "day", "truth") {
			if !slices.Contains([]string{"passed", "failed", "fault", "ask", "none"}, r[2]) || seen[r[0]+r[1]] {
				t.Errorf("%s: %v", file, r)
			}
			seen[r[0]+r[1]] = true
		}
	}
}
