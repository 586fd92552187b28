package fault

import (
	"math"
	"slices"
	"strings"
	"testing"

	"sootline/internal/circuit"
)

// ringWith is a ring of so many devices, some of them isolators, ten metres apart, with two points on a spur at the first.
func ringWith(t *testing.T, n int, isolators ...int) Ring {
	t.Helper()
	end, cable := circuit.End{Volts: 24, Plus: 0.5, Minus: 0.5}, circuit.Cable{Metres: 10, Plus: 0.5, Minus: 0.5}
	l := circuit.Loop{Name: "1.1", Out: end, In: end, Return: cable}
	point := func(k int, spur string) {
		l.Points = append(l.Points, circuit.Point{Name: name(k), Spur: spur, Cable: cable, Rest: circuit.In(0.0003)})
	}
	for k := range n {
		point(k+1, "")
	}
	point(n+1, name(1))
	point(n+2, name(1))
	for _, k := range isolators {
		l.Isolators = append(l.Isolators, circuit.Isolator{Point: name(k), Side: circuit.Base})
	}
	r, err := RingOf(&l, Supply{Low: 24, Usual: 24, High: 24})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func name(k int) string { return "1.1." + string([]byte{'0', byte('0' + k/10), byte('0' + k%10)}) }

// follow tells a search what the panel says and some steps.
func follow(t *testing.T, r Ring, panel string, told ...string) *Search {
	t.Helper()
	a, err := r.Panel(panel)
	if err != nil {
		t.Fatal(err)
	}
	s, err := New(r, a, Means{Meter: true})
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range told {
		asked, err := r.Told(text)
		if err != nil {
			t.Fatal(err)
		}
		s.Record(asked)
	}
	return s
}

// TestPutsBack: a step begins by plugging in what the one before left unplugged, leaves what it needs, and the end puts all back.
func TestPutsBack(t *testing.T) {
	r := ringWith(t, 24, 8, 16)
	s := follow(t, r, "all; says earth", "off/1.1.022/minus-earth-in: over")
	moved := s.Do(Step{OpenAt: 14, Feed: Off, Look: AtOhms})
	if moved[0] != "Plug the cable behind 1.1.022 in again." || !slices.Contains(moved, "Unplug the cable behind 1.1.015, the one that leads on towards IN.") {
		t.Errorf("%q", moved)
	}
	stays := strings.Join(s.Do(Step{OpenAt: 21, Feed: Off, Look: AtOhms}), " ")
	if !strings.Contains(stays, "Leave the cable behind 1.1.022 unplugged.") || strings.Contains(stays, "in again") {
		t.Errorf("%q", stays)
	}
	if end := s.Restore(); len(end) != 2 || !strings.Contains(end[1], "Plug both ends") {
		t.Errorf("%q", end)
	}
	if end := follow(t, r, "all; says earth", "both/trace=IN: nothing").Restore(); end != nil {
		t.Errorf("nothing is unplugged: %q", end)
	}
	if c := Caution(Step{OpenAt: None, Feed: Both}); c != "" {
		t.Errorf("nothing is unplugged: %q", c)
	}
}

// earthOn answers what a meter shows of an earth fault of the plus core on a stretch.
func earthOn(r *Ring, stretch int, passes bool, s *Step) Answer {
	c := Cause{Kind: Earth, At: stretch, Other: None, passes: passes, believed: r.believe(Earth)}
	c.mean[ofFault] = 3
	a := unread()
	switch f := r.reach(&c, s); s.Look {
	case AtPanel:
		told := r.panel(&c, s)
		a.Message = told.message
		for k := range r.Devices {
			a.Answers = append(a.Answers, told.answers(k))
		}
	case AtVolts, AtOhms:
		w := walk{r, &c, &f, &c.mean}
		x, _ := w.value(s, quantities(s.Look)[0])
		a.Volts, a.Ohms = x, x
	case AtStretch:
		if s.At == stretch {
			a.Found = Earth
		}
	}
	return a
}

// TestEarthBeyondIsolators: an earth fault of the plus core is found whether the isolators of the loop let a meter through
// while nothing is fed or not.
func TestEarthBeyondIsolators(t *testing.T) {
	for _, passes := range []bool{false, true} {
		right, hunts := 0, 0
		for stretch := 0; stretch <= 24; stretch += 3 {
			r := ringWith(t, 24, 8, 16)
			s := follow(t, r, "all; says earth")
			step, v := s.Next()
			for v == nil {
				s.Record(Asked{step, earthOn(&s.ring, stretch, passes, &step)})
				step, v = s.Next()
			}
			if hunts++; v.Kind == Earth && v.At == stretch && !v.Contradicted {
				right++
			} else if v.Sure > 0.97 && !v.Contradicted {
				t.Errorf("passes %v, stretch %d: %s, after %d", passes, stretch, r.Say(*v), len(s.asked))
			}
		}
		if right < hunts-1 {
			t.Errorf("passes %v: %d of %d right", passes, right, hunts)
		}
	}
}

// TestDeadOrWrongNumber: volts at a silent device do not tell a dead one from one with a number of nobody; a look does.
func TestDeadOrWrongNumber(t *testing.T) {
	r := ringWith(t, 24, 8, 16)
	s := follow(t, r, "says missing; silent 7", "both/volts-in=1.1.007: 23.9")
	if step, v := s.Next(); v != nil || step.Look != AtDevice || step.At != 6 {
		t.Errorf("%+v, %+v", step, v)
	}
	s = follow(t, r, "says missing; silent 7", "both/volts-in=1.1.007: 23.9", "both/look=1.1.007: wrong number")
	if _, v := s.Next(); v == nil || v.Kind != Misset || v.At != 6 || v.Contradicted {
		t.Errorf("%+v", v)
	}
	s = follow(t, r, "says missing; silent 7", "both/volts-in=1.1.007: 23.9", "both/look=1.1.007: nothing")
	if v := s.Likeliest(1)[0]; v.Sure > 0.9 {
		t.Errorf("nothing is seen, and yet: %s", r.Say(v))
	}
}

// TestTwoFaults: two breaks, two breaks of three, and a break beside a stuck isolator are not said to be one fault.
func TestTwoFaults(t *testing.T) {
	r := ringWith(t, 26, 8, 16)
	for _, c := range []struct {
		panel string
		told  []string
	}{
		{"silent 6-19; says open", []string{"in/list: silent 1-19", "out/list: silent 6-26"}},
		{"silent 6-19; says open", []string{"in/list: silent 1-19"}},
		{"silent 3-20; says open", []string{"out/list: silent 3-26"}},
		{"silent 9-12; says open", []string{"out/list: silent 9-26", "in/list: silent 1-12"}},
	} {
		s := follow(t, r, c.panel, c.told...)
		if v := s.Likeliest(1)[0]; s.Beyond() < 0.9 || v.Sure > 0.1 {
			t.Errorf("%s %q: %s, beyond %.3f", c.panel, c.told, r.Say(v), s.Beyond())
		}
		if _, v := s.Next(); v != nil && !v.Contradicted {
			t.Errorf("%s %q ends with %s", c.panel, c.told, r.Say(*v))
		}
	}
	s := follow(t, r, "says open; all", "in/list: silent 1-19; says nothing", "out/list: silent 20-26; says nothing")
	if s.Beyond() > 0.01 {
		t.Errorf("one break: beyond %.3f", s.Beyond())
	}
}

// TestNotThereNow: a loop on which nothing is wrong now comes to an end, and is said to be so.
func TestNotThereNow(t *testing.T) {
	r := ringWith(t, 24, 8, 16)
	for _, panel := range []string{"says open; all", "says nothing; all", "says earth", "says short; silent 9-15"} {
		s := follow(t, r, panel)
		step, v := s.Next()
		for v == nil {
			a := unread()
			switch f := (reach{closed: true}); step.Look {
			case AtPanel:
				a = healthy(&s.ring, &step)
			case AtVolts, AtOhms:
				c := Cause{Kind: gone, Other: None, believed: r.believe(gone)}
				f = s.ring.reach(&c, &step)
				w := walk{&s.ring, &c, &f, &c.mean}
				a.Volts, _ = w.value(&step, quantities(step.Look)[0])
				a.Ohms = a.Volts
			}
			if s.Record(Asked{step, a}); len(s.asked) > 8 {
				t.Fatalf("%q: no end after %d steps: %+v, beyond %.2f", panel, len(s.asked), s.Likeliest(3), s.Beyond())
			}
			step, v = s.Next()
		}
		if !v.Kind.Gone() || v.Sure < 0.8 {
			t.Errorf("%q ends after %d with %s", panel, len(s.asked), r.Say(*v))
		}
	}
}

// healthy is what the panel tells of a loop on which nothing is wrong.
func healthy(r *Ring, s *Step) Answer {
	told := r.panel(&Cause{Kind: gone, Other: None}, s)
	a := unread()
	a.Message = told.message
	for k := range r.Devices {
		a.Answers = append(a.Answers, told.answers(k))
	}
	return a
}

// TestWordsOfPeople: what a technician writes is read, and what hangs on a spur is left aside.
func TestWordsOfPeople(t *testing.T) {
	r := ringWith(t, 24, 8, 16)
	silent, err := r.Panel("silent 13-20")
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{"SILENT 13-20", "missing 13-20", "devices missing 13 to 20", "Silent 13 - 20", "silent 13-20,25", "silent 1.1.13-1.1.20", "answers 1-12,21-24,25,26", "answers 1-12 and 21-24"} {
		if a, err := r.Panel(text); err != nil || !slices.Equal(a.Answers, silent.Answers) {
			t.Errorf("%q: %v, %v", text, a.Answers, err)
		}
	}
	if a, err := r.Panel("earth fault; out 42,5 mA"); err != nil || a.Message != SaysEarth || a.OutMA != 42.5 {
		t.Errorf("%+v, %v", a, err)
	}
	if a, err := r.Panel("double address 12"); err != nil || a.Twice != 11 || a.Message != SaysDouble {
		t.Errorf("%+v, %v", a, err)
	}
	for _, text := range []string{"both/volts-in=1.1.7: 23,9 V", "both/volts-in=1.1.007: 23.9"} {
		if a, err := r.Told(text); err != nil || a.Answer.Volts != 23.9 || a.Step.At != 6 {
			t.Errorf("%q: %+v, %v", text, a, err)
		}
	}
	for _, text := range []string{"silent 30", "answers 1-5,99", "out 4,2,1", "sings 3", "silent 9-8"} {
		if a, err := r.Panel(text); err == nil {
			t.Errorf("%q is taken: %+v", text, a)
		}
	}
	if says := r.Say(Verdict{Kind: Double, At: 6, Other: 11, Sure: 0.99}); !strings.HasPrefix(says, "the device at 1.1.007 carries the number of 1.1.012") {
		t.Error(says)
	}
	if math.IsNaN(follow(t, r, "").Beyond()) {
		t.Error("nothing was told, and what lies beyond is no number")
	}
}

// TestEarthToldByHand: a search in which the isolators let the meter through, and whose readings say so, is not sure of a
// stretch that the fault is not on.
func TestEarthToldByHand(t *testing.T) {
	r := ringWith(t, 24, 8, 16)
	s := follow(t, r, "all; says earth", "off/plus-earth-in: 13.8", "off/1.1.022/minus-earth-in: over", "off/1.1.015/minus-earth-in: over",
		"off/1.1.015/minus-earth-out: over", "off/1.1.015/plus-earth-out: over", "off/1.1.007/plus-earth-out: over", "off/1.1.007/plus-earth-in: 10.3")
	for _, v := range s.Likeliest(3) {
		if v.Kind == Earth && v.At < 16 && v.Sure > 0.5 {
			t.Errorf("the earth fault lies beyond 1.1.016: %s", r.Say(v))
		}
	}
}
