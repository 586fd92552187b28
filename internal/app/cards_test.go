package app

import (
	"context"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/address"
	"sootline/internal/demo"
	"sootline/internal/worlds/cards"
)

// Every number of every way of setting, held against a decoder of the picture that
// was written without this code.
func TestCardsAgainstAnotherReader(t *testing.T) {
	read := 0
	for _, how := range address.Setters() {
		bounds, known := cards.Ways()[how.String()]
		if how.How == address.Electronic || how.How == address.CodedBase {
			continue // without a picture: below
		}
		if !known {
			t.Errorf("the other reader does not know %s", how)
			continue
		}
		for n := max(bounds[0], 1); n <= bounds[1]; n++ {
			card := address.NewCard(address.Device{Name: "1.1", Wanted: n, Setter: how}, address.Span{First: 1, Last: 9999})
			svg := []byte(CardSVG(&card))
			if got, err := cards.Decode(svg, how.String()); err != nil || got != n {
				t.Fatalf("%s: %d is read as %d, %v", how, n, got, err)
			}
			if got, err := cards.Figures(svg); err != nil || got != n {
				t.Fatalf("%s: the figures of %d are read as %d, %v", how, n, got, err)
			}
			read++
		}
	}
	if want := 4*127 + 4*255 + 99 + 159; read != want {
		t.Errorf("%d cards were read, want %d", read, want)
	}
	for _, how := range []address.How{address.Electronic, address.CodedBase, address.Unknown} {
		for n := 1; n <= 999; n++ {
			card := address.NewCard(address.Device{Name: "1.1", Wanted: n, Setter: address.Setter{How: how}}, address.Span{First: 1, Last: 9999})
			if got, err := cards.Figures([]byte(CardSVG(&card))); err != nil || got != n {
				t.Fatalf("way %d: the figures of %d are read as %d, %v", how, n, got, err)
			}
		}
	}
}

func TestCardText(t *testing.T) {
	card := address.NewCard(address.Device{
		Name: "1.1.060 (Magnets)", Type: "Fenn", Location: "Magnets", Width: 4, Wanted: 60, Setter: address.Setter{How: address.Dials, TensTo: 15},
		Wants: map[string]string{"blink": "off"}, Wishes: []sootline.Wished{{Name: "blink", Choice: "off", Reason: "nobody sleeps beside a light"}},
	}, address.Span{First: 1, Last: 126})
	want := strings.Join([]string{
		"Setting card of 1.1.060 (Magnets)",
		"060                                                           takes 60 to 63",
		"Magnets",
		"1.1.060, type Fenn",
		"[ ] set  [ ] looked at again",
		"",
		"TENS     0   1   2   3   4   5  [6]  7   8   9  10  11  12  13  14  15",
		"UNITS   [0]  1   2   3   4   5   6   7   8   9",
		"",
		"[ ] blink: off",
		"    nobody sleeps beside a light",
	}, "\n")
	if got := strings.TrimRight(CardText(&card), "\n"); got != want {
		t.Errorf("%s", got)
	}
	for _, line := range strings.Split(CardText(&card), "\n") {
		if len([]rune(line)) > CardColumns {
			t.Errorf("%q is too wide", line)
		}
	}
}

