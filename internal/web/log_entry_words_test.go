package web

import (
	"testing"

	"sootline"
)

// TestEntryInWords tells all that entries say without the signs in which the log writes it.
func TestEntryInWords(t *testing.T) {
	for _, c := range []struct {
		body sootline.Body
		want []labelled
	}{
		{sootline.Read{Samples: []float64{30, 31.5}}, []labelled{{"", "30, 31.5"}}},
		{sootline.Taken{Name: "2026-01-20-1", Files: []sootline.TakenFile{{Name: "a.csv", SHA256: "ab", Bytes: 3}, {Name: "b.csv"}}, Added: map[sootline.Kind]int{"read": 4}, First: 1, Last: 4}, []labelled{
			{"", "2026-01-20-1"}, {"", "name a.csv, sha256 ab, bytes 3; name b.csv, sha256 , bytes 0"}, {"", "read 4"}, {"", "1"}, {"", "4"},
		}},
	} {
		said, err := saidInFull(c.body)
		if err != nil || len(said) != len(c.want) {
			t.Fatalf("%v %v", said, err)
		}
		labels := map[string]bool{}
		for _, field := range sootline.FieldsOf(c.body.Kind()) {
			labels[field.Label] = true
		}
		for i, line := range said {
			if line.Text != c.want[i].Text || !labels[line.Label] {
				t.Errorf("%s: %q, want %q", line.Label, line.Text, c.want[i].Text)
			}
		}
	}
}
