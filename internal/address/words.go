package address

import (
	"fmt"
	"strings"
)

// mostNamed is how many devices a sentence names one by one.
const mostNamed = 5

// name tells a device apart from another with the same number: its reference
// and where it is, as far as anybody wrote that down.
func name(d taker) string {
	ref := d.Ref().String()
	switch {
	case d.Location != "":
		return fmt.Sprintf("%s (%s)", ref, d.Location)
	case d.Area != "":
		return fmt.Sprintf("%s (%s)", ref, d.Area)
	case d.Order != 0:
		return fmt.Sprintf("%s (device %d along the cable)", ref, d.Order)
	case d.Unit.Serial != "":
		return fmt.Sprintf("%s (serial %s)", ref, d.Unit.Serial)
	}
	return ref
}

// names lists devices as a sentence does, the first few by name.
func names(devices []taker) string {
	var list []string
	for _, d := range devices[:min(len(devices), mostNamed)] {
		list = append(list, name(d))
	}
	if more := len(devices) - len(list); more > 0 {
		list = append(list, fmt.Sprintf("%d more", more))
	}
	if len(list) == 1 {
		return list[0]
	}
	last := len(list) - 1
	return strings.Join(list[:last], ", ") + " and " + list[last]
}

// numbers writes one number or a run of them.
func numbers(first, last int) string {
	if first == last {
		return fmt.Sprintf("number %d", first)
	}
	return fmt.Sprintf("numbers %d to %d", first, last)
}
