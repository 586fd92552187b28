package firm

import (
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"

	"sootline"
)

// Teller is told what differs; a *testing.T is one.
type Teller interface {
	Helper()
	Errorf(format string, args ...any)
}

// Compare tells of each site whose head is missing or is not the truth, by the fields
// that differ, and of each head that nobody asked for. It gives how many sites differ.
func Compare(t Teller, truth, got map[sootline.ID]Head) int {
	t.Helper()
	wrong := 0
	for _, site := range slices.SortedFunc(maps.Keys(truth), compareIDs) {
		head, ok := got[site]
		switch fields := differ(truth[site], head); {
		case !ok:
			wrong++
			t.Errorf("site %s has no head", site)
		case len(fields) > 0:
			wrong++
			t.Errorf("site %s: its head is not what its log says: %s", site, strings.Join(fields, ", "))
		}
	}
	for _, site := range slices.SortedFunc(maps.Keys(got), compareIDs) {
		if _, asked := truth[site]; !asked {
			wrong++
			t.Errorf("site %s was not asked for and has a head", site)
		}
	}
	return wrong
}

func compareIDs(a, b sootline.ID) int { return slices.Compare(a[:], b[:]) }

// differ names the fields in which two heads differ.
func differ(truth, got Head) []string {
	var fields []string
	want, have := reflect.ValueOf(truth), reflect.ValueOf(got)
	for i := range want.NumField() {
		if a, b := want.Field(i).Interface(), have.Field(i).Interface(); a != b {
			fields = append(fields, fmt.Sprintf("%s is %v, not %v", want.Type().Field(i).Name, a, b))
		}
	}
	return fields
}
