package lines

import (
	"strings"
	"time"
)

// Lesson is what a learner is given: what was heard, three examples with their marks, and what the house knows.
type Lesson struct {
	Heard    []Chunk
	Examples []Example // spans count from the first byte of the first chunk
	Site     *time.Location
	Points   []Point
	// Means asks a person what a word means that stands where the event stands; false: it is no event of ours. The
	// word is the decoded text, without blanks round it. Questions are counted.
	Means func(word string) (Event, bool)
	// Mark asks a person to mark another of the lines heard: that in which the span lies. False: it is no event. It is
	// counted; the goal is to do without.
	Mark func(Span) (Example, bool)
}

// asked counts what a person was asked beyond the three examples.
type asked struct{ words, lines int }

// Chunk is what arrived at an instant.
type Chunk struct {
	At    time.Time
	Bytes []byte
}

// Lesson gives the lesson of the world.
func (w *World) Lesson(seed uint64) Lesson { return w.lesson(seed, &asked{}) }

func (w *World) lesson(seed uint64, count *asked) Lesson {
	return Lesson{
		Heard: Chunks(w.Heard, seed), Examples: w.examples(), Site: w.Site, Points: w.Points,
		Means: func(word string) (Event, bool) {
			count.words++
			return w.style.means(word)
		},
		Mark: func(at Span) (Example, bool) {
			count.lines++
			return w.marked(at)
		},
	}
}

// means is what a person answers who knows the panel: by the whole word, whatever its case, or by its end where only one
// word ends so.
func (s *Style) means(word string) (Event, bool) {
	var ends []Event
	for _, e := range Events() {
		is := s.word(e)
		if strings.EqualFold(is, word) {
			return e, true
		}
		if n := len(is) - len(word); n > 0 && word != "" && is[n-1] == ' ' && strings.EqualFold(is[n:], word) {
			ends = append(ends, e)
		}
	}
	if len(ends) != 1 {
		return "", false
	}
	return ends[0], true
}

// examples marks three lines as a person would: an alarm first, then two that tell of other events, each of a point.
func (w *World) examples() []Example {
	var out []Example
	seen := map[Event]bool{}
	for _, first := range []bool{true, false} { // the alarm, then the others
		from := 0
		for _, r := range w.Heard {
			t := r.Truth
			tells := t != nil && t.Text != "" && (t.Number > 0 || t.Zone > 0)
			if tells && !seen[t.Event] && first == (t.Event == Alarm) && len(out) < 3 {
				seen[t.Event] = true
				out = append(out, exampleAt(r, from))
			}
			from += len(r.Bytes)
		}
	}
	return out
}

// marked marks the line in which a span begins.
func (w *World) marked(at Span) (Example, bool) {
	from := 0
	for _, r := range w.Heard {
		if at.From >= from && at.From < from+len(r.Bytes) {
			return exampleAt(r, from), r.Truth != nil
		}
		from += len(r.Bytes)
	}
	return Example{}, false
}

func exampleAt(r Record, from int) Example {
	e := Example{Span: Span{from, from + len(r.Bytes)}}
	for _, m := range r.marks {
		m.From, m.To = m.From+from, m.To+from
		e.Marks = append(e.Marks, m)
	}
	return e
}
