package check

import (
	"fmt"
	"strings"

	"sootline"
)

// setTwice finds the points for which several devices were set at the bench: one of them
// is there, and nobody can tell from the log which.
func (c checker) setTwice() []sootline.Finding {
	var findings []sootline.Finding
	for _, twice := range c.SetTwice() {
		f := sootline.Finding{Code: SetTwice, Weight: sootline.Warning, Points: []*sootline.Point{twice.Point}, Loop: twice.Point.LoopID()}
		var devices []string
		for _, rec := range twice.Records {
			device := "a device without serial"
			if rec.Serial != "" {
				device = "device " + rec.Serial
			}
			devices = append(devices, device+" by "+rec.Entry.By+" on "+day(rec.Entry.At.In(c.on.Location())))
			f.Entries = append(f.Entries, rec.Entry.ID)
		}
		f.Reason = fmt.Sprintf("%d devices were set at the bench for %s: %s", len(devices), twice.Point.Ref(), strings.Join(devices, ", "))
		f.WayOut = sootline.Out("look which of them is there, and take the other one back").Do(sootline.UndoBench, twice.Records[0].Run.String())
		findings = append(findings, f)
	}
	return findings
}
