package count

import "sootline"

// Points counts the points in place, by what they are.
type Points struct {
	All         int
	Detectors   int // automatic ones, those of no known kind too
	KindUnknown int // of the detectors: the type has no sheet, or its sheet names no kind
	UnderTest   int // detectors and call points: what every share is a share of
	ByKind      map[sootline.DeviceKind]int
}

// PointsOf counts the points of a register.
func PointsOf(r *sootline.Register) Points { return PointsIn(r, r.Points()) }

// PointsIn counts some points of a register.
func PointsIn(r *sootline.Register, points []*sootline.Point) Points {
	n := Points{All: len(points), ByKind: map[sootline.DeviceKind]int{}}
	for _, p := range points {
		kind := KindOf(r, p)
		n.ByKind[kind]++
		if Detector(kind) {
			n.Detectors++
		}
		if kind == "" {
			n.KindUnknown++
		}
		if UnderTestKind(kind) {
			n.UnderTest++
		}
	}
	return n
}

// KindOf gives the kind of device at a point; empty: nobody described its type.
func KindOf(r *sootline.Register, p *sootline.Point) sootline.DeviceKind {
	if sheet := r.Sheet(p.Type); sheet != nil {
		return sheet.Kind
	}
	return ""
}

// Detector reports whether a kind is an automatic detector. One that is not known
// counts as one.
func Detector(kind sootline.DeviceKind) bool {
	switch kind {
	case "", sootline.Smoke, sootline.Heat, sootline.Multi, sootline.Gas, sootline.Flame:
		return true
	}
	return false
}

// UnderTestKind reports whether devices of a kind are under test.
func UnderTestKind(kind sootline.DeviceKind) bool {
	return Detector(kind) || kind == sootline.CallPoint
}

// UnderTest lists the points that shares are of: detectors and call points.
func UnderTest(r *sootline.Register) []*sootline.Point {
	var points []*sootline.Point
	for _, p := range r.Points() {
		if UnderTestKind(KindOf(r, p)) {
			points = append(points, p)
		}
	}
	return points
}
