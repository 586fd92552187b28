package address

import "testing"

// TestStartOf counts who shares a number before the first step: at the unset number, at
// one of several numbers, not across ranges, and not where nobody said.
func TestStartOf(t *testing.T) {
	one := Span{First: 1, Last: 126, Unset: 127}
	two := one
	two.Separate = true
	for name, c := range map[string]struct {
		span  Span
		moves []Move
		want  Start
	}{
		"none":                           {one, []Move{{From: 1, To: 2}, {From: 2, To: 1}}, Start{}},
		"three that nobody set":          {one, []Move{{From: 127, To: 2}, {From: 127, To: 3}, {From: 127, To: 4}, {From: 1, To: 1}}, Start{Sharing: 3}},
		"one within four numbers":        {one, []Move{{From: 10, To: 20, Width: 4}, {From: 13, To: 1}, {From: 14, To: 2}}, Start{Sharing: 2}},
		"nobody said":                    {one, []Move{{To: 2}, {To: 3}, {From: 5, To: 1}}, Start{Unknown: 2}},
		"one number in two ranges":       {two, []Move{{From: 5, To: 1, Range: Sensors}, {From: 5, To: 2, Range: Modules}}, Start{}},
		"the unset number in two ranges": {two, []Move{{From: 127, To: 1, Range: Sensors}, {From: 127, To: 2, Range: Modules}}, Start{Sharing: 2}},
	} {
		if got := StartOf(c.span, c.moves); got != c.want {
			t.Errorf("%s: %+v, want %+v", name, got, c.want)
		}
	}
}
