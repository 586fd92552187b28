package address_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sootline/internal/address"
)

// 93 is 1011101b: switches 1, 3, 4, 5 and 7; 34 is 0100010b (common practice, no source).
func TestCardOfSwitches(t *testing.T) {
	d := address.Device{
		Name: "1.2.093 (corridor by stair 2)", Type: "Alpha", Location: "corridor by stair 2", Zone: "3", Order: 41, Wanted: 93, Found: 34,
		Setter: setter(t, "switches 7"), Wants: map[string]string{"sensitivity": "high", "blink": "off"}, Because: map[string]string{"blink": "bedroom"},
	}
	c := address.NewCard(d, span(1, 126))
	if got := c.About(); got != "1.2.093, type Alpha, zone 3, device 41 along the cable, found at 34" || c.NumberText() != "093" || c.Title() != d.Location {
		t.Error(got, c.NumberText(), c.Title())
	}
	want := []string{"what is ON counts: 64 + 16 + 8 + 4 + 1 = 93", "from 34 the switches 1, 2, 3, 4, 5, 6, 7 move"}
	if diff := cmp.Diff(want, c.Says); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]address.Setting{{"blink", "off", "bedroom"}, {"sensitivity", "high", ""}}, c.Settings); diff != "" {
		t.Error(diff)
	}
	d.Setter, d.Found = setter(t, "switches 8 on-is-zero"), 92
	c = address.NewCard(d, span(1, 126))
	if diff := cmp.Diff([]string{"what is OFF counts: 64 + 16 + 8 + 4 + 1 = 93", "from 92 only switch 1 moves"}, c.Says); diff != "" {
		t.Error(diff)
	}
}

func TestCardOfOtherSetters(t *testing.T) {
	for _, c := range []struct {
		setter string
		number int
		dials  []address.Dial
		want   string
	}{
		{"dials 9", 37, []address.Dial{{"TENS", 9, 3}, {"UNITS", 9, 7}}, ""},
		{"dials 15", 126, []address.Dial{{"TENS", 15, 12}, {"UNITS", 9, 6}}, ""},
		{"electronic", 37, nil, "with a hand-held setter, or from the panel: read back, it shall show 37"},
		{"base", 37, nil, "coded part in the base: 37 (it stays when the head is swapped)"},
		{"unknown", 37, nil, "set to 37; how is not written down for type Beta"},
		{"dials 9", 126, nil, "number 126 cannot be set here: dials with tens to 9 reach 99 at most"},
		{"switches 7", 130, nil, "number 130 cannot be set here: 7 switches reach 127 at most"},
		{"electronic", 0, nil, "no number is planned for it yet"},
		{"electronic", 300, nil, "number 300 is not one of the loop's numbers 1 to 200"},
	} {
		card := address.NewCard(address.Device{Name: "d", Type: "Beta", Wanted: c.number, Setter: setter(t, c.setter)}, span(1, 200))
		if diff := cmp.Diff(c.dials, card.Dials); diff != "" || c.want != "" && !slices.Contains(slices.Concat(card.Says, card.Warnings), c.want) {
			t.Errorf("%s %d: %s %q %q", c.setter, c.number, diff, card.Says, card.Warnings)
		}
	}
}

// Two devices with one location text keep their dials, and are warned of.
func TestCardsOfOnePlace(t *testing.T) {
	l := line(span(1, 126), 1, 1)
	for i := range l.Devices {
		l.Devices[i].Wanted, l.Devices[i].Location, l.Devices[i].Setter = 37+i, "plant room", setter(t, "dials 15")
	}
	for _, c := range address.Cards(l) {
		if len(c.Dials) != 2 || c.Dials[1].At != c.Number%10 || len(c.Warnings) != 1 {
			t.Errorf("%+v", c)
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
	if got := cards[1].NumberText() + " " + cards[1].Takes(); got != "070 takes 70 to 73" { // 4 wide
		t.Error(got)
	}
}

// Every number of every way of setting reads back from its card as a person reads
// it: what counts is added up, tens and units are put together.
func TestCardsReadBack(t *testing.T) {
	for _, how := range address.Setters() {
		for n := 1; n <= min(how.Most(), 300); n++ {
			c := address.NewCard(address.Device{Name: "d", Wanted: n, Setter: how}, span(1, 300))
			got := 0
			for _, s := range c.Switches {
				if s.On != how.OnIsZero {
					got += s.Counts
				}
			}
			if len(c.Dials) == 2 {
				got = 10*c.Dials[0].At + c.Dials[1].At
			}
			if picture := how.How == address.Switches || how.How == address.Dials; picture && got != n || len(c.Warnings) > 0 {
				t.Fatalf("%s: %d is drawn as %d %q", how, n, got, c.Warnings)
			}
		}
	}
}

func TestSettersAreTold(t *testing.T) {
	words := map[string]bool{}
	for _, how := range address.Setters() {
		again, err := address.ParseSetter(how.String())
		if err != nil || again != how || words[how.Words()] {
			t.Errorf("%s: %v %v %s", how, again, err, how.Words())
		}
		words[how.Words()] = true
	}
	if len(words) != 12 {
		t.Errorf("%d ways", len(words))
	}
}
