package address_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"sootline/internal/address"
)

// 93 is 1011101b: switches 1, 3, 4, 5 and 7 (common practice, no source).
func TestDrawSwitches(t *testing.T) {
	d := address.Device{
		Name: "1.2.093 (corridor)", Type: "Alpha", Location: "corridor by stair 2", Zone: "3", Order: 41, Wanted: 93, Found: 34,
		Setter: setter(t, "switches 7"), Wants: map[string]string{"sensitivity": "high", "blink": "off"},
	}
	want := strings.Join([]string{
		"== 093 ======================================== [ ] set  [ ] looked at again",
		"|  corridor by stair 2",
		"|  1.2.093 (corridor), type Alpha, zone 3, device 41 along the cable, found",
		"|  at 34",
		"|",
		"|  switch    1    2    3    4    5    6    7",
		"|      ON    ■    □    ■    ■    ■    □    ■",
		"|     OFF    □    ■    □    □    □    ■    □",
		"|  counts    1    2    4    8   16   32   64",
		"|  [ ] blink: off",
		"|  [ ] sensitivity: high",
		"",
	}, "\n")
	if diff := cmp.Diff(want, address.NewCard(d, span(1, 126)).Draw()); diff != "" {
		t.Error(diff)
	}
}

func TestDrawOtherSetters(t *testing.T) {
	for _, c := range []struct {
		setter string
		number int
		want   string
	}{
		{"dials 9", 37, "|  tens  (  3 )     units  ( 7 )\n"},
		{"dials 15", 126, "|  tens  ( 12 )     units  ( 6 )\n"},
		{"electronic", 37, "|  with the setter, or from the panel: 37\n"},
		{"base", 37, "|  coded part in the base: 37 (it stays when the head is swapped)\n"},
		{"unknown", 37, "|  set to 37 (how is not written down for this type)\n"},
		{"dials 9", 126, "|  ! number 126 cannot be set here: dials with tens to 9 reach 99 at most\n"},
		{"switches 7", 130, "|  ! number 130 cannot be set here: 7 switches reach 127 at most\n"},
		{"electronic", 0, "|  ! no number is planned for it yet\n"},
		{"electronic", 300, "|  ! number 300 is not one of the loop's numbers 1 to 200\n"},
	} {
		card := address.NewCard(address.Device{Name: "d", Wanted: c.number, Setter: setter(t, c.setter)}, span(1, 200))
		if got := card.Draw(); !strings.Contains(got, c.want) {
			t.Errorf("%s, %d:\n%s", c.setter, c.number, got)
		}
	}
}

func TestCardsInWalkOrder(t *testing.T) {
	l := line(span(1, 126), 1, 4, 1)
	l.Devices[0].Order, l.Devices[2].Order = 3, 1
	for i := range l.Devices {
		l.Devices[i].Wanted, l.Devices[i].Location = 60+10*i, "plant room"
	}
	l.Devices[1].Location = "hall"
	cards := address.Cards(l)
	var got []string
	for _, c := range cards {
		got = append(got, c.Name+" "+strings.Join(c.Warnings, ";"))
	}
	want := []string{"d3 2 devices have this location text: make sure that it is this one", "d2 ", "d1 2 devices have this location text: make sure that it is this one"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if !strings.HasPrefix(cards[1].Draw(), "== 070 to 073 ==") { // 4 wide
		t.Error(cards[1].Draw())
	}
}

// No line of any card is wider than 76 columns, and the switches drawn stand
// for the number.
func TestCardProperties(t *testing.T) {
	text := rapid.StringN(0, 200, -1)
	setters := rapid.SampledFrom([]string{"switches 7", "switches 8 high-first", "switches 8 on-is-zero", "dials 9", "dials 15", "electronic", "base", "unknown"})
	rapid.Check(t, func(t *rapid.T) {
		how, err := address.ParseSetter(setters.Draw(t, "setter"))
		if err != nil {
			t.Fatal(err)
		}
		d := address.Device{
			Name: text.Draw(t, "name"), Location: text.Draw(t, "location"), Type: text.Draw(t, "type"), Width: rapid.IntRange(0, 64).Draw(t, "width"),
			Wanted: rapid.IntRange(0, 9999).Draw(t, "wanted"), Setter: how, Wants: map[string]string{text.Draw(t, "setting"): text.Draw(t, "choice")},
		}
		c := address.NewCard(d, span(0, 250))
		for line := range strings.Lines(c.Draw()) {
			if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > 76 {
				t.Fatalf("%d columns: %q", n, line)
			}
		}
		n, on := 0, []bool{}
		for _, s := range c.Switches {
			if on = append(on, s.On); s.On != how.OnIsZero {
				n += s.Counts
			}
		}
		if len(on) > 0 && (n != d.Wanted || how.ReadSwitches(on) != d.Wanted) {
			t.Fatalf("%d is drawn as %d", d.Wanted, n)
		}
	})
}
