package demo

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// reading is one look at one point.
type reading struct {
	year    int
	at      time.Time
	point   *point
	samples []int
	by      string
	remark  int // index in remarks
}

// remarks are what technicians add now and then, in the two languages of the
// files; none comes first.
func remarks() [][2]string {
	return [][2]string{{"", ""}, {"ladder needed", "mit Leiter"}, {"cobwebs", "Spinnweben"}, {"key at the gate", "Schlüssel an der Pforte"}}
}

// The spread of a reading is part visit (the air of the day) and part sample;
// the squares of the two shares add up to one.
const (
	visitShare  = 0.6
	sampleShare = 0.8
)

// takeReadings has every visit read the detectors, a loop a day, and miss a few,
// though neither at handover nor where a trouble would go unseen for it.
func (w *world) takeReadings() []reading {
	const missed = 0.04
	fewest, most := samplesOf()
	var readings []reading
	for i, v := range w.visits {
		clock := time.Time{}
		for _, p := range w.points {
			if start := v.day(p).Add(8*time.Hour + 30*time.Minute); clock.Before(start) {
				clock = start
			}
			miss := w.rng.Float64() < missed && i > 0 && !w.taken[p]
			if miss || !p.judged() || !p.seen(v.day(p)) {
				continue
			}
			clock = clock.Add(time.Duration(2+w.rng.IntN(3)) * time.Minute)
			n := fewest[v.year] + w.rng.IntN(most[v.year]-fewest[v.year]+1)
			r := reading{year: v.year, at: clock, point: p, samples: w.look(p, clock, n), by: v.by}
			if w.rng.IntN(60) == 0 {
				r.remark = 1 + w.rng.IntN(len(remarks())-1)
			}
			readings = append(readings, r)
		}
	}
	return readings
}

// samplesOf gives the fewest and the most samples of one look, year by year.
func samplesOf() (fewest, most [Years]int) {
	return [Years]int{1, 2, 2, 1, 1, 3}, [Years]int{1, 3, 2, 3, 3, 5}
}

// look takes n samples, in whole counts.
func (w *world) look(p *point, at time.Time, n int) []int {
	level := p.level(at) + visitShare*p.sd*w.rng.NormFloat64()
	samples := make([]int, n)
	for i := range samples {
		samples[i] = int(math.Round(level + sampleShare*p.sd*w.rng.NormFloat64()))
	}
	return samples
}

// readingFiles writes one file a year, every year in another shape: what
// people hand in is never alike.
func readingFiles(w *world, readings []reading) []File {
	shapes := [Years]struct {
		ending, says string
		write        func(w *world, year int, rows []reading) []byte
	}{
		{"csv", "CSV with commas, one value a look", plainYear},
		{"csv", "CSV with commas, two title lines, panel, loop and address apart, samples in columns v1 to v3", titledYear},
		{"csv", "CSV with semicolons, a byte order mark, German headings, decimal comma, day first; the mean of two samples", germanYear},
		{"xlsx", "workbook, samples in one cell between spaces", workbookYear},
		{"csv", "CSV with commas in another order of columns, samples in one cell between slashes", reorderedYear},
		{"csv", "CSV with commas, samples in columns v1 to v5", wideYear},
	}
	byYear := [Years][]reading{}
	for _, r := range readings {
		byYear[r.year] = append(byYear[r.year], r)
	}
	var files []File
	for year, shape := range shapes {
		called := w.from.AddDate(year+1, 0, 0).Year()
		files = append(files, File{
			Name:    fmt.Sprintf("readings-%d.%s", called, shape.ending),
			Content: shape.write(w, called, byYear[year]),
			Says:    shape.says,
		})
	}
	return files
}

func plainYear(_ *world, _ int, readings []reading) []byte {
	rows := [][]string{{"point", "date", "time", "value", "by", "remark"}}
	for _, r := range readings {
		rows = append(rows, []string{r.point.ref.String(), r.date(), r.clock(), r.joined(" "), r.by, r.note()})
	}
	return separated(',', rows)
}

func titledYear(_ *world, year int, readings []reading) []byte {
	rows := [][]string{
		{site().Name},
		{fmt.Sprintf("Resting values, all loops, %d", year)},
		{""},
		{"date", "time", "panel", "loop", "address", "v1", "v2", "v3", "by", "remark"},
	}
	for _, r := range readings {
		ref := r.point.ref
		row := []string{r.date(), r.clock(), ref.Panel, ref.Loop, strconv.Itoa(ref.Number)}
		rows = append(rows, append(append(row, r.columns(3)...), r.by, r.note()))
	}
	return separated(',', rows)
}

// byteOrderMark opens a text that some spreadsheet programs would otherwise take
// for one of an older code page.
const byteOrderMark = "\ufeff"

func germanYear(_ *world, _ int, readings []reading) []byte {
	rows := [][]string{{"Schleife", "Adresse", "Datum", "Wert", "Bemerkung", "Techniker"}}
	for _, r := range readings {
		mean := float64(r.samples[0]+r.samples[1]) / 2
		value := strings.Replace(strconv.FormatFloat(mean, 'f', 1, 64), ".", ",", 1)
		rows = append(rows, []string{
			r.point.ref.Loop, fmt.Sprintf("%03d", r.point.ref.Number), r.at.Format("02.01.2006"),
			value, remarks()[r.remark][1], r.by,
		})
	}
	return append([]byte(byteOrderMark), separated(';', rows)...)
}

func workbookYear(w *world, year int, readings []reading) []byte {
	rows := [][]any{{"point", "date", "time", "value", "by", "remark"}}
	for _, r := range readings {
		rows = append(rows, []any{r.point.ref.String(), r.at.Truncate(24 * time.Hour), r.clock(), r.cell(), r.by, r.note()})
	}
	return workbook(fmt.Sprintf("Readings %d", year), w.until, rows)
}

func reorderedYear(_ *world, _ int, readings []reading) []byte {
	rows := [][]string{{"by", "date", "time", "remark", "value", "point"}}
	for _, r := range readings {
		rows = append(rows, []string{r.by, r.date(), r.clock(), r.note(), r.joined("/"), r.point.ref.String()})
	}
	return separated(',', rows)
}

func wideYear(_ *world, _ int, readings []reading) []byte {
	rows := [][]string{{"point", "date", "time", "v1", "v2", "v3", "v4", "v5", "by", "remark"}}
	for _, r := range readings {
		row := append([]string{r.point.ref.String(), r.date(), r.clock()}, r.columns(5)...)
		rows = append(rows, append(row, r.by, r.note()))
	}
	return separated(',', rows)
}

func (r *reading) date() string  { return r.at.Format(time.DateOnly) }
func (r *reading) clock() string { return r.at.Format("15:04") }
func (r *reading) note() string  { return remarks()[r.remark][0] }

// joined writes all samples in one cell.
func (r *reading) joined(mark string) string { return strings.Join(r.columns(len(r.samples)), mark) }

// cell is joined for a workbook, where a single sample is a number.
func (r *reading) cell() any {
	if len(r.samples) == 1 {
		return r.samples[0]
	}
	return r.joined(" ")
}

// columns writes the samples in n cells; those left over are empty.
func (r *reading) columns(n int) []string {
	cells := make([]string, n)
	for i, sample := range r.samples {
		cells[i] = strconv.Itoa(sample)
	}
	return cells
}
