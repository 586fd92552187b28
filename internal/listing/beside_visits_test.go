package listing

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// readingsOf gives what all tables of a text are read as, in words: a question or a refusal as such.
func readingsOf(t testing.TB, name, text string, p Profile) []string {
	t.Helper()
	f, err := Open(name, strings.NewReader(text), int64(len(text)), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, table := range f.Tables() {
		parts, err := (*Known)(nil).Parts(table, p)
		if err != nil {
			t.Fatal(err)
		}
		for _, part := range parts {
			out = append(out, readingsOfPart(part)...)
		}
	}
	slices.Sort(out)
	return out
}

func readingsOfPart(part Part) []string {
	if q, open := part.Blocking(); open {
		return []string{"asked " + q.ID}
	}
	if part.Kind == KindUnknown {
		return []string{"nothing"}
	}
	var out []string
	for r, bad := range part.Records(part.Table) {
		switch {
		case bad != nil:
			out = append(out, "refused "+bad.Found)
		case r.Reading != nil:
			s := r.Reading
			out = append(out, strings.TrimSpace(fmt.Sprintf("%s.%d %s %v %s", s.Ref.Loop, s.Ref.Address, s.When.text(), s.Samples, strings.TrimSpace(string(s.Apart)+" "+s.Remark))))
		default:
			out = append(out, string(part.Kind))
		}
	}
	return out
}

// Tables side by side with the days of visits over their columns, and visits that have columns of their own, are each
// read for themselves.
func TestVisitsSideBySide(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		want []string
	}{
		"loops beside each other": {
			"Loop 1,,,Loop 2,,\nAddr,13.05.2026,13.11.2026,Addr,13.05.2026,13.11.2026\n1,26,25,1,27,24\n2,27,26,2,28,29\n",
			[]string{
				"1.1 2026-05-13 [26]", "1.1 2026-11-13 [25]", "1.2 2026-05-13 [27]", "1.2 2026-11-13 [26]",
				"2.1 2026-05-13 [27]", "2.1 2026-11-13 [24]", "2.2 2026-05-13 [28]", "2.2 2026-11-13 [29]",
			},
		},
		"quarters": {
			"Schleife,Adresse,Q1 2026,Q2 2026,Schleife,Adresse,Q1 2026,Q2 2026\n1,1,26,25,2,1,27,24\n",
			[]string{"1.1 2026-02-15 [26] read within Q1 2026", "1.1 2026-05-16 [25] read within Q2 2026", "2.1 2026-02-15 [27] read within Q1 2026", "2.1 2026-05-16 [24] read within Q2 2026"},
		},
		"other visits on the right": {
			"Repère,13.05.2026,13.11.2026,Repère,13.05.2026\n1.1,26,27,1.3,28\n1.2,27,27,1.4,29\n",
			[]string{"1.1 2026-05-13 [26]", "1.1 2026-11-13 [27]", "1.2 2026-05-13 [27]", "1.2 2026-11-13 [27]", "1.3 2026-05-13 [28]", "1.4 2026-05-13 [29]"},
		},
		"pairs": {
			"point,date,value,date,value\n1.1,2026-05-13,26,2026-11-13,27\n1.2,2026-05-13,27,,\n1.3,,,2026-11-14,21\n",
			[]string{"1.1 2026-05-13 [26]", "1.1 2026-11-13 [27]", "1.2 2026-05-13 [27]", "1.3 2026-11-14 [21]"},
		},
		"numbered pairs": {
			"Punkt;Datum 1;Wert 1;Datum 2;Wert 2\n1.1;13.05.2026;26;13.11.2026;27\n1.2;13.05.2026;27;13.11.2026;28\n",
			[]string{"1.1 2026-05-13 [26]", "1.1 2026-11-13 [27]", "1.2 2026-05-13 [27]", "1.2 2026-11-13 [28]"},
		},
		"pairs with a column each for who read": {
			"punto,fecha,valor,técnico,fecha,valor,técnico\n1.1,2026-05-13,26,A,2026-11-13,27,B\n1.2,2026-05-13,27,A,2026-11-13,28,B\n",
			[]string{"1.1 2026-05-13 [26]", "1.1 2026-11-13 [27]", "1.2 2026-05-13 [27]", "1.2 2026-11-13 [28]"},
		},
		"a day above both": {
			"Date,13.11.2026,,,\nAddr,Value,,Addr,Value\n1,26,,3,28\n2,27,,4,29\n",
			[]string{".1 2026-11-13 [26]", ".2 2026-11-13 [27]", ".3 2026-11-13 [28]", ".4 2026-11-13 [29]"},
		},
		"a second column of days that goes with nothing": {"point,date,value,remark,date\n1.1,2026-05-13,26,a,2026-11-13\n1.2,2026-05-13,27,b,2026-11-13\n", []string{"asked date"}},
		"a second column of points":                      {"point,date,value,remark,point\n1.1,2026-05-13,26,a,1.3\n1.2,2026-05-13,27,b,1.4\n", []string{"asked point"}},
		"the same day again":                             {"point,date,value,date\n1.1,2026-05-13,26,2026-05-13\n1.2,2026-05-13,27,2026-05-13\n", []string{"1.1 2026-05-13 [26]", "1.2 2026-05-13 [27]"}},
	} {
		if got := readingsOf(t, "x.csv", c.text, Profile{}); !slices.Equal(got, c.want) {
			t.Errorf("%s:\n got %q\nwant %q", name, got, c.want)
		}
	}
}
