package papers

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// letter is a report that a person could write of a story: page one, and the rest.
func letter(s *Story) (one, rest []string) {
	if s.Opened.IsZero() {
		return []string{"No visit is written down."}, nil
	}
	one = []string{
		fmt.Sprintf("%s was here on %s, %s to %s.", s.Person, forms(s.Opened)[0], s.Opened.Format("15:04"), s.Closed.Format("15:04")),
		fmt.Sprintf("Next visit by %s.", forms(s.Opened.AddDate(0, 6, 0))[0]), "Signature ______",
	}
	if s.Normal() {
		one = append(one, "Nothing is out of use; left in normal operation.")
	} else {
		one = append(one, "Still out of use: smoke doors. Not left in normal operation.")
	}
	for _, d := range s.Defects {
		p := s.Points[d.Point]
		line := fmt.Sprintf("%s, %s: %s.", p.Ref(), p.Area, d.Says)
		switch {
		case d.State == "closed":
			line += " It was mended at the visit and passed its test."
		default:
			line += fmt.Sprintf(" It needs: %s, by %s; %s.", d.Needs, forms(d.By)[1], d.Agreed)
		}
		if d.Grade == "critical" {
			line = "Critical: " + line
		}
		one = append(one, line)
	}
	switch {
	case s.Shape == Nothing:
		one = append(one, "Nothing was done: no point was tested, and nothing must be done.")
	case len(s.Defects) == 0:
		one = append(one, "No defects. Nothing must be done. Every point was tested.")
	default:
		one = append(one, fmt.Sprintf("%d values lie outside their bands.", len(s.Outside)), fmt.Sprintf("%d points could not be reached: Archive, %s.", len(s.Unreached), s.Why))
	}
	return one, annex(s)
}

func annex(s *Story) []string {
	rest := []string{"The responsible person knows and agrees, the monitoring centre is told, outputs are inhibited."}
	for _, what := range s.Disabled {
		line := "Disabled: " + what
		if slices.Contains(s.Restored, what) {
			line += ", back in use"
		}
		rest = append(rest, line)
	}
	for _, what := range s.Remarks {
		rest = append(rest, "Remark: "+what)
	}
	for _, v := range s.Outside {
		rest = append(rest, fmt.Sprintf("%s   read %d", s.Points[v.Point].Ref(), v.Says))
	}
	for _, d := range s.Defects {
		if d.Photo {
			rest = append(rest, d.Says+"   Photo 1")
		}
	}
	for _, i := range s.Tested {
		rest = append(rest, fmt.Sprintf("%s   tested   passed", s.Points[i].Ref()))
	}
	for _, i := range s.Unreached {
		rest = append(rest, fmt.Sprintf("%s   not reached", s.Points[i].Ref()))
	}
	if s.Alarm != nil {
		rest = append(rest, fmt.Sprintf("%s unwanted alarm: %s", forms(s.Alarm.At)[0], s.Alarm.Cause))
	}
	return append(rest, "BS 5839-1:2025 section 6, read")
}

func pagesOf(one, rest []string) []Page {
	return texts(strings.Join(one, "\n"), strings.Join(rest, "\n"))
}

// texts gives pages that read the same either way.
func texts(pages ...string) []Page {
	var all []Page
	for _, p := range pages {
		all = append(all, Page{p, p})
	}
	return all
}

// A letter that says all has nothing wrong; without any one of the lines of page one it has, in each shape.
func TestJudgeMissesWhatIsTakenOut(t *testing.T) {
	for _, shape := range Shapes() {
		for seed := range uint64(6) {
			s := Draw(shape, seed)
			one, rest := letter(s)
			if missed := s.Judge(pagesOf(one, rest)); len(missed) > 0 {
				t.Errorf("%s %d: a sound letter: %v", shape, seed, missed)
			}
			for i := range one {
				if missed := s.Judge(pagesOf(slices.Delete(slices.Clone(one), i, i+1), rest)); len(missed) == 0 {
					t.Errorf("%s %d: nobody misses %q", shape, seed, one[i])
				}
			}
			for i := range rest {
				needed := strings.Contains(rest[i], "reached") || strings.Contains(rest[i], "   read") || strings.Contains(rest[i], "isabled") || strings.Contains(rest[i], "unwanted") || strings.HasPrefix(rest[i], "Remark: the") || strings.Contains(rest[i], "Photo") || i == 0
				if missed := s.Judge(pagesOf(one, slices.Delete(slices.Clone(rest), i, i+1))); needed != (len(missed) > 0) {
					t.Errorf("%s %d: without %q: %v", shape, seed, rest[i], missed)
				}
			}
			if len(rest) > 0 {
				if missed := s.Judge(texts("Contents", strings.Join(append(one, rest...), "\n"))); len(missed) < 5 {
					t.Errorf("%s %d: page one is empty, and only %v", shape, seed, missed)
				}
			}
		}
	}
}

