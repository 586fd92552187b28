package listing

import (
	"fmt"
	"strings"
	"testing"
)

// fittedAt gives the points of a schedule, or the question, or the refusal.
func fittedAt(t testing.TB, k *Known, list string, p Profile) string {
	t.Helper()
	table := openBytes(t, "x.csv", []byte(list)).Tables()[0]
	u, err := k.Understand(table, p)
	if err != nil {
		t.Fatal(err)
	}
	if u.Refused {
		return "refused"
	}
	if q, open := u.Blocking(); open {
		return "asked " + q.ID
	}
	var out []string
	for r, bad := range u.Records(table) {
		if bad != nil {
			out = append(out, "refused")
			continue
		}
		out = append(out, fmt.Sprintf("%s.%s.%d", r.Schedule.Ref.Panel, r.Schedule.Ref.Loop, r.Schedule.Ref.Address))
	}
	return strings.Join(out, " ")
}

// References whose own shape speaks for a channel behind, or the address in front, are asked about.
func TestPartsOfReferences(t *testing.T) {
	loop1 := NewKnown()
	loop1.AddLoop("1", "1")
	for list, want := range map[string]string{
		"1.001.1 1.001.2 1.002": "asked ref_order", "1.073 1.073.1 1.073.2": "asked ref_order", "1/073 1/073/1": "asked ref_order",
		"001/2 002/2 003/2": "asked ref_order", "010.1 011.1 012.1": "asked ref_order",
		"1.001 1.002 1.003": ".1.1 .1.2 .1.3", "1.1.001 1.1.002": "1.1.1 1.1.2", "001/001 001/002": ".1.1 .1.2",
	} {
		text := "point,type,location\n" + strings.Join(strings.Fields(list), ",Larch,Hall\n") + ",Larch,Hall\n"
		if got := fittedAt(t, loop1, text, Profile{}); got != want {
			t.Errorf("%s: %s, want %s", list, got, want)
		}
	}
	text := "point,type,location\n1.001.1,Fenn,A\n1.001.2,Fenn,B\n1.002,Larch,C\n"
	if got := fittedAt(t, loop1, text, Profile{RefOrder: LoopAddressSub}); got != ".1.1 .1.1 .1.2" {
		t.Errorf("with channels behind: %s", got)
	}
	if got := fittedAt(t, loop1, "point,type,location\n001/2,Larch,A\n002/2,Larch,B\n", Profile{RefOrder: AddressLoop}); got != ".2.1 .2.2" {
		t.Errorf("with the address in front: %s", got)
	}
}

// One number behind two letters is two points only on a loop that counts them apart.
func TestOneNumberBehindTwoLetters(t *testing.T) {
	plain, apart := NewKnown(), NewKnown()
	plain.AddLoop("1", "1")
	apart.AddLoop("1", "1")
	apart.CountsApart("1")
	for _, c := range []struct{ list, plain, apart string }{
		{"loop,address,type,location\n1,D001,Larch,Hall\n1,D002,Larch,Stair\n1,M001,Fenn,Door\n", "refused", ".1.1 .1.2 .1.1"},
		{"loop,address,type,location\n1,S1,Larch,Hall\n1,S2,Larch,Stair\n1,M1,Fenn,Door\n", "refused", "refused"},
		{"Schleife,Adresse,Typ,Ort\n1,D001,Larch,Hall\n2,M001,Fenn,Door\n", ".1.1 .2.1", ".1.1 .2.1"},
		{"point,type,location\nL1D001,Larch,Hall\nL1M001,Fenn,Door\n", "refused", ".1.1 .1.1"},
		{"loop,address,type,location\n1,D001,Larch,Hall\n1,M002,Fenn,Door\n", ".1.1 .1.2", ".1.1 .1.2"},
	} {
		if got := fittedAt(t, plain, c.list, Profile{}); got != c.plain {
			t.Errorf("%q: %s, want %s", c.list, got, c.plain)
		}
		if got := fittedAt(t, apart, c.list, Profile{}); got != c.apart {
			t.Errorf("%q, counted apart: %s, want %s", c.list, got, c.apart)
		}
	}
}
