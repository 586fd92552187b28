package jobs

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"time"
)

// What the invented sites are called, and where the point lies that is looked for.
const (
	SiteName   = "Quartz Hall"
	SecondSite = "Basalt Row"
	perLoop    = 100
	rising     = 7 // the point of loop 1 whose readings reach the end of its band
)

// Listing writes the listings of a technician: a type, n points over as many loops as they need, and three years of
// readings of ten of them, of which one rises out of its band. It gives the names of the files.
func Listing(folder string, n int, now time.Time) ([]string, error) {
	types := [][]string{{"name", "kind", "low", "high", "life years"}, {"Larch", "optical smoke", "20", "40", "10"}}
	points := [][]string{{"loop", "address", "type", "area", "location", "fitted on", "serial"}}
	for i := range n {
		loop, number := i/perLoop+1, i%perLoop+1
		points = append(points, []string{strconv.Itoa(loop), strconv.Itoa(number), "Larch", fmt.Sprintf("Wing %d", loop), Place(loop, number), "2022-02-01", Serial(i)})
	}
	readings := [][]string{{"point", "date", "value"}}
	for number := 1; number <= 10; number++ {
		for visit := range 7 {
			value := 24 + (visit+number)%3
			if number == rising {
				value = 24 + 3*visit
			}
			day := now.AddDate(0, -6*(6-visit), -10).Format(time.DateOnly)
			readings = append(readings, []string{fmt.Sprintf("1.%03d", number), day, strconv.Itoa(value)})
		}
	}
	var files []string
	for name, rows := range map[string][][]string{"1-types.csv": types, "2-schedule.csv": points, "3-readings.csv": readings} {
		if err := write(filepath.Join(folder, name), rows); err != nil {
			return nil, err
		}
	}
	for _, name := range []string{"1-types.csv", "2-schedule.csv", "3-readings.csv"} {
		files = append(files, filepath.Join(folder, name))
	}
	return files, nil
}

// Place is where a point is, in words; no other point of the site is there.
func Place(loop, number int) string { return fmt.Sprintf("Landing %d of tower %d", number, loop) }

// Serial is what is printed on the device that is the ith of the listing.
func Serial(i int) string { return fmt.Sprintf("QX%06d-71", i*7919%1_000_003) }

func write(path string, rows [][]string) error {
	file, err := os.Create(path)
	if err != nil {
		return err
	}
	if err := csv.NewWriter(file).WriteAll(rows); err != nil {
		return err
	}
	return file.Close()
}
