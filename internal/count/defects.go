package count

import "sootline"

// Defects is how many defects of a site are in which state.
type Defects struct {
	Open   int
	Mended int // they wait for their retest
	Closed int
}

// NotClosed is what is still to be done.
func (d Defects) NotClosed() int { return d.Open + d.Mended }

// DefectsOf counts the defects of a register.
func DefectsOf(r *sootline.Register) Defects {
	var n Defects
	for _, d := range r.Defects() {
		switch d.State {
		case sootline.DefectOpen:
			n.Open++
		case sootline.DefectMended:
			n.Mended++
		case sootline.DefectClosed:
			n.Closed++
		}
	}
	return n
}
