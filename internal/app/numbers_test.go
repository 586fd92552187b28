package app

import (
	"context"
	"path/filepath"
	"testing"

	"sootline"
	"sootline/internal/address"
)

// A plan that is accepted and then set leaves nothing for check to find, and changes
// nothing when it is made again; until it is set, how the devices stand is found.
func TestAcceptedPlanPassesCheck(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	folder := files(t, map[string]string{
		"types.csv":    "name,kind,numbers,low,high,settings\nLarch,optical smoke,1,20,40,address=switches 7\nFenn,output module,4,,,\n",
		"schedule.csv": "loop,address,type,location,fitted on\n1,5,Larch,A,2023-01-01\n1,5,Larch,B,2023-01-01\n1,127,Larch,C,2023-01-01\n1,60,Fenn,D,2023-01-01\n1,62,Larch,E,2023-01-01\n",
	})
	take(t, a, site, filepath.Join(folder, "types.csv"), filepath.Join(folder, "schedule.csv"))
	ctx := context.Background()
	wrong := func() (n int) {
		_, findings, err := a.Check(ctx, site, today)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range findings {
			switch f.Code {
			case address.Twice, address.Unset, address.Outside, address.Missing:
				n++
			}
		}
		return n
	}
	if wrong() == 0 {
		t.Fatal("the schedule was meant to have faults")
	}
	plans, err := a.PlanNumbers(ctx, site, "1.1", NumberStyle{By: "cable"})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := a.AcceptNumbers(ctx, site, plans); err != nil {
		t.Fatal(err)
	}
	if wrong() == 0 {
		t.Error("nobody set anything, and nothing is wrong any more")
	}
	orders, err := a.OrderNumbers(ctx, site, "1.1")
	if err != nil || len(orders[0].Steps) < len(plans[0].Changes) {
		t.Fatalf("%d steps for %d changes: %v", len(orders[0].Steps), len(plans[0].Changes), err)
	}
	done := make([]int, len(orders[0].Steps))
	for i := range done {
		done[i] = i
	}
	if _, err := a.NoteSteps(ctx, site, orders[0], done); err != nil {
		t.Fatal(err)
	}
	if n := wrong(); n != 0 {
		t.Errorf("%d findings on the numbers after the plan was accepted and set", n)
	}
	if plans, err = a.PlanNumbers(ctx, site, "", NumberStyle{By: "cable"}); err != nil || len(plans[0].Changes) != 0 {
		t.Errorf("planned again, %d numbers would change (%v)", len(plans[0].Changes), err)
	}
	cards, err := a.NumberCards(ctx, site, "1.1", "")
	if err != nil || len(cards) != 5 || len(cards[0].Switches) != 7 {
		t.Errorf("%d cards, the first with %d switches (%v)", len(cards), len(cards[0].Switches), err)
	}
	if _, err := a.PlanNumbers(ctx, site, "", NumberStyle{By: "colour"}); sootline.ErrorCode(err) != sootline.Invalid {
		t.Errorf("an order that there is not: %v", err)
	}
}
