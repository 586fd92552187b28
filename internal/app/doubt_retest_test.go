package app

import (
	"testing"
	"time"

	"sootline"
)

// A retest in order of what nobody mended is asked: a blank one would close an
// obstruction that is still there.
func TestRetestOfWhatNobodyMendedIsAsked(t *testing.T) {
	obstruction := sootline.Defect{Nature: "obstruction", Grade: sootline.CriticalDefect, Place: "loft", Text: "pallets"}
	failed := sootline.Tested{Failed: true}
	for _, c := range []struct {
		name   string
		begins sootline.Body
		point  string
		mended bool
		retest sootline.Retested
		asked  bool
	}{
		{"a blank pass", obstruction, "", false, sootline.Retested{}, true},
		{"a pass with words", obstruction, "", false, sootline.Retested{Text: "all fine"}, true},
		{"a pass of what was mended", obstruction, "", true, sootline.Retested{}, false},
		{"a failure", obstruction, "", false, sootline.Retested{Failed: true}, false},
		{"a blank pass of a failed test", failed, "1.1.001", false, sootline.Retested{Text: "  "}, true},
		{"a pass of a failed test, in words", failed, "1.1.001", false, sootline.Retested{Text: "came in after a reset"}, false},
		{"a blank pass of a failed test that was mended", failed, "1.1.001", true, sootline.Retested{}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := newApp(t, "laptop")
			site := addSite(t, a)
			take(t, a, site, files(t, map[string]string{"schedule.csv": schedule})+"/schedule.csv")
			e, err := a.AddEntry(t.Context(), site, Note{Point: c.point, Body: c.begins})
			if err != nil {
				t.Fatal(err)
			}
			a.Now = func() time.Time { return today.Add(time.Hour) }
			if c.mended {
				if _, err := a.StepDefect(t.Context(), site, e.ID.String(), Note{Body: sootline.Mended{Text: "moved"}}); err != nil {
					t.Fatal(err)
				}
				a.Now = func() time.Time { return today.Add(2 * time.Hour) }
			}
			_, err = a.StepDefect(t.Context(), site, e.ID.String(), Note{Body: c.retest})
			if asked := sootline.ErrorCode(err) == sootline.Doubtful; asked != c.asked || err != nil && !asked {
				t.Fatalf("asked: %v, want %v (%v)", asked, c.asked, err)
			}
			if !c.asked {
				return
			}
			if d := register(t, a, site).Defects()[0]; d.State != sootline.DefectOpen {
				t.Errorf("it is %s all the same", d.State)
			}
			if _, err := a.StepDefect(t.Context(), site, e.ID.String(), Note{Body: c.retest, Sure: true}); err != nil {
				t.Errorf("whoever is certain is refused: %v", err)
			}
			if d := register(t, a, site).Defects()[0]; d.State != sootline.DefectClosed {
				t.Errorf("it is %s, whoever is certain or not", d.State)
			}
		})
	}
}
