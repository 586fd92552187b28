package app

import (
	"fmt"
	"math"
	"slices"

	"sootline"
	"sootline/internal/robust"
)

// Where points of a type all show another multiple of what was read at them last, that is a scale and no level: chosen here, no source.
const (
	apartFewest = 5    // points
	apartLeast  = 1.5  // times, or its inverse
	apartSpread = 1.25 // within which of their middle all multiples lie
)

// multiples compares the first value that each point of a source shows with what others read at it last.
type multiples struct {
	last map[string]float64 // of a point
	kind map[string]string  // the type of a point
	of   map[string][]float64
	told map[string]bool
}

// lastRead finds what was read at points last, by others than a source.
func lastRead(r *sootline.Register, source string, points []string) *multiples {
	m := &multiples{map[string]float64{}, map[string]string{}, map[string][]float64{}, map[string]bool{}}
	for _, name := range points {
		p, err := PointNamed(r, name)
		if err != nil {
			continue
		}
		for i := len(p.Readings) - 1; i >= 0; i-- {
			reading := &p.Readings[i]
			said, _ := reading.Entry.Body.(sootline.Read)
			if reading.Quantity != "" || said.Remark == readBy(source) {
				continue
			}
			if v := ValueOf(reading); v > 0 {
				m.last[name], m.kind[name] = v, p.Type
			}
			break
		}
	}
	return m
}

// shows takes a value of a point, and gives what is to be said of its type, once; empty: nothing.
func (m *multiples) shows(point string, v float64) string {
	last, kind := m.last[point], m.kind[point]
	if last == 0 || v <= 0 || m.told[kind] {
		return ""
	}
	delete(m.last, point) // the first alone
	m.of[kind] = append(m.of[kind], v/last)
	all := m.of[kind]
	middle, _ := robust.Median(all)
	if len(all) < apartFewest || math.Max(middle, 1/middle) < apartLeast ||
		slices.ContainsFunc(all, func(x float64) bool { return math.Max(x/middle, middle/x) > apartSpread }) {
		return ""
	}
	m.told[kind] = true
	return fmt.Sprintf("%d points of type %s show about %.2g times what was read at them last: look at the scale, or take in the type's new sheet", len(all), kind, middle)
}
