package listing

import (
	"strings"
	"testing"
)

// TestSquashedRows: a row whose text all lies in one cell is put aside with the reason, whichever
// column that is; only a row with a reference and nothing else is one that nobody filled in.
func TestSquashedRows(t *testing.T) {
	const events, readings = "point,date,event,result\n1.001,2025-10-02,tested,ok\n", "point,date,value\n1.001,2025-10-02,25\n"
	for name, c := range map[string]struct {
		list, row string
		left      bool
	}{
		"semicolons":            {events, "1.002;2025-10-02;tested;FAILED,,,", true},
		"spaces":                {events, "1.003 tested FAILED,,,", true},
		"words first":           {events, "Loop 1 address 2;2025-10-02;tested;FAILED,,,", true},
		"outcome first":         {events, "FAILED 1.002 tested,,,", true},
		"tested first":          {events, "tested\t1.002\tFAILED,,,", true},
		"in the date":           {events, ",1.002;2025-10-02;tested;FAILED,,", true},
		"in the event":          {events, ",,1.002;2025-10-02;tested;FAILED,", true},
		"in the result":         {events, ",,,1.002;2025-10-02;tested;FAILED", true},
		"beyond the headings":   {events, ",,,,1.002;2025-10-02;tested;FAILED", true},
		"beside a reference":    {events, "1.002,,,,FAILED", true},
		"readings":              {readings, "1.002;2025-09-04;99,,", true},
		"readings, no day":      {readings, "1.002;99,,", true},
		"readings in the date":  {readings, ",1.002;2025-09-04;99,", true},
		"readings in the value": {readings, ",,1.002;2025-09-04;99", true},
		"readings in words":     {readings, "Loop 1 address 2;2025-09-04;99,,", true},

		"not filled in":          {events, "1.002,,,", false},
		"a day and no more":      {events, "1.002,2025-10-02,,", false},
		"readings not filled in": {readings, "Loop 1 address 2,,", false},
		"a title":                {events, "Floor 2,,,", false},
		"a footer":               {events, "Printed by the caretaker,,,", false},
	} {
		t.Run(name, func(t *testing.T) {
			table := openBytes(t, "a.csv", []byte(c.list+c.row+"\n")).Tables()[0]
			u, err := Understand(table, Profile{})
			must(t, err)
			taken, left := 0, []string{}
			for _, bad := range u.Records(table) {
				if bad != nil {
					left = append(left, bad.Trouble())
				} else {
					taken++
				}
			}
			if taken != 1 || c.left != (len(left) == 1) || c.left == (len(u.Skipped) > 0) {
				t.Errorf("%q: %d taken, left %s, passed over %v", c.row, taken, strings.Join(left, "; "), u.Skipped)
			}
		})
	}
}
