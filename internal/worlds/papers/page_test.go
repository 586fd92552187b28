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

func pagesOf(one, rest []string) []string {
	return []string{strings.Join(one, "\n"), strings.Join(rest, "\n")}
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
				if missed := s.Judge([]string{"Contents", strings.Join(append(one, rest...), "\n")}); len(missed) < 5 {
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
		{s.Closed.Format("15:04"), "evening"},
		{"Critical: ", ""},
		{"mended at the visit and passed its test", "seen"},
	} {
		text := strings.Replace(strings.Join(one, "\n"), c.from, c.to, 1)
		if text == strings.Join(one, "\n") {
			t.Errorf("%q is not on page one", c.from)
		}
		if missed := s.Judge([]string{text, strings.Join(rest, "\n")}); len(missed) == 0 {
			t.Errorf("%q in the place of %q: nobody misses it", c.to, c.from)
		}
	}
}