// A type without words about how it is set is asked for; said once, its cards show
// it, the rest of its sheet stays, and saying it again adds nothing.
func TestSayHowSet(t *testing.T) {
	a, ctx := newApp(t, "laptop"), context.Background()
	site := addSite(t, a)
	folder := files(t, map[string]string{
		"types.csv":    "name,kind,numbers,low,high,settings\nLarch,optical smoke,1,20,40,blink=on/off\n",
		"schedule.csv": "loop,address,type,location\n1,5,Larch,A\n1,6,Larch,B\n1,60,Elder,D\n",
	})
	take(t, a, site, filepath.Join(folder, "types.csv"), filepath.Join(folder, "schedule.csv"))
	asked := func() string {
		_, asked, err := a.NumberCards(ctx, site, "", "")
		if err != nil {
			t.Fatal(err)
		}
		var names []string
		for i := range asked {
			names = append(names, asked[i].Type)
		}
		return strings.Join(names, " ")
	}
	if got := asked(); got != "Larch Elder" {
		t.Errorf("asked %q", got)
	}
	r, _ := a.Register(ctx, site, a.Now())
	if found := address.CheckHow(r); len(found) != 1 || len(found[0].Points) != 2 { // Elder has no sheet, which is told by itself
		t.Errorf("%+v", found)
	}
	for _, says := range [][2]string{{"larch", "switches 7"}, {"Larch", "switches 7"}, {"Elder", "dials 15"}} {
		if err := a.SayHowSet(ctx, site, says[0], says[1]); err != nil {
			t.Fatal(err)
		}
	}
	r, _ = a.Register(ctx, site, a.Now())
	if sheet := r.Sheet("Larch"); sheet.Kind != sootline.Smoke || sheet.Settings["blink"] != "on/off" || asked() != "" {
		t.Errorf("%+v %q", sheet, asked())
	}
	before, _ := a.Book.Entries(ctx, site)
	if err := a.SayHowSet(ctx, site, "Larch", "switches 7"); err != nil {
		t.Fatal(err)
	}
	if after, _ := a.Book.Entries(ctx, site); len(after) != len(before) {
		t.Error("said again, it is written again")
	}
	for _, bad := range [][2]string{{"Larch", "levers"}, {"Nosuch", "dials 9"}, {"", "dials 9"}} {
		if err := a.SayHowSet(ctx, site, bad[0], bad[1]); sootline.ErrorHint(err) == "" {
			t.Errorf("%q: %v", bad, err)
		}
	}
}

// Every type of the demo says how it is set, in several ways, and every number of it
// can be set so.
func TestDemoSaysHow(t *testing.T) {
	sums(t)
	for seed := range uint64(4) {
		r := registerOf(t, demo.Make(seed, today.Truncate(24*time.Hour)))
		ways := map[address.How]int{}
		for _, how := range address.TypeHows(r) {
			ways[how.Setter.How]++
		}
		if asked := address.HowAsked(r); len(asked) > 0 || len(ways) < 4 {
			t.Errorf("demo %d: %d types do not say how they are set; ways %v", seed, len(asked), ways)
		}
		cards, err := cardsOf(r)
		if err != nil || len(cards) < 200 {
			t.Fatal(len(cards), err)
		}
		for _, c := range cards {
			if picture := c.How == address.Switches || c.How == address.Dials; picture && len(c.Switches)+len(c.Dials) == 0 {
				t.Errorf("demo %d: %s: %q", seed, c.Name, c.Warnings)
			}
		}
	}
}

// Two devices with one location text are warned of wherever a card is asked for.
func TestCardOfOnePlace(t *testing.T) {
	a, ctx := newApp(t, "laptop"), context.Background()
	site := addSite(t, a)
	folder := files(t, map[string]string{
		"types.csv":    "name,kind,low,high,settings\nLarch,optical smoke,20,40,address=dials 15\n",
		"schedule.csv": "loop,address,type,location\n1,5,Larch,Hall\n1,6,Larch,Hall\n1,7,Larch,Store\n",
	})
	take(t, a, site, filepath.Join(folder, "types.csv"), filepath.Join(folder, "schedule.csv"))
	r, err := a.Register(ctx, site, a.Now())
	if err != nil {
		t.Fatal(err)
	}
	packed, err := cardsOf(r)
	if err != nil {
		t.Fatal(err)
	}
	for ref, want := range map[string]int{"1.1.005": 1, "1.1.006": 1, "1.1.007": 0} {
		one, _, err := a.NumberCards(ctx, site, "", ref)
		if err != nil || len(one) != 1 || len(one[0].Warnings) != want || len(one[0].Dials) != 2 || len(packed[one[0].ID].Warnings) != want {
			t.Errorf("%s: %+v %v", ref, one, err)
		}
	}
}
