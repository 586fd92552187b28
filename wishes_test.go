package sootline

import (
	"fmt"
	"maps"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// The narrower wish wins, of equals the later, and an empty choice takes back the
// wish of the same words alone: held against asking every wish in turn.
func TestWishesAgreeWithAskingEach(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		entries := []Entry{
			testEntry(0, pointID(1), Fitted{Place: Place{Panel: "1", Loop: "1", Zone: "2", Area: "Attic"}, Type: "Larch"}),
			testEntry(0, pointID(2), Fitted{Place: Place{Panel: "1", Loop: "1", Area: "Hall"}, Type: "Larch"}),
		}
		type asked struct {
			point        ID
			wish         Wish
			name, choice string
		}
		var all []asked
		names := rapid.SampledFrom([]string{"blink", "Blink ", "mode"})
		for i := range rapid.IntRange(0, 14).Draw(t, "wishes") {
			one := asked{name: names.Draw(t, "name"), choice: rapid.SampledFrom([]string{"on", "off", ""}).Draw(t, "choice")}
			if rapid.Bool().Draw(t, "own") {
				one.point = pointID(rapid.IntRange(1, 2).Draw(t, "point"))
			} else {
				one.wish.Type = rapid.SampledFrom([]string{"", "larch", "Elm"}).Draw(t, "type")
				one.wish.Zone = rapid.SampledFrom([]string{"", "2", "3"}).Draw(t, "zone")
				one.wish.Area = rapid.SampledFrom([]string{"", "attic ", "Hall"}).Draw(t, "area")
			}
			one.wish.Settings = map[string]string{one.name: one.choice}
			all = append(all, one)
			entries = append(entries, testEntry(i+1, one.point, one.wish))
		}
		r := Fold(entries, epoch.AddDate(1, 0, 0))
		for _, p := range r.Points() {
			want, rank := map[string]string{}, map[string]int{}
			for level := 1; level <= 8; level++ { // the widest first
				own := map[string]map[string]string{}
				for _, one := range all {
					w := circle{TypeKey(one.wish.Type), areaKey(one.wish.Zone), areaKey(one.wish.Area)}
					mine := one.point == p.ID || one.point.Zero() &&
						(w.typ == "" || w.typ == TypeKey(p.Type)) && (w.zone == "" || w.zone == areaKey(p.Zone)) && (w.area == "" || w.area == areaKey(p.Area))
					if !mine || level == 8 != !one.point.Zero() || level < 8 && w.narrowness() != level {
						continue
					}
					if own[fmt.Sprint(w)] == nil {
						own[fmt.Sprint(w)] = map[string]string{}
					}
					own[fmt.Sprint(w)][settingKey(one.name)] = one.choice
				}
				for _, settings := range own {
					for name, choice := range settings {
						if choice != "" {
							want[name], rank[name] = choice, level
						}
					}
				}
			}
			got := map[string]string{}
			for _, w := range r.WishesOf(p) {
				got[settingKey(w.Name)] = w.Choice
				if of := map[int]string{1: OfType, 2: OfZone, 3: OfZone, 4: OfArea, 5: OfArea, 6: OfArea, 7: OfArea, 8: OfPoint}[rank[settingKey(w.Name)]]; of != w.Of {
					t.Fatalf("%s of %s is said to be of the %s, not %s", w.Name, p.Area, w.Of, of)
				}
			}
			if !maps.Equal(got, want) {
				t.Fatalf("%s: got %v, want %v", p.Area, got, want)
			}
		}
	})
}

func testEntry(minute int, point ID, body Body) Entry {
	at := epoch.Add(time.Duration(minute) * time.Minute)
	return Entry{ID: DerivedID(at, []byte(fmt.Sprint(minute, point))), Site: pointID(99), At: at, Noted: at.Add(time.Hour), By: "A. Tech", Station: "s", Point: point, Body: body}
}

// Whose wish it is must be said, once.
func TestWishOfNobodyIsRefused(t *testing.T) {
	some := map[string]string{"blink": "off"}
	for name, c := range map[string]struct {
		point ID
		body  Wish
		ok    bool
	}{
		"of nobody":        {ID{}, Wish{Settings: some}, false},
		"of an area":       {ID{}, Wish{Area: "Attic", Settings: some}, true},
		"of a point":       {pointID(1), Wish{Settings: some}, true},
		"of point and all": {pointID(1), Wish{Area: "Attic", Settings: some}, false},
		"of nothing":       {pointID(1), Wish{}, false},
		"without a name":   {pointID(1), Wish{Settings: map[string]string{" ": "off"}}, false},
	} {
		e := testEntry(0, c.point, c.body)
		if err := e.CheckNew(); (err == nil) != c.ok {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// How a point stands is the latest word, whatever is wanted; its reference is what is
// wanted, else how it stands.
func TestThreeNumbersAreKeptApart(t *testing.T) {
	p := pointID(1)
	log := []Entry{
		testEntry(0, p, Fitted{Place: Place{Panel: "1", Loop: "1"}}),
		testEntry(0, p, Addressed{Listed: 127}),
		testEntry(1, p, Addressed{Wanted: 14, Text: "planned"}),
		testEntry(2, p, Addressed{Set: 14, How: BySetter}),
		testEntry(3, p, Addressed{Found: 15, How: ByPanel}),
	}
	log[1].ID = DerivedID(epoch, []byte("listed"))
	for n, want := range []string{1: "1.1.127 127 listed  wanted 0 set 0", 2: "1.1.014 127 listed  wanted 14 set 0", 3: "1.1.014 14 set setter wanted 14 set 14", 4: "1.1.014 15 found panel wanted 14 set 14"} {
		if n == 0 {
			continue
		}
		point := Fold(log[:n+1], epoch.AddDate(1, 0, 0)).Points()[0]
		s := point.Stands
		if got := fmt.Sprintf("%s %d %s %s wanted %d set %d", point.Ref(), s.Number, s.As, s.How, point.Wanted, point.SetTo.Number); got != want {
			t.Errorf("after %d entries: %s, want %s", n+1, got, want)
		}
		if point.Number() != s.Number || s.By != "A. Tech" || s.Entry == nil {
			t.Errorf("after %d entries: %+v", n+1, s)
		}
		if s.As == AsListed && !s.At.Equal(log[1].Noted) {
			t.Errorf("listed with the point on %s, noted %s", s.At, log[1].Noted)
		}
	}
	// Of the same instant, what the station noted later is how it stands, whatever the ids.
	for _, first := range []string{"a", "b"} {
		found, set := testEntry(5, p, Addressed{Found: 7}), testEntry(5, p, Addressed{Set: 8})
		found.ID, set.ID = DerivedID(found.At, []byte(first)), DerivedID(set.At, []byte(map[string]string{"a": "b", "b": "a"}[first]))
		found.Seq, set.Seq = 1, 2
		if s := Fold([]Entry{log[0], found, set}, epoch.AddDate(1, 0, 0)).Points()[0].Stands; s.Number != 8 {
			t.Errorf("found and then set in one instant: %+v", s)
		}
	}
	if both := testEntry(0, p, Addressed{Set: 7, Found: 8}); both.CheckNew() == nil {
		t.Error("set and found otherwise in one entry is taken")
	}
	old := Fold([]Entry{log[0], testEntry(1, p, Addressed{Wanted: 5})}, epoch.AddDate(1, 0, 0)).Points()[0]
	if old.Stands != (Stated{}) || old.Wanted != 5 || old.Number() != 5 {
		t.Errorf("an old list: %+v", old.Stands)
	}
}
