package app

import (
	"slices"
	"strings"

	"sootline"
)

// onLoop are the keys of a place that hold on one loop alone.
var onLoop = []string{"order", "metres", "spur"}

// doubtPlace asks whether what is known of a place is really to go: an entry that
// describes a point anew says it whole, and what it leaves out is known no more.
func doubtPlace(p *sootline.Point, said sootline.Moved) error {
	stands, err := sootline.FormOf(sootline.Moved{Place: p.Place})
	if err != nil {
		return err
	}
	tells, err := sootline.FormOf(said)
	if err != nil {
		return err
	}
	elsewhere := said.Panel != p.Panel || said.Loop != p.Loop
	var lost []string
	for _, f := range sootline.FieldsOf(sootline.MovedKind) {
		if stands[f.Key] != "" && tells[f.Key] == "" && !(elsewhere && slices.Contains(onLoop, f.Key)) {
			lost = append(lost, f.Label+" "+stands[f.Key])
		}
	}
	if len(lost) == 0 {
		return nil
	}
	return doubtful("this describes %s anew, whole, and leaves out what is known of it: %s", p.Ref(), strings.Join(lost, ", "))
}
