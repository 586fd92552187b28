package sootline

import (
	"fmt"
	"testing"
	"time"
)

// manyReadings makes a log of 5,000 points and n readings, in order.
func manyReadings(n int) []Entry {
	site := DerivedID(epoch, []byte("s"))
	entries := make([]Entry, 0, n+5000)
	for p := range 5000 {
		entries = append(entries, Entry{
			ID: DerivedID(LongAgo, fmt.Append(nil, p)), Site: site, At: LongAgo, Noted: epoch, Point: pointID(p),
			Body: Fitted{Place: Place{Panel: "1", Loop: fmt.Sprint(p / 125)}, Type: "Alpha"},
		})
	}
	for i := range n {
		at := epoch.Add(time.Duration(i) * time.Second)
		entries = append(entries, Entry{
			ID: DerivedID(at, fmt.Append(nil, i)), Site: site, At: at, Noted: at, Station: "laptop",
			Seq: int64(i), Point: pointID(i % 5000), Body: Read{Samples: []float64{25}},
		})
	}
	return entries
}

func BenchmarkFold(b *testing.B) {
	const n = 200_000
	entries := manyReadings(n)
	b.ReportAllocs()
	for b.Loop() {
		if r := Fold(entries, epoch.AddDate(10, 0, 0)); r.Readings != n {
			b.Fatalf("%d readings", r.Readings)
		}
	}
	b.ReportMetric(float64(n)*float64(b.N)/b.Elapsed().Seconds(), "entries/s")
}

func BenchmarkParseLine(b *testing.B) {
	line, err := AppendLine(nil, &manyReadings(1)[5000])
	if err != nil {
		b.Fatal(err)
	}
	var parser Parser
	b.ReportAllocs()
	b.SetBytes(int64(len(line)))
	for b.Loop() {
		if _, err := parser.Parse(line); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSeal(b *testing.B) {
	e := manyReadings(1)[5000]
	var chain Chain
	var dst []byte
	b.ReportAllocs()
	for b.Loop() {
		var err error
		if dst, err = chain.Seal(dst[:0], &e); err != nil {
			b.Fatal(err)
		}
	}
}
