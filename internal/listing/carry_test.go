package listing

import (
	"fmt"
	"strings"
	"testing"
)

// A loop that is said once holds from the row that says it, also where nothing else of that row is taken.
func TestCarriedLoops(t *testing.T) {
	for _, c := range []struct{ name, list, want string }{
		{"a row that nobody filled in", "Loop,Address,Date,Value\n1,001,2025-03-01,20\n,002,2025-03-01,21\n,003,2025-03-01,22\n2,001,2025-03-01,-\n,002,2025-03-01,23\n,003,2025-03-01,24\n", "1/1 1/2 1/3 2/2 2/3"},
		{"a number at which nothing is fitted", "Loop,Address,Type,Location\n1,001,Larchom,Hall\n,002,Larchom,Hall 2\n,003,Larchom,Hall 3\n2,001,SPARE,\n,002,Larchom,Hall 4\n", "1/1 1/2 1/3 2/2"},
		{"a row that is refused", "Loop,Address,Date,Value\n1,001,2025-03-01,20\n,002,2025-03-01,21\n,003,2025-03-01,22\n2,x1,2025-03-01,30\n,002,2025-03-01,23\n", "1/1 1/2 1/3 ! 2/2"},
		{"a page with hidden rows", `<table><tr><th>Loop</th><th>Address</th><th>Date</th><th>Value</th></tr>
<tr><td>1</td><td>001</td><td>2025-03-01</td><td>20</td></tr><tr style="display:none"><td></td><td>002</td><td>2025-03-01</td><td>21</td></tr>
<tr><td></td><td>003</td><td>2025-03-01</td><td>22</td></tr><tr style="display:none"><td>2</td><td>001</td><td>2025-03-01</td><td>22</td></tr>
<tr><td></td><td>002</td><td>2025-03-01</td><td>23</td></tr><tr><td></td><td>003</td><td>2025-03-01</td><td>23</td></tr><tr><td>3</td><td>001</td><td>2025-03-01</td><td>24</td></tr></table>`, "1/1 1/3 ! ! 3/1"},
	} {
		name := "a.csv"
		if strings.HasPrefix(c.list, "<") {
			name = "a.html"
		}
		f, err := Open(name, strings.NewReader(c.list), int64(len(c.list)), Limits{})
		if err != nil {
			t.Fatal(c.name, err)
		}
		table := f.All()[0]
		u, err := Understand(table, Profile{})
		if err != nil {
			t.Fatal(c.name, err)
		}
		var got []string
		for r, bad := range u.Records(table) {
			switch {
			case bad != nil:
				got = append(got, "!")
			case r.Reading != nil:
				got = append(got, fmt.Sprintf("%s/%d", r.Reading.Ref.Loop, r.Reading.Ref.Address))
			case r.Schedule != nil:
				got = append(got, fmt.Sprintf("%s/%d", r.Schedule.Ref.Loop, r.Schedule.Ref.Address))
			}
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%s: %v, expected %s; %v", c.name, got, c.want, u.Questions)
		}
	}
}
