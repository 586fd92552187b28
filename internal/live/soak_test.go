package live

import (
	"runtime"
	"testing"

	"sootline/internal/worlds/lines"
)

// TestWeekOfLines: a reader that hears a week of a busy and bad wire, in compressed time, has an answer to every byte and holds
// no more at its end than near its beginning.
func TestWeekOfLines(t *testing.T) {
	const seed = 7
	w := lines.Draw("slip", heardBefore, 10000, seed)
	heard, err := learner(w.Lesson(seed))
	if err != nil {
		t.Fatal(err)
	}
	r := heard.(*listener).r
	var early, late uint64
	var told, next, bytes int64
	count := func(all []Line) {
		for _, l := range all {
			told += l.To - l.From
			next = max(next, l.To)
		}
	}
	chunks := lines.Chunks(w.Spoil(0.2, seed), seed)
	for i, c := range chunks {
		bytes += int64(len(c.Bytes))
		count(r.Hear(c.At, c.Bytes))
		switch i {
		case len(chunks) / 10:
			early = heapNow()
		case len(chunks) - 1:
			late = heapNow()
		}
	}
	count(r.End())
	t.Logf("%d bytes in %d pieces; heap %d kB early, %d kB late", bytes, len(chunks), early>>10, late>>10)
	if next > bytes || bytes-told > bytes/20 { // line feeds behind a return belong to no line
		t.Errorf("of %d bytes %d are told, the last at %d", bytes, told, next)
	}
	if late > early+1<<20 {
		t.Errorf("the heap grew from %d to %d bytes", early, late)
	}
}

func heapNow() uint64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}
