package address_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"sootline"
	"sootline/internal/address"
)

func TestLoops(t *testing.T) {
	var b book
	b.add("", sootline.LoopFacts{Panel: "1", Loop: "2", First: 1, Last: 159, Reserved: []int{100}, Separate: true})
	b.add("", sootline.LoopFacts{Panel: "1", Loop: "3", First: 1, Last: 9})
	b.add("", sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: "Relay 4", Kind: sootline.Module, Width: 4}})
	b.add("", sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: "Iso", Kind: sootline.Isolator}})
	b.fit("rack", "relay 4", 60, 0)
	b.fit("hall", "Alpha", 5, 6)
	b.fit("shaft", "Iso", 0, 0)
	b.add("hall", sootline.Set{Wanted: map[string]string{"blink": "off"}, Found: map[string]string{"blink": "on"}})
	dials := address.Setter{How: address.Dials, TensTo: 15}
	r := sootline.Fold(b.entries, day.AddDate(1, 0, 0))
	loops := address.Loops(r, address.Rules{
		Setters: map[string]address.Setter{"relay 4": dials},
	})
	want := []address.Loop{
		{Name: "1.2", Span: address.Span{First: 1, Last: 159, Reserved: []int{100}, Separate: true}, Devices: []address.Device{
			{
				ID: sootline.DerivedID(day, []byte("hall")), Name: "1.2.005 (hall)", Type: "Alpha", Width: 1, Order: 7, Location: "hall", Wanted: 5, Found: 6, Seen: true,
				Wants: map[string]string{"blink": "off"}, Has: map[string]string{"blink": "on"},
			},
			{
				ID: sootline.DerivedID(day, []byte("rack")), Name: "1.2.060 (rack)", Type: "relay 4", Range: address.Modules, Width: 4, Order: 5,
				Location: "rack", Wanted: 60, Setter: dials,
			},
		}, Isolators: []int{9}},
		{Name: "1.3", Span: address.Span{First: 1, Last: 9}},
	}
	want[0].Devices[0].Wishes = r.WishesOf(r.Points()[1])
	if diff := cmp.Diff(want, loops); diff != "" {
		t.Error(diff)
	}
	if moves := loops[0].Moves(nil); moves[0].From != 6 || moves[0].To != 5 || moves[1].From != 0 || moves[1].Range != address.Modules || moves[1].Most != 159 {
		t.Errorf("moves %+v", moves)
	}
}
