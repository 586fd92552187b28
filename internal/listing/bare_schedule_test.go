package listing

import (
	"fmt"
	"testing"
)

// TestBareSchedules: a schedule without headings asks which numbers are loop and address, and the right answer is offered.
func TestBareSchedules(t *testing.T) {
	k := NewKnown()
	k.AddType("Larch")
	k.AddType("Elder")
	for _, c := range []struct{ text, answer, want string }{
		{"1;1;Larch;Flur;1\n1;2;Larch;Lager;1\n1;3;Elder;Heizung;2\n", "1=loop,2=address,5=zone", "1.1 Larch 1 Flur|1.2 Larch 1 Lager|1.3 Elder 2 Heizung"},
		{"Larch;1;1;Hall\nLarch;1;2;Stair\nElder;1;3;Loft\n", "2=loop,3=address", "1.1 Larch  Hall|1.2 Larch  Stair|1.3 Elder  Loft"},
		{"1;1;1;Larch;Couloir\n1;2;1;Larch;Cave\n1;3;2;Elder;Grenier\n", "1=loop,2=address,3=zone", "1.1 Larch 1 Couloir|1.2 Larch 1 Cave|1.3 Elder 2 Grenier"},
	} {
		table := openBytes(t, "a.csv", []byte(c.text)).All()[0]
		u, err := k.Understand(table, Profile{})
		must(t, err)
		q, open := u.Blocking()
		offered := false
		for _, choice := range q.Choices {
			offered = offered || choice.Value == c.answer
		}
		if !open || q.ID != AskPoint || !offered {
			t.Errorf("%s: %+v %s", c.text, u.Questions, u.KindWhy)
			continue
		}
		var p Profile
		must(t, p.Answer(AskPoint, c.answer))
		u, err = k.Understand(table, p)
		must(t, err)
		got := ""
		for r, bad := range u.Records(table) {
			if bad != nil {
				got += bad.Error()
				continue
			}
			got += fmt.Sprintf("|%s.%d %s %s %s", r.Schedule.Ref.Loop, r.Schedule.Ref.Address, r.Schedule.Type, r.Schedule.Zone, r.Schedule.Location)
		}
		if got != "|"+c.want || len(u.Questions) > 0 {
			t.Errorf("%s: %s %+v %s", c.text, got, u.Questions, u.KindWhy)
		}
	}
}
