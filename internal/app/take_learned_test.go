package app

import (
	"context"
	"path/filepath"
	"strings"
	"testing"

	"sootline"
	"sootline/internal/listing"
)

// desk is a book with a site, at which listings are taken in as texts.
type desk struct {
	*testing.T
	app  *App
	site sootline.ID
}

const deskTypes = "type,low,high\nLarch,20,40\nElder,10,30\n"

func newDesk(t *testing.T, schedule string) *desk {
	a := newApp(t, "laptop")
	d := &desk{t, a, addSite(t, a)}
	d.take("types.csv", deskTypes, TakeOptions{})
	if schedule != "" {
		d.take("points.csv", schedule, TakeOptions{})
	}
	return d
}

// look looks at a listing with what is fixed about it, and recalls what was learned.
func (d *desk) look(name, text string, fixed ...listing.Profile) *Intake {
	d.Helper()
	path := filepath.Join(files(d, map[string]string{name: text}), name)
	in, err := d.app.Look(context.Background(), d.site, []string{path}, fixed)
	if err == nil {
		err = d.app.Recall(context.Background(), d.site, in)
	}
	if err != nil {
		d.Fatal(err)
	}
	d.Cleanup(func() { in.Close() }) //nolint:errcheck // only read
	return in
}

func (d *desk) take(name, text string, opts TakeOptions, fixed ...listing.Profile) *Outcome {
	d.Helper()
	out, err := d.app.Take(context.Background(), d.site, d.look(name, text, fixed...), opts)
	if err != nil {
		d.Fatal(err)
	}
	return out
}

// saidOfRows gives all that is said of the tables of a take.
func saidOfRows(out *Outcome) string {
	var all []string
	for _, o := range out.Tables {
		for _, r := range append(o.Remarks, o.Troubles...) {
			all = append(all, r.Text)
		}
	}
	return strings.Join(all, "\n")
}

// TestConstantsAreOfOneListing: what a listing leaves out is not learned for the next one, whatever it is.
func TestConstantsAreOfOneListing(t *testing.T) {
	for field, said := range map[listing.Field]string{
		listing.Loop: "1", listing.By: "Q. Old", listing.Remark: "after cleaning", listing.Quantity: "sensitivity", listing.Panel: "1",
	} {
		d := newDesk(t, "loop,address,type\n1,1,Larch\n1,2,Larch\n2,1,Larch\n2,2,Larch\n")
		head := "loop,address,date,value,round\n"
		rows := "2,1,2024-11-10,26,spring\n2,2,2024-11-10,27,spring\n"
		if field == listing.Loop {
			head, rows = strings.TrimPrefix(head, "loop,"), strings.ReplaceAll(rows, "2,1,2024", "1,2024")
			rows = strings.ReplaceAll(rows, "2,2,2024", "2,2024")
		}
		if out := d.take("first.csv", head+rows, TakeOptions{}, listing.Profile{Constants: map[listing.Field]string{field: said}}); out.Act == nil {
			t.Fatalf("%s: nothing was taken: %s", field, saidOfRows(out))
		}
		if l := d.look("next.csv", head+strings.ReplaceAll(rows, "11-10", "11-20")).Tables[0].Learned; l != nil {
			t.Errorf("%s %q was learned: %s", field, said, l.Says())
		}
	}
}

// TestWhatIsOfOneListingStays: what was given for a listing holds beside what was learned of its source.
func TestWhatIsOfOneListingStays(t *testing.T) {
	d := newDesk(t, "loop,address,type\n1,1,Larch\n1,2,Larch\n2,1,Larch\n2,2,Larch\n")
	loop := func(name string) listing.Profile {
		return listing.Profile{Constants: map[listing.Field]string{listing.Loop: name}}
	}
	first := loop("1")
	first.DateOrder = listing.DMY
	d.take("first.csv", "address,date,value,round\n1,03/04/2025,26,spring\n", TakeOptions{}, first)
	next := d.look("next.csv", "address,date,value,round\n1,05/06/2025,26,autumn\n", loop("2")).Tables[0]
	if next.Learned == nil || next.Learned.Why != "" {
		t.Fatalf("learned %+v", next.Learned)
	}
	if err := next.UseLearned(); err != nil {
		t.Fatal(err)
	}
	for record, fault := range next.Records(next.Table) {
		if fault != nil || record.Reading.Ref.Loop != "2" || record.Reading.When.Month != 6 {
			t.Errorf("read as %+v, %v", record.Reading, fault)
		}
	}
}

// TestPlainHeadingsAreNoSource: headings that many lists have show no source, in any of the languages.
func TestPlainHeadingsAreNoSource(t *testing.T) {
	for _, head := range []string{"point,date,value", "Punkt,Datum,Wert", "repère,date,valeur", "punto,fecha,valor", "punto,data,valore", "punt,datum,waarde"} {
		d := newDesk(t, "loop,address,type\n1,1,Larch\n1,2,Larch\n")
		d.take("first.csv", head+"\n1.001,03/04/2025,26\n", TakeOptions{}, listing.Profile{DateOrder: listing.DMY})
		l := d.look("next.csv", head+"\n1.001,05/06/2025,26\n").Tables[0].Learned
		if l == nil || !strings.Contains(l.Why, "many sources") {
			t.Errorf("%s: learned %+v", head, l)
		}
	}
}