// What was not shown is found wherever it is said.
func TestJudgeFindsWhatWasNotShown(t *testing.T) {
	s := Draw(Full, 1)
	one, rest := letter(s)
	locked := s.Points[s.Unreached[0]].Ref()
	for _, lie := range []string{
		locked + "   Archive   passed", "All points were tested.", "Every device passed.", "The system complies with BS 5839-1.",
		"Tested as clause 45.4 asks.", "The site is left in normal operation.", "Nothing was found.",
	} {
		missed := s.Judge(pagesOf(append(slices.Clone(one), lie), rest))
		if len(missed) != 1 || missed[0].Kind != NotShown {
			t.Errorf("%q: %v", lie, missed)
		}
	}
	for _, sound := range []string{
		locked + "   passed on " + forms(s.Before)[0], "Not all points were tested.", "This does not say that the system complies with a code.",
		"clause 45.4, restated", "Left in normal operation, yes or no", "No defects are open by the log book.", "It is not known whether all were tested: nobody reached them.",
	} {
		if missed := s.Judge(pagesOf(append(slices.Clone(one), sound), rest)); len(missed) > 0 {
			t.Errorf("%q: %v", sound, missed)
		}
	}
	for _, c := range []struct{ from, to string }{
		{"by " + forms(s.Defects[1].By)[1], "soon"},
		{"smoke doors.", "no part."},
		{"5 values", "6 values"},
		{"12 points", "11 points"},
		{"Next visit by " + forms(s.Opened.AddDate(0, 6, 0))[0], "Next visit by " + forms(s.Opened.AddDate(0, 8, 0))[0]},
		{"12 points could", "Tested in twelve months: 57. Points could"},
		{"5 values lie", "5 months later values lie"},
		{s.Closed.Format("15:04"), "evening"},
		{"Critical: ", ""},
		{"mended at the visit and passed its test", "seen"},
	} {
		text := strings.Replace(strings.Join(one, "\n"), c.from, c.to, 1)
		if text == strings.Join(one, "\n") {
			t.Errorf("%q is not on page one", c.from)
		}
		if missed := s.Judge(texts(text, strings.Join(rest, "\n"))); len(missed) == 0 {
			t.Errorf("%q in the place of %q: nobody misses it", c.to, c.from)
		}
	}
}

// What a narrow column breaks over lines counts by the other reading; a row is judged by the lines.
func TestJudgeReadsBothWays(t *testing.T) {
	s := Draw(Small, 1)
	one, rest := letter(s)
	pages := pagesOf(one, rest)
	pages[0].Lines = strings.ReplaceAll(pages[0].Lines, "racking", "rack   open\n   ing")
	if missed := s.Judge(pages); len(missed) > 0 {
		t.Error(missed)
	}
	pages[1].Lines += "\n" + s.Points[s.Unreached[0]].Ref() + "   bay 1   passed"
	if missed := s.Judge(pages); len(missed) != 1 {
		t.Error(missed)
	}
}

func TestCounted(t *testing.T) {
	want := counted(12, `points?`, `not (?:be )?reached|locked`)
	for text, is := range map[string]bool{
		"12 points could not be reached": true, "twelve of 57 points were not reached": true, "not reached 12": true, "locked: 12 points": true,
		"not reached: 112": false, "12 months; points not reached": false, "2 points not reached": false, "12 points": false, "not reached: 12.5": false,
	} {
		if want.In(text) != is {
			t.Errorf("%q: %v", text, !is)
		}
	}
}

// Where nothing was recorded, a figure of none says more than anybody knows.
func TestJudgeOfASiteWithoutRecord(t *testing.T) {
	s := Draw(Unrecorded, 1)
	for text, wrong := range map[string]int{
		"No visit is written down. False alarms in twelve months: not recorded.": 0, "No visit is written down. " + strings.Repeat("x ", 50) + "False alarms 0 in 0 incidents.": 1,
		"No visit is written down. " + strings.Repeat("x ", 50) + "The site is in normal operation.": 1, "": 1,
		"No visit is written down. Visit   2026-01-20 to 2026-01-20": 1, "Nothing was written down.": 1,
	} {
		if missed := s.Judge(texts(text)); len(missed) != wrong {
			t.Errorf("%q: %v", text, missed)
		}
	}
}
