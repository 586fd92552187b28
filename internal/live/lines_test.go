package live

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"sootline/internal/worlds/lines"
)

// learner puts a lesson of the worlds into the words of the house.
func learner(l lines.Lesson) (lines.Listener, error) {
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
	learned, err := Learn(own)
	for err == nil && len(learned.Asks) > 0 {
		for _, q := range learned.Asks {
			own.Words[q.Word] = Nothing
			if e, ok := l.Means(q.Word); ok {
				own.Words[q.Word] = Event(e)
			}
			if os.Getenv("STYLE") != "" {
				fmt.Printf("ASK %q %s (%d) %q\n", q.Word, own.Words[q.Word], q.Count, q.Line)
			}
		}
		learned, err = Learn(own)
	}
	if err != nil {
		return nil, err
	}
	if os.Getenv("STYLE") != "" {
		fmt.Printf("STYLE %+v\n", *learned.Style)
	}
	return &listener{NewReader(learned.Style, own.Points, own.Site)}, nil
}

func roleOf(r lines.Role) Role {
	return map[lines.Role]Role{lines.Day: Day, lines.Clock: Clock, lines.Loop: Loop, lines.Number: Number, lines.Sub: Sub, lines.Zone: Zone, lines.What: What, lines.Text: Text}[r]
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
		} else if os.Getenv("KEPT") != "" {
			fmt.Printf("KEPT %s %q %s\n", one.Why, one.Shown, one.Word)
		}
		out = append(out, a)
	}
	return out
}

func TestScoreDev(t *testing.T) {
	styles := lines.Styles()
	if s := os.Getenv("STYLE"); s != "" {
		styles = strings.Fields(s)
	}
	for _, style := range styles {
		w := lines.Draw(style, 400, 500, 11)
		start := time.Now()
		s, err := lines.Play(w, w.Later, learner, 11)
		if err != nil {
			fmt.Printf("%-12s ERR %v\n", style, err)
			continue
		}
		sp, err := lines.Play(w, w.Spoil(0.3, 11), learner, 11)
		if err != nil {
			fmt.Printf("%-12s ERR %v\n", style, err)
			continue
		}
		fmt.Printf("%-12s right %d/%d partial %d kept %d wrong %d lost %d inv %d dbl %d asked %d | spoilt clean %d/%d wrong %d mangled right %d/%d wrong %d inv %d dbl %d %v %.1fs\n", style, s.Clean.Right, s.Clean.Events, s.Clean.Partial, s.Clean.NotUnderstood, s.Clean.Wrong, s.Clean.Lost, s.Invented, s.Doubled, s.Asked,
			sp.Clean.Right, sp.Clean.Events, sp.Clean.Wrong, sp.Mangled.Right, sp.Mangled.Events, sp.Mangled.Wrong, sp.Invented, sp.Doubled, sp.WrongIn, time.Since(start).Seconds())
		if os.Getenv("STYLE") != "" {
			for _, x := range append(s.Examples, sp.Examples...) {
				fmt.Println("   ", x)
			}
		}
	}
}

func TestPartial(t *testing.T) {
	if os.Getenv("STYLE") == "" {
		return
	}
	w := lines.Draw(os.Getenv("STYLE"), 400, 500, 11)
	l, _ := learner(w.Lesson(11))
	var at int64
	_ = at
	n := 0
	for _, c := range lines.Chunks(w.Later, 11) {
		for _, a := range l.Hear(c.At, c.Bytes) {
			if n++; n < 8 {
				fmt.Printf("%+v\n", a)
			}
		}
	}
	for _, r := range w.Later[:8] {
		fmt.Printf("%q %+v\n", r.Bytes, r.Truth)
	}
}
