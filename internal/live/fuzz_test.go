package live

import (
	"encoding/json"
	"testing"
	"time"

	"sootline/internal/fuzzing"
)

var fuzzed = time.Date(2026, 3, 14, 9, 0, 0, 0, time.UTC)

// whole fails where bytes that are no line ends have no answer, or two.
func whole(t *testing.T, heard []byte, lines []Line) {
	t.Helper()
	told := make([]int, len(heard))
	for _, l := range lines {
		if l.From < 0 || l.To > int64(len(heard)) || l.From >= l.To {
			t.Fatalf("a line from %d to %d of %d bytes", l.From, l.To, len(heard))
		}
		for i := l.From; i < l.To; i++ {
			told[i]++
		}
	}
	for i, n := range told {
		if n > 1 || n == 0 && !ends(heard[i]) {
			t.Fatalf("byte %d of %q is told %d times", i, heard, n)
		}
	}
}

// FuzzLesson: any bytes, with marks anywhere in them, are learned from or refused in a sentence; every byte has one answer.
func FuzzLesson(f *testing.F) {
	f.Add([]byte("12.03.26 09:01 FIRE L1/007 Room 7\r\n12.03.26 09:02 FAULT L1/008 Room 8\r\n"), "1 12.03.26|09:01|FIRE|1|007|Room 7")
	f.Add([]byte("FIRE 3 MAR\n LOOP 1\nFAULT 4 MAR\n LOOP 2\n"), "1 3 MAR|FIRE")
	f.Fuzz(func(t *testing.T, heard []byte, marks string) {
		if len(heard) > 600 {
			return // what is asked of the time of a lesson is asked elsewhere
		}
		chunks := []Chunk{{At: fuzzed, Bytes: heard}}
		points := []Point{{Loop: "1", Number: 7, Zone: 1, Text: "Room 7"}, {Loop: "1", Number: 8, Zone: 1, Text: "Room 8"}}
		var said []Said
		from := 0
		for i := 0; i <= len(marks) && len(said) < len(Roles()); i++ {
			if i == len(marks) || marks[i] == '|' {
				said = append(said, Said{Role: Roles()[len(said)], Value: marks[from:i], Means: Alarm})
				from = i + 1
			}
		}
		example, err := ExampleOf(chunks, 1, 1, said)
		if err != nil {
			return
		}
		lesson := Lesson{Heard: chunks, Examples: []Example{example}, Points: points}
		learned, err := Learn(lesson)
		if err != nil {
			if err.Error() == "" {
				t.Error("an error without words")
			}
			return
		}
		whole(t, heard, Preview(learned.Style, lesson))
	})
}

// FuzzStyle: any style, of a log that came from elsewhere, reads any bytes: every byte has one answer, and memory is bounded.
func FuzzStyle(f *testing.F) {
	f.Add([]byte(`{"page":"cp850","lines":2,"shapes":[{"marked":true,"shape":[{"role":"event"},{"glue":[" "]},{"role":"text"}]}],"words":{"FIRE":"alarm"}}`), []byte("FIRE a\r\nb\r\n"))
	f.Fuzz(func(t *testing.T, style, heard []byte) {
		var s Style
		if json.Unmarshal(style, &s) != nil {
			return
		}
		fuzzing.Within(t, len(heard)*len(style), func() {
			whole(t, heard, Preview(&s, Lesson{Heard: []Chunk{{At: fuzzed, Bytes: heard}}, Points: []Point{{Loop: "1", Number: 1, Text: "a"}}}))
		})
	})
}
