package listing

import (
	"strings"
	"testing"
)

// sixUnits is a register of one loop with six points, whose units have serials.
func sixUnits() *Known {
	known := NewKnown()
	known.AddLoop("1", "1")
	for n, serial := range map[int]string{1: "K10", 2: "K20", 3: "K30", 4: "K40", 5: "K50", 6: "K60"} {
		known.AddPoint(Ref{Panel: "1", Loop: "1", Address: n}, ScheduleRow{Serial: serial})
	}
	return known
}

// TestCountOfRowsSaidTwice: a running number counts rows also where some are said twice.
func TestCountOfRowsSaidTwice(t *testing.T) {
	const text = "No.,Serial,Address found\n1,K10,1\n2,K20,2\n2,K20,2\n3,K30,4\n4,K50,6\n5,K60,9\n"
	f, err := Open("x.csv", strings.NewReader(text), int64(len(text)), Limits{})
	must(t, err)
	u, err := sixUnits().Understand(f.All()[0], Profile{})
	must(t, err)
	if u.Kind != KindNumbers || u.Columns[0].Field != Unused || u.Columns[1].Field != Serial {
		t.Errorf("%s, columns %v", u.Kind, u.Columns)
	}
}

// TestContraryRows: a row that contradicts itself, or may hold half a value, is refused with the reason, whatever
// stands behind it.
func TestContraryRows(t *testing.T) {
	known := sixUnits()
	for _, c := range []struct{ name, text, says string }{
		{"half a value", "loop,address,date,value\n1,1,2025-01-10,24,5\n1,2,2025-01-10,25,3\n1,3,2025-01-10,26,1 dirty\n", "a decimal comma needs quotes"},
		{"serial of another point", "address,serial,date,value\n1,K10,2025-01-10,24\n2,K20,2025-01-10,24\n3,K40,2025-01-10,25\n", "which the register has at number 4"},
	} {
		f, err := Open("x.csv", strings.NewReader(c.text), int64(len(c.text)), Limits{})
		must(t, err)
		u, err := known.Understand(f.All()[0], Profile{})
		must(t, err)
		said, read := "", 0
		for record, fault := range u.Records(f.All()[0]) {
			if fault != nil {
				said = fault.Trouble()
			} else if record.Reading != nil {
				read++
			}
		}
		if !strings.Contains(said, c.says) {
			t.Errorf("%s: %d rows are read, and of the last that is not it says %q", c.name, read, said)
		}
	}
}
