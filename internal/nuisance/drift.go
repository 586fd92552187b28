package nuisance

import (
	"fmt"

	"sootline"
)

// Standing is where a device's resting value lay when it alarmed, as whoever
// judges readings found it.
type Standing struct {
	Verdict string // "below", "inside", "above", "no band" or "no reading"
	Words   string // the value and its band, in words
}

// Outside reports whether the value lay outside its band.
func (s Standing) Outside() bool { return s.Verdict == "above" || s.Verdict == "below" }

// Drift ties false alarms of detectors to their resting values.
type Drift struct {
	Alarms  int // of detectors, in the span
	Judged  int // of them, those with a verdict at the time
	Outside int
	Above   int
	List    []Drifted // those outside, oldest first
	Reason  string
}

// Drifted is a false alarm of a device that was outside its band.
type Drifted struct {
	Alarm
	Standing
}

// drift counts the alarms that came from devices outside their band. Standings
// are by the entry of the alarm.
func (rec *Record) drift(alarms []Alarm, standings map[sootline.ID]Standing) Drift {
	var d Drift
	for _, a := range alarms {
		if a.Point == nil {
			continue
		}
		if !rec.wasDetector(a.Point, a.At) {
			continue
		}
		d.Alarms++
		s := standings[a.Entry.ID]
		switch {
		case s.Outside():
			d.Judged++
			d.Outside++
			d.List = append(d.List, Drifted{a, s})
			if s.Verdict == "above" {
				d.Above++
			}
		case s.Verdict == "inside":
			d.Judged++
		}
	}
	d.Reason = d.words()
	return d
}

func (d *Drift) words() string {
	switch {
	case d.Alarms == 0:
		return "no false alarm came from a detector"
	case d.Judged == 0:
		return fmt.Sprintf("no reading tells how the detectors of these %s stood", plural(d.Alarms, "alarm"))
	case d.Outside == 0:
		return fmt.Sprintf("none of the %d judged came from a detector outside its band: look for the cause in the surroundings", d.Judged)
	}
	return fmt.Sprintf("%d of the %d judged came from a detector outside its band, %d above it", d.Outside, d.Judged, d.Above)
}
