package listing

import (
	"strings"
	"testing"
)

// typesOf gives the types that a schedule says, "-" for a number at which nothing is fitted and "!" for a refused row.
func typesOf(t *testing.T, text string) string {
	t.Helper()
	f, err := Open("a.csv", strings.NewReader(text), int64(len(text)), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	site := NewKnown()
	for n := 1; n <= 4; n++ {
		site.AddPoint(Ref{Panel: "1", Loop: "1", Address: n}, ScheduleRow{Type: "Juniper O"})
	}
	u, err := site.Understand(f.All()[0], Profile{})
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for r, bad := range u.Records(f.All()[0]) {
		switch {
		case bad != nil:
			out = append(out, "!")
		case r.Schedule == nil:
			t.Fatalf("%q is taken for %s", text, u.Kind)
		case r.Schedule.Vacant != "":
			out = append(out, "-")
		default:
			out = append(out, r.Schedule.Type+"@"+r.Schedule.Location)
		}
	}
	return strings.Join(out, " ")
}

// TestDittoMarks: a mark for the cell above is filled from it, and refused where nothing can be seen there; what points
// elsewhere is refused.
func TestDittoMarks(t *testing.T) {
	head := "Loop;Address;Type;Location\n"
	for _, mark := range []string{"dito", "Ditto", `""""`, "〃", "idem", "do.", "dto.", "as above", "wie oben", "come sopra", "comme ci-dessus", "como arriba", "als boven"} {
		if got := typesOf(t, head+"1;1;Juniper O;Hall\n1;2;"+mark+";Ramp\n1;3;"+mark+";"+mark+"\n"); got != "Juniper O@Hall Juniper O@Ramp Juniper O@Ramp" {
			t.Errorf("%s: %s", mark, got)
		}
		if got := typesOf(t, head+"1;1;"+mark+";Hall\n1;2;Juniper O;Ramp\n"); got != "! Juniper O@Ramp" {
			t.Errorf("%s with nothing above: %s", mark, got)
		}
	}
	for _, words := range []string{"see above", "siehe oben", "voir ci-dessus", "ver arriba", "vedi sopra", "zie boven", "see remark"} {
		if got := typesOf(t, head+"1;1;Juniper O;Hall\n1;2;"+words+";Ramp\n1;3;dito;Dock\n1;4;Juniper O;Store\n"); got != "Juniper O@Hall ! ! Juniper O@Store" {
			t.Errorf("%s: %s", words, got)
		}
	}
	if got := typesOf(t, head+"1;1;Juniper O;Hall\nLoop 1, floor 2\n1;2;dito;Ramp\n"); got != "Juniper O@Hall !" {
		t.Errorf("below a title: %s", got)
	}
}

// TestWordsForNothingFitted: they name no type.
func TestWordsForNothingFitted(t *testing.T) {
	for _, word := range []string{"unbenutzt", "N/F", "Reserviert", "unbesetzt", "not assigned", "nicht bestückt", "non attribué", "no utilizado", "non utilizzato", "niet in gebruik", "gereserveerd"} {
		if got := typesOf(t, "Loop;Address;Type;Location\n1;1;Juniper O;Hall\n1;2;"+word+";Ramp\n"); got != "Juniper O@Hall -" {
			t.Errorf("%s: %s", word, got)
		}
	}
}
