package app

import (
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"sootline"
	"sootline/internal/listing"
)

const undoTypes = "name,kind,low,high\nLarch,optical smoke,20,40\nAsh-2,heat,,\n"

// saidBy writes what a register says of loops, types, spellings and points, with the
// entries behind readings and events.
func saidBy(t testing.TB, r *sootline.Register) string {
	t.Helper()
	flat := func(points []*sootline.Point) (flat []sootline.Point) {
		for _, p := range points {
			flat = append(flat, *p)
			flat[len(flat)-1].Defects = nil // they point back
		}
		return flat
	}
	text, err := json.MarshalIndent([]any{len(r.Defects()), flat(r.Points()), flat(r.Former()), flat(r.Strays()), r.Sheets(), r.Loops(), r.Aliases(), r.Events, r.Issued, r.Site}, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func undo(t testing.TB, a *App, site sootline.ID, act string, sure bool) *Undone {
	t.Helper()
	u, err := a.UndoTake(context.Background(), site, UndoWish{Act: act, Sure: sure})
	if err != nil {
		t.Fatal(err)
	}
	return u
}

// drawListing makes a listing that a site may be handed: of types, points, readings or
// events, some of which it knows already.
func drawListing(rng *rand.Rand) string {
	var b strings.Builder
	pick := func(of ...string) string { return of[rng.IntN(len(of))] }
	rows := 1 + rng.IntN(5)
	switch rng.IntN(4) {
	case 0:
		b.WriteString("name,kind,low,high\n")
		for range rows {
			fmt.Fprintf(&b, "%s,smoke,%d,%d\n", pick("Larch", "Birch", "Elm 3"), 10+rng.IntN(3), 30+rng.IntN(3))
		}
	case 1:
		b.WriteString("loop,address,type,area,location,fitted on\n")
		for range rows {
			fmt.Fprintf(&b, "1,%d,%s,%s,Room %d,20%02d-01-10\n", 1+rng.IntN(9), pick("Larch", "larch", "ash 2", "Lrach", "Elm"), pick("Hall", "Hal", "Attic"), rng.IntN(3), 20+rng.IntN(4))
		}
	case 2:
		b.WriteString("point,date,value,by\n")
		for range rows {
			fmt.Fprintf(&b, "1.00%d,2025-0%d-15,%d,%s\n", 1+rng.IntN(9), 1+rng.IntN(9), 21+rng.IntN(9), pick("B. Tech", "B. Tehc", "A. Tech"))
		}
	default:
		b.WriteString("point,date,event,cause\n")
		for range rows {
			fmt.Fprintf(&b, "1.00%d,2025-0%d-15,%s,%s\n", 1+rng.IntN(9), 1+rng.IntN(9), pick("alarm", "cleaned", "tested", "fault"), pick("", "cooking", "coking"))
		}
	}
	return b.String()
}

// TestTakeAndUndoFoldToTheRegisterBefore: whatever is taken in, taking it back gives the
// register before, taking that back gives the register after, and taking the same in
// again as well.
func TestTakeAndUndoFoldToTheRegisterBefore(t *testing.T) {
	sums(t)
	undone := 0
	for seed := range uint64(12) {
		rng := rand.New(rand.NewPCG(seed, 14))
		a := newApp(t, "laptop")
		clock := today
		a.Now = func() time.Time { clock = clock.Add(time.Second); return clock }
		site := addSite(t, a)
		folder := t.TempDir()
		takeIn := func(name, text string) *Outcome {
			path := filepath.Join(folder, name)
			if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
				t.Fatal(err)
			}
			in, err := a.Look(context.Background(), site, []string{path}, nil)
			if err != nil {
				t.Fatal(err)
			}
			defer in.Close() //nolint:errcheck // only read
			out, err := a.Take(context.Background(), site, in, TakeOptions{})
			if err != nil {
				t.Fatal(err)
			}
			return out
		}
		takeIn("types.csv", undoTypes)
		takeIn("points.csv", schedule)
		for n := range 8 {
			before := saidBy(t, register(t, a, site))
			name, text := fmt.Sprintf("list%d.csv", n), drawListing(rng)
			out := takeIn(name, text)
			if out.Act == nil {
				continue
			}
			after := saidBy(t, register(t, a, site))
			back := undo(t, a, site, out.Act.ID.String(), true)
			if diff := cmp.Diff(before, saidBy(t, register(t, a, site))); diff != "" {
				t.Fatalf("seed %d: after taking back\n%s\n%s", seed, text, diff)
			}
			undone++
			if n%2 == 0 {
				undo(t, a, site, back.Entry.ID.String(), true)
				if diff := cmp.Diff(after, saidBy(t, register(t, a, site))); diff != "" {
					t.Fatalf("seed %d: after taking that back\n%s\n%s", seed, text, diff)
				}
				continue
			}
			takeIn(name, text)
			if again := register(t, a, site); len(again.Points()) != strings.Count(after, `"Placed": true`)-len(again.Former()) {
				t.Fatalf("seed %d: taken in again, there are %d points\n%s", seed, len(again.Points()), text)
			}
		}
	}
	if undone < 30 {
		t.Errorf("only %d takes were taken back", undone)
	}
}

// TestUndoTellsWhatRestsOnIt: a take under later entries is taken back only where whoever
// does it is sure, and what it says rests on it is what does.
func TestUndoTellsWhatRestsOnIt(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	folder := files(t, map[string]string{"types.csv": undoTypes, "points.csv": schedule})
	types := take(t, a, site, filepath.Join(folder, "types.csv"))
	points := take(t, a, site, filepath.Join(folder, "points.csv"))
	ctx := context.Background()
	if _, err := a.AddEntry(ctx, site, Note{Point: "1.001", Body: sootline.Cleaned{Text: "dusty"}}); err != nil {
		t.Fatal(err)
	}
	for act, want := range map[*Outcome]string{
		types:  "3 points whose types would have no sheet",
		points: "1 later entry about 1 point that would be no more",
	} {
		name := act.Act.Body.(sootline.Taken).Name //nolint:forcetypeassert // it is one
		_, err := a.UndoTake(ctx, site, UndoWish{Act: name})
		if sootline.ErrorCode(err) != sootline.Doubtful || !strings.Contains(err.Error(), want) {
			t.Errorf("take %s: %v, want %q", name, err, want)
		}
		if would, err := a.LookAtUndo(ctx, site, UndoWish{Act: name}); err != nil || len(would.Resting) == 0 || would.Entry != nil {
			t.Errorf("take %s would be taken back: %+v %v", name, would, err)
		}
	}
	if got := len(register(t, a, site).Points()); got != 3 {
		t.Errorf("a refused undo left %d points", got)
	}
	undo(t, a, site, points.Act.ID.String(), true)
	if _, err := a.UndoTake(ctx, site, UndoWish{Act: points.Act.ID.String(), Sure: true}); sootline.ErrorCode(err) != sootline.Conflict {
		t.Errorf("taken back twice: %v", err)
	}
}

// TestWhoMayUndo: a take is taken back as its entries are: by its taker and a manager,
// and of somebody whom the book does not know by a manager alone.
func TestWhoMayUndo(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	folder := files(t, map[string]string{"points.csv": schedule})
	for _, c := range []struct {
		who  sootline.Actor
		want sootline.Code
	}{
		{sootline.Actor{Name: "C. Other", Role: sootline.Technician}, sootline.Forbidden},
		{sootline.Actor{Name: "B. Tech", Role: sootline.Reader}, sootline.Forbidden},
		{sootline.Actor{Name: "B. Tech", Role: sootline.Technician, Phone: true}, sootline.Forbidden},
		{sootline.Actor{Name: "B. Tech", Role: sootline.Technician}, ""},
		{sootline.Actor{Name: "D. Manager", Role: sootline.Manager}, ""},
	} {
		a.Who = sootline.Actor{Name: "B. Tech", Role: sootline.Technician, Station: "laptop"}
		out := take(t, a, site, filepath.Join(folder, "points.csv"))
		c.who.Station = "laptop"
		if a.Who = c.who; out.Act == nil {
			t.Fatalf("%+v: nothing was taken in", c.who)
		}
		_, err := a.UndoTake(context.Background(), site, UndoWish{Act: out.Act.ID.String(), Sure: true})
		if sootline.ErrorCode(err) != c.want {
			t.Errorf("%s as %s: %v, want %q", c.who.Name, c.who.Role, err, c.want)
		}
		if err != nil {
			a.Who = sootline.Actor{Name: "D. Manager", Role: sootline.Manager, Station: "laptop"}
			a.Who = sootline.Actor{Name: "B. Tech", Role: sootline.Technician, Station: "laptop"} // what a manager took back stays so
			undo(t, a, site, out.Act.ID.String(), true)
		}
	}
}

// TestTakeNamesItsFilesAndEntries: the entry of a take has the hash of its file, and its
// range holds what it wrote and nothing else.
func TestTakeNamesItsFilesAndEntries(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	folder := files(t, map[string]string{"points.csv": schedule})
	out := take(t, a, site, filepath.Join(folder, "points.csv"))
	said, _ := out.Act.Body.(sootline.Taken)
	if len(said.Files) != 1 || said.Files[0].Name != "points.csv" || said.Files[0].Bytes != int64(len(schedule)) || !sootline.PhotoName(said.Files[0].SHA256) {
		t.Errorf("it names %+v", said.Files)
	}
	if int(said.Last-said.First+1) != out.Added || said.Added[sootline.FittedKind] != 3 || !strings.Contains(said.Tables[0].Understood, `type in column "type"`) {
		t.Errorf("%d were added, it says %+v", out.Added, said)
	}
	if again := take(t, a, site, filepath.Join(folder, "points.csv")); again.Act != nil {
		t.Errorf("a take of nothing is told of: %+v", again.Act)
	}
}

// TestLearnedAnswersAreOffered: what was answered of a listing is offered for the next of
// the same headings, with its day and name, and not for one whose cells speak against it.
func TestLearnedAnswersAreOffered(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	folder := files(t, map[string]string{
		"types.csv": undoTypes, "points.csv": schedule,
		"one.csv":   "point,date,value,round\n1.001,03/04/2025,25,spring\n1.002,05/04/2025,26,spring\n",
		"two.csv":   "point,date,value,round\n1.001,03/05/2025,25,spring\n1.002,05/06/2025,26,spring\n",
		"three.csv": "point,date,value,round\n1.001,04/23/2025,25,spring\n1.002,05/24/2025,26,spring\n",
		"four.csv":  "point,date of look,value\n1.001,03/07/2025,25\n",
	})
	take(t, a, site, filepath.Join(folder, "types.csv"))
	take(t, a, site, filepath.Join(folder, "points.csv"))
	look := func(name string) *Intake {
		in, err := a.Look(context.Background(), site, []string{filepath.Join(folder, name)}, nil)
		if err == nil {
			err = a.Recall(context.Background(), site, in)
		}
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { in.Close() }) //nolint:errcheck // only read
		return in
	}
	first := look("one.csv")
	if first.Tables[0].Learned != nil {
		t.Fatalf("something was learned of nothing: %+v", first.Tables[0].Learned)
	}
	if err := first.Tables[0].Answer(listing.AskOrder, "dmy"); err != nil {
		t.Fatal(err)
	}
	out, err := a.Take(context.Background(), site, first, TakeOptions{})
	if err != nil {
		t.Fatal(err)
	}
	two := look("two.csv").Tables[0]
	if l := two.Learned; l == nil || l.Why != "" || l.By != "A. Tech" || l.Day != today.Format(time.DateOnly) || !strings.Contains(l.Says(), `{"date_order":"dmy"}`) {
		t.Fatalf("learned %+v", two.Learned)
	}
	if len(two.Questions) != 1 {
		t.Fatalf("offered, and %d questions are open", len(two.Questions))
	}
	if err := two.UseLearned(); err != nil || len(two.Questions) != 0 || !two.Learned.Used {
		t.Errorf("used: %v, %d questions open", err, len(two.Questions))
	}
	if l := look("three.csv").Tables[0].Learned; l == nil || !strings.Contains(l.Why, "another order") {
		t.Errorf("of cells in another order: %+v", l)
	}
	if l := look("four.csv").Tables[0].Learned; l != nil {
		t.Errorf("of other headings: %+v", l)
	}
	undo(t, a, site, out.Act.ID.String(), true)
	if l := look("two.csv").Tables[0].Learned; l != nil {
		t.Errorf("of a take that was taken back: %+v", l)
	}
}
