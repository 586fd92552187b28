package live

import (
	"os"
	"testing"
	"time"

	"sootline/internal/worlds/lines"
)

// learner puts a lesson of the worlds into the words of the house. It marks no line beyond the three, and asks words alone.
func learner(l lines.Lesson) (lines.Listener, error) {
	own := lessonOf(l)
	learned, err := Learn(own)
	for err == nil && len(learned.Asks) > 0 {
		for _, q := range learned.Asks {
			own.Words[q.Word] = Nothing
			if e, ok := l.Means(q.Word); ok {
				own.Words[q.Word] = Event(e)
			}
		}
		learned, err = Learn(own)
	}
	if err != nil {
		return nil, err
	}
	return &listener{NewReader(learned.Style, own.Points, own.Site)}, nil
}

func lessonOf(l lines.Lesson) Lesson {
	own := Lesson{Site: l.Site, Words: map[string]Event{}}
	for _, c := range l.Heard {
		own.Heard = append(own.Heard, Chunk(c))
	}
	for _, p := range l.Points {
		own.Points = append(own.Points, Point(p))
	}
	for _, e := range l.Examples {
		one := Example{From: e.From, To: e.To}
		for _, m := range e.Marks {
			one.Marks = append(one.Marks, Mark{m.From, m.To, roleOf(m.Role), Event(m.Event)})
		}
		own.Examples = append(own.Examples, one)
	}
	return own
}

func roleOf(r lines.Role) Role {
	return map[lines.Role]Role{
		lines.Day: Day, lines.Clock: Clock, lines.Loop: Loop, lines.Number: Number, lines.Sub: Sub, lines.Zone: Zone, lines.What: What, lines.Text: Text,
	}[r]
}

type listener struct{ r *Reader }

func (l *listener) Hear(at time.Time, b []byte) []lines.Answer { return answers(l.r.Hear(at, b)) }
func (l *listener) End() []lines.Answer                        { return answers(l.r.End()) }

func answers(all []Line) (out []lines.Answer) {
	for _, one := range all {
		a := lines.Answer{From: one.From, To: one.To, As: lines.Kept}
		if one.Why == Remark {
			a.As = lines.NoEvent
		}
		if h := one.Read; h != nil {
			a.As = lines.Understood
			if h.Time != "" {
				a.Wall = h.Date + "T" + h.Time
			}
			a.Loop, a.Number, a.Sub, a.Zone, a.Event, a.Text = h.Loop, h.Number, h.Sub, h.Zone, lines.Event(h.Event), h.Text
		}
		out = append(out, a)
	}
	return out
}

// total adds up what came of all styles.
type total struct{ whole, mangled lines.Tally }

// TestTwentyStyles plays the twenty styles of another mind after three marked lines each: of whole lines nothing may be wrong,
// and 99 of a hundred must be right. SOOTLINE_LONG plays ten thousand lines of three seeds.
func TestTwentyStyles(t *testing.T) {
	seeds, later := []uint64{41}, 60
	if os.Getenv("SOOTLINE_LONG") != "" {
		seeds, later = []uint64{61, 62, 63}, 500
	}
	for _, seed := range seeds {
		var all total
		for _, style := range lines.Styles() {
			all.play(t, style, later, seed)
		}
		t.Logf("seed %d, all styles: whole %+v; mangled %+v", seed, all.whole, all.mangled)
		if all.whole.Right*100 < all.whole.Events*99 || all.mangled.Wrong*200 > all.mangled.Events {
			t.Errorf("seed %d: %d of %d whole lines are right; of %d mangled ones %d are read wrong", seed, all.whole.Right, all.whole.Events, all.mangled.Events, all.mangled.Wrong)
		}
	}
}

// heardBefore is how many lines were heard when somebody marked three.
const heardBefore = 600

func (all *total) play(t *testing.T, style string, later int, seed uint64) {
	w := lines.Draw(style, heardBefore, later, seed)
	var taught *listener
	learn := func(l lines.Lesson) (lines.Listener, error) { // once for both plays, whose lessons are the same
		if taught == nil {
			heard, err := learner(l)
			if err != nil {
				return nil, err
			}
			taught = heard.(*listener)
			return taught, nil
		}
		again := taught.r
		return &listener{NewReader(again.style, again.reg.points, again.reg.zone)}, nil
	}
	whole, err := lines.Play(w, w.Later, learn, seed)
	if err != nil {
		t.Errorf("%s, seed %d: %v", style, seed, err)
		return
	}
	spoilt, err := lines.Play(w, w.Spoil(0.3, seed), learn, seed)
	if err != nil {
		t.Errorf("%s, seed %d: %v", style, seed, err)
		return
	}
	all.whole.Add(whole.Clean)
	all.mangled.Add(spoilt.Mangled)
	t.Logf("| %s | %d of %d | %d | %d | %d of %d | %d | %d |", style, whole.Clean.Right, whole.Clean.Events, whole.Clean.NotUnderstood+whole.Clean.Partial, whole.Clean.Wrong+whole.Clean.Lost,
		spoilt.Mangled.Right, spoilt.Mangled.Events, spoilt.Mangled.Wrong, whole.Asked)
	for _, s := range []*lines.Score{whole, spoilt} {
		if s.Clean.Wrong+s.Clean.Lost+s.Invented+s.Doubled+s.Marked+s.Mangled.Lost > 0 {
			t.Errorf("%s, seed %d: whole lines %+v, mangled %+v, invented %d, told twice %d, marked %d: %v", style, seed, s.Clean, s.Mangled, s.Invented, s.Doubled, s.Marked, s.Examples)
		}
	}
}
