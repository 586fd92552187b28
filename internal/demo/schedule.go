package demo

import (
	"strconv"
	"strings"
)

// typesFile lists the types of device.
func typesFile() File {
	rows := [][]string{strings.Split("name,kind,numbers,quantity,low,high,alarm,compensated,standby mA,alarm mA,least volts,life years,settings", ",")}
	for _, d := range devices() {
		compensated := "no"
		if d.reserve > 0 {
			compensated = "yes"
		}
		rows = append(rows, []string{
			d.name, d.word, strconv.Itoa(d.numbers), d.quantity, figure(d.low), figure(d.high), figure(d.alarm), compensated,
			figure(d.standby), figure(d.alarmMA), figure(d.volts), strconv.Itoa(d.life), d.choices(),
		})
	}
	return File{"types.csv", separated(',', rows), "the types of device with their bands; CSV with commas"}
}

// choices writes the settings of a type, and how its number is set, as a sheet does.
func (d *device) choices() string {
	if d.settings == "" {
		return "address=" + d.how
	}
	return d.settings + "; address=" + d.how
}

// figure leaves out what is not known.
func figure(x float64) string {
	if x == 0 {
		return ""
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

// scheduleFile lists the points as handed over.
func scheduleFile(w *world) File {
	rows := [][]any{{"panel", "loop", "address", "type", "zone", "area", "location", "serial", "fitted on", "metres", "settings"}}
	for _, p := range w.points {
		rows = append(rows, []any{
			p.ref.Panel, p.ref.Loop, p.ref.Number, p.device.name, p.zone, p.room.name, p.location, p.serial, p.fitted, p.metres, p.wanted,
		})
	}
	return File{"schedule.xlsx", workbook("Schedule", w.until, rows), "every point as handed over, along the cable; workbook"}
}
