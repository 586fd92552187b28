package check

import (
	"fmt"
	"strings"
	"time"

	"sootline"
)

// mostNamed is how many points a sentence names one by one; a finding lists all.
const mostNamed = 8

// refs names points as a sentence does, the first few one by one.
func refs(points []*sootline.Point) string {
	var names []string
	for _, p := range points[:min(len(points), mostNamed)] {
		names = append(names, p.Ref().String())
	}
	if more := len(points) - len(names); more > 0 {
		names = append(names, fmt.Sprintf("and %d more", more))
	}
	return strings.Join(names, ", ")
}

// count writes a number with its noun.
func count(n int, noun string) string {
	switch {
	case n == 1:
		return "1 " + noun
	case strings.HasSuffix(noun, "y") && noun != "day":
		return fmt.Sprintf("%d %sies", n, strings.TrimSuffix(noun, "y"))
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// are writes a number of points with the verb that they need.
func are(n int) string {
	if n == 1 {
		return "1 point is"
	}
	return fmt.Sprintf("%d points are", n)
}

// day writes the day of an instant, in the zone that the register gives its times
// in.
func day(t time.Time) string {
	if !t.After(sootline.LongAgo) {
		return "an unknown day"
	}
	return t.Format(time.DateOnly)
}
