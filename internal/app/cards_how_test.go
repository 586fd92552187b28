package app

import (
	"context"
	"path/filepath"
	"strings"
	"testing"

	"sootline"
)

// A way of setting that nobody can read is not taken in; one that an older book holds
// stands in the way of the loops alone that have such devices, all of them told at once.
func TestUnreadableHow(t *testing.T) {
	a, site := benchSite(t, 2)
	ctx := context.Background()
	folder := files(t, map[string]string{"more.csv": "name,kind,numbers,low,high,settings\nOak,heat,1,20,40,address=switches 9\nElm,heat,1,20,40,address=dials 9\n"})
	in, err := a.Look(ctx, site.ID, []string{filepath.Join(folder, "more.csv")}, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close() //nolint:errcheck // it was only read
	took, err := a.Take(ctx, site.ID, in, TakeOptions{})
	if err != nil || len(took.Tables) != 1 || took.Tables[0].Left != 1 || !strings.Contains(took.Tables[0].Troubles[0].Text, "7 or 8 switches") {
		t.Fatalf("%+v, %v", took, err)
	}
	if r := register(t, a, site.ID); r.Sheet("Oak") != nil || r.Sheet("Elm") == nil {
		t.Error("the sheets that were taken in are others")
	}
	if err := a.SetSheet(ctx, site.ID, sootline.TypeSheet{Name: "Oak", Settings: map[string]string{"address": "twelve"}}); sootline.ErrorCode(err) != sootline.Invalid {
		t.Errorf("a sheet by hand: %v", err)
	}
	bad := func(name string) sootline.Entry {
		return a.entry(site.ID, sootline.LongAgo, sootline.ID{}, sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: name, Settings: map[string]string{"address": "twelve"}}})
	}
	if err := a.add(ctx, site.ID, bad("Oak"), bad("Yew")); err != nil {
		t.Fatal(err)
	}
	if _, err := a.PlanNumbers(ctx, site.ID, "", NumberStyle{By: "cable"}); err != nil {
		t.Errorf("nobody has such devices: %v", err)
	}
	var entries []sootline.Entry
	for i, name := range []string{"Oak", "Yew"} {
		p := sootline.DerivedID(today, []byte(name))
		entries = append(entries, a.entry(site.ID, sootline.LongAgo, p, sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "2", Order: i + 1}, Type: name}),
			a.entry(site.ID, sootline.LongAgo, p, sootline.Addressed{Wanted: i + 1}))
	}
	if err := a.add(ctx, site.ID, entries...); err != nil {
		t.Fatal(err)
	}
	if _, err := a.PlanNumbers(ctx, site.ID, "1.1", NumberStyle{By: "cable"}); err != nil {
		t.Errorf("the other loop has such devices: %v", err)
	}
	_, err = a.PlanNumbers(ctx, site.ID, "1.2", NumberStyle{By: "cable"})
	if err == nil || !strings.Contains(err.Error(), "Oak") || !strings.Contains(err.Error(), "Yew") {
		t.Errorf("both are told: %v", err)
	}
}
