package papers

import (
	"slices"
	"testing"

	"sootline"
)

// Two devices that share a number are two points, told apart by their places.
func TestLatePointsOfOneNumber(t *testing.T) {
	at := func(number int, area string) late {
		return late{point: &sootline.Point{Place: sootline.Place{Panel: "1", Loop: "2", Area: area}, Wanted: number}}
	}
	got := apart([]late{at(76, "Store"), at(76, "Hall"), at(79, "Hall")})
	if want := []string{"1.2.076 (Store)", "1.2.076 (Hall)", "1.2.079"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
