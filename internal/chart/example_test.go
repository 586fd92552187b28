package chart_test

import (
	"fmt"
	"time"

	"sootline/internal/chart"
)

// The history of a point in a terminal. The same picture as a page shows it:
// SVG(w), or For(chart.Phone()).SVG(w).
func ExampleHistory() {
	day := func(text string) time.Time {
		t, _ := time.Parse("2006-01-02", text)
		return t
	}
	h := chart.History{
		Point: "1.2.073", Unit: "counts", AsOf: day("2026-09-01"),
		Bands:  []chart.Span{{Low: 20, High: 40}},
		Resets: []chart.Happened{{At: day("2024-05-10"), Letter: chart.Cleaned, Words: "cleaned"}},
		Readings: []chart.Reading{
			{At: day("2023-03-01"), Value: 30},
			{At: day("2023-09-01"), Value: 33},
			{At: day("2024-03-01"), Value: 36},
			{At: day("2024-06-01"), Value: 23},
			{At: day("2025-03-01"), Value: 26},
			{At: day("2025-06-01"), Value: 99, LeftOut: true},
			{At: day("2026-03-01"), Value: 30},
			{At: day("2026-08-01"), Value: 32},
		},
	}
	fmt.Print(h.Picture().Text(72))
	// Output:
	// Readings of 1.2.073
	//                                                        as of 2026-09-01
	//                              C
	//  40 counts ------------------│--------------^------------------: 40
	//            │                 │                                 :
	//            │                 │                                 :
	//            │            ⣀⠤o  │                                 :
	//         35 │        ⢀⣠⠖⠋     │                                 :
	//            │     ⣀⡤o⠉        │                                 :
	//            │ ⢀⡠⠔⠋⠁           │                           ⢀⣀⠤⠒o :
	//         30 │o⠉               │                       ⣀⡤o⠚⠉     :
	//            │                 │                  ⣀⡤⠖⠚⠉          :
	//            │                 │            ⢀⣀⠤⠖⠚⠉               :
	//            │                 │       ⢀⣠⠤⠒o⠉                    :
	//         25 │                 │  ⣀⡠⠴⠒⠋⠁                         :
	//            │                 │o⠉⠁                              :
	//            │                 │                                 :
	//         20 ------------------│---------------------------------: 20
	//            ─────────────┼─────────────┼──────────────┼──────────
	//                       2024           2025          2026
	//  o reading   x left out   ^ left out, beyond the scale
	//  - band 20 to 40 counts   │ C cleaned
}
