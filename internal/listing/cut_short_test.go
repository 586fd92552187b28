package listing

import (
	"strings"
	"testing"
)

// TestCutShort: what is cut, or followed by more, is read whole or refused; nothing of it is lost in silence.
func TestCutShort(t *testing.T) {
	row := func(n string) string { return `{"point":"1.00` + n + `","date":"2025-09-16","value":31}` }
	named := func(rows string) string { return `{"readings":[` + rows + `]}` }
	for _, c := range []struct{ name, text, want string }{
		{"a.json", "[" + row("1") + "," + row("2") + "]", "1 [31] 2 [31]"},
		{"a.json", "[" + row("1") + "]\n[" + row("2") + "," + row("3") + "]", "1 [31] 2 [31] 3 [31]"},
		{"a.json", named(row("1")) + named(row("2")), "1 [31] 2 [31]"},
		{"a.json", "[" + row("1") + "," + row("2"), "refused"},
		{"a.json", "[" + row("1") + `,{"point":"1.0`, "refused"},
		{"a.json", "[" + row("1") + "] end of list", "refused"},
		{"a.json", "[" + row("1") + "]\n" + row("2"), "refused"},
		{"a.json", named(row("1")) + " end of list", "refused"},
		{"a.json", named(row("1")) + "]", "refused"},
		{"a.html", "<table><tr><th>Point<th>Date<th>Value<tr><td>1.001<td>2025-09-16<td>31<tr><td>1.002<td>2025-09-16<td>29</table>", "1 [31] 2 [29]"},
		{"a.html", "<table><tr><th>Point<th>Date<th>Value<tr><td>1.001<td>2025-09-16<td>31<tr><td>1.002<td>2025-09-16<td>2", "1 [31] !"},
		{"a.html", "<table><tr><th>Point<th>Date<th>Value<tr><td>1.001<td>2025-09-16<td>31<tr><td>1.002<td>2025-09-16<td>", "1 [31] !"},
		{"a.html", "<table><tr><th>Point<th>Date<th>Value<tr><td>1.001<td>2025-09-16<td>31</tr>", "1 [31] !"},
	} {
		f, err := Open(c.name, strings.NewReader(c.text), int64(len(c.text)), Limits{})
		if err != nil || len(f.All()) != 1 {
			if c.want != "refused" {
				t.Errorf("%s: %v", c.text, err)
			}
			continue
		}
		if _, readings := understood(t, c.name, c.text, Profile{}); strings.Join(readings, " ") != c.want {
			t.Errorf("%s: %v", c.text, readings)
		}
	}
}

// TestFieldsOfForms: what a page shows in the fields of a form is in its cells.
func TestFieldsOfForms(t *testing.T) {
	for _, cell := range []string{
		`<input value="31">`, `<input type=number value=31 name=v>`, `<input type=hidden value=7><input value=31>`, `<textarea>31</textarea>`,
		`<select><option>29<option selected>31<option>33</select>`, `<select><option>31</option><option>29</option></select>`, `<input type=submit value=ok>31`,
	} {
		text := "<table><tr><th>Point<th>Date<th>Value<tr><td>1.001<td>2025-09-16<td>" + cell + "<tr><td>1.002<td>2025-09-16<td>29</table>"
		if _, readings := understood(t, "a.html", text, Profile{}); strings.Join(readings, " ") != "1 [31] 2 [29]" {
			t.Errorf("%s: %v", cell, readings)
		}
	}
	text := "<table><tr><th>Point<th>Date<th>Cleaned<th>Replaced<tr><td>1.001<td>2025-09-16<td><input type=checkbox checked><td><input type=checkbox><tr><td>1.002<td>2025-09-16<td><td><input type=checkbox checked></table>"
	f, err := Open("a.html", strings.NewReader(text), int64(len(text)), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	u, err := Understand(f.All()[0], Profile{})
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for r, bad := range u.Records(f.All()[0]) {
		if bad != nil {
			t.Fatal(bad)
		}
		all = append(all, string(r.Event.What))
	}
	if strings.Join(all, " ") != "cleaned replaced" {
		t.Errorf("ticks: %v", all)
	}
}

// TestUnitOfANestedValue: an object in the place of a value is read by its parts, and a key that is no value is named.
func TestUnitOfANestedValue(t *testing.T) {
	_, readings := understood(t, "a.json", `[{"point":"1.001","date":"2025-09-16","value":{"unit":"V","value":2.9}},{"point":"1.002","date":"2025-09-16","value":{"unit":"V","value":2.7}}]`, Profile{})
	if strings.Join(readings, " ") != "1 [2.9] 2 [2.7]" {
		t.Errorf("%v", readings)
	}
	u, _ := understood(t, "a.json", `[{"point":"1.001","date":"2025-09-16","value":{"unit":"V","raw":2.9}},{"point":"1.002","date":"2025-09-16","value":{"unit":"V","raw":2.7}}]`, Profile{})
	for _, c := range u.Columns {
		if c.Heading == "value.unit" && c.Field != Unit {
			t.Errorf("value.unit is %s", c.Field)
		}
	}
}
