package address

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// The numbers of a small loop, laid out by hand.
func TestTables(t *testing.T) {
	l := Loop{Span: Span{First: 1, Last: 10, Unset: 10, Reserved: []int{9}}, Devices: []Device{
		{Wanted: 1},           // 0
		{Wanted: 2, Width: 3}, // 1: 2 to 4
		{Wanted: 4},           // 2: clashes at 4
		{Wanted: 6, Found: 7}, // 3: answers at 7
		{Wanted: 5, Found: 10},
		{},
		{Wanted: 12},
		{Wanted: 9},
	}}
	want := []Table{{
		Slots: []Slot{
			{1, 1, Taken, []int{0}},
			{2, 3, Taken, []int{1}},
			{4, 4, Clashing, []int{1, 2}},
			{5, 5, Free, nil},
			{6, 6, Free, nil},
			{7, 7, Taken, []int{3}},
			{8, 8, Free, nil},
			{9, 9, Reserved, []int{7}},
			{10, 10, UnsetOne, nil},
		},
		Outside: []int{6}, Unset: []int{4}, Without: []int{5},
	}}
	if diff := cmp.Diff(want, l.Tables()); diff != "" {
		t.Error(diff)
	}
	l = Loop{Span: Span{First: 1, Last: 3, Separate: true}, Devices: []Device{{Wanted: 1}, {Wanted: 1, Range: Modules}}}
	for i, table := range l.Tables() {
		if table.Slots[0].Standing != Taken || table.Slots[0].Devices[0] != i || int(table.Range) != i {
			t.Errorf("range %d: %+v", i, table.Slots[0])
		}
	}
}

// Slots cover every number once, and the devices of a slot answer to all of it.
func TestTablesCoverTheLoop(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Loop{Span: Span{First: rapid.IntRange(0, 3).Draw(t, "first"), Last: rapid.IntRange(4, 40).Draw(t, "last"), Unset: rapid.IntRange(0, 45).Draw(t, "unset")}}
		for range rapid.IntRange(0, 20).Draw(t, "devices") {
			l.Devices = append(l.Devices, Device{Wanted: rapid.IntRange(0, 50).Draw(t, "wanted"), Width: rapid.IntRange(0, 4).Draw(t, "width")})
		}
		next := l.Span.first()
		for _, slot := range l.Tables()[0].Slots {
			if slot.First != next || slot.Last < slot.First {
				t.Fatalf("slot %+v where %d comes next", slot, next)
			}
			next = slot.Last + 1
			for _, i := range slot.Devices {
				if d := l.Devices[i]; d.Wanted > slot.First || d.Wanted+d.width()-1 < slot.Last {
					t.Fatalf("device %+v does not answer to all of %+v", d, slot)
				}
			}
		}
		if next != l.Span.Last+1 {
			t.Fatalf("the slots end at %d", next-1)
		}
	})
}
