package listing

import "testing"

// TestNestedJSON: rows in a list within a row are rows with what stands beside the list, and plain members beside the lists of a document
// are said of all of it.
func TestNestedJSON(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"visits in a point", `[{"point": "1.001", "readings": [{"date": "2026-05-13", "value": 25}, {"date": "2026-11-13", "value": 26}]},{"point": "1.002", "readings": [{"date": "2026-05-13", "value": 27}]}]`, "1 2026-05-13 [25]|1 2026-11-13 [26]|2 2026-05-13 [27]"},
		{"devices in a loop", `{"panel": 1, "date": "2026-11-13", "loops": [{"loop": 1, "devices": [{"address": 1, "value": 26}, {"address": 2, "value": 27}]}, {"loop": 2, "devices": [{"address": 1, "value": 28}]}]}`, "1 2026-11-13 [26]|2 2026-11-13 [27]|1 2026-11-13 [28]"},
		{"a day beside the list", `{"site": "Saltern", "datum": "13.11.2026", "werte": [{"melder": "1.001", "wert": 26}, {"melder": "1.002", "wert": 27}]}`, "1 2026-11-13 [26]|2 2026-11-13 [27]"},
		{"two lists in a row", `[{"point": "1.001", "a": [{"date": "2026-05-13"}], "b": [{"value": 26}]}, {"point": "1.002", "date": "2026-05-13", "value": 27}, {"point": "1.003", "date": "2026-05-13", "value": 27}]`, "!|2 2026-05-13 [27]|3 2026-05-13 [27]"},
	} {
		if u, said := saidIn(t, "a.json", c.text, Profile{}); said != c.want || len(u.Questions) > 0 {
			t.Errorf("%s: %s\n%+v\n%s", c.name, said, u.Questions, u.KindWhy)
		}
	}
	u, _ := saidIn(t, "a.json", `{"exported": "2026-11-13", "readings": [{"point": "1.001", "value": 26}]}`, Profile{})
	if q, open := u.Blocking(); !open || q.ID != AskDate || len(q.Choices) != 1 {
		t.Errorf("the day of an export is asked, and offered: %+v", u.Questions)
	}
}
