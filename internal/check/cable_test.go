package check_test

import (
	"strings"
	"testing"

	"sootline"
	"sootline/internal/check"
)

// Cable of no length and spurs from nowhere lead all findings, with the points; cable that can be is no finding.
func TestCableThatCannotBe(t *testing.T) {
	none, some := 0.0, 12.0
	at := func(b *book, name string, number int, metres *float64, spur int) {
		b.add(date("2026-01-10"), name, sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "1", Order: number, Metres: metres, Spur: spur}, Type: "Larch"})
		b.add(date("2026-01-10"), name, sootline.Addressed{Wanted: number})
	}
	b := sound()
	at(b, "x", 41, &some, 0)
	at(b, "y", 42, &none, 0)
	at(b, "z", 43, &some, 41)
	at(b, "v", 44, &some, 99)
	at(b, "w", 45, &some, 43)
	findings := check.Register(sootline.Fold(b.entries, on), on)
	var reasons []string
	for _, f := range findings {
		if f.Code == check.CableWrong {
			reasons = append(reasons, f.Reason)
		}
	}
	if len(reasons) != 3 || findings[0].Code != check.CableWrong || findings[0].Weight != sootline.Serious {
		t.Fatalf("%q of %+v", reasons, findings)
	}
	for i, part := range []string{"1 point on loop 1.1 with 0 m of cable, so the loop cannot be calculated: 1.1.042", "from number 99, where no point is", "from number 43, which is on a spur itself"} {
		if !strings.Contains(reasons[i], part) {
			t.Errorf("%q lacks %q", reasons[i], part)
		}
	}
}
