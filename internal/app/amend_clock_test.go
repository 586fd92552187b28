package app

import (
	"bytes"
	"slices"
	"testing"
	"time"

	"sootline"
)

// A correction that was written in sight of another holds, whatever the clocks
// said, also in another book; taken back, the one before it holds again.
func TestLaterBySight(t *testing.T) {
	for name, clocks := range map[string][2]time.Duration{
		"clocks that are right":      {time.Hour, 2 * time.Hour},
		"an hour back at the second": {time.Hour, 0},
		"years ahead at the first":   {3 * 365 * 24 * time.Hour, time.Hour},
	} {
		t.Run(name, func(t *testing.T) {
			a, b := newApp(t, "laptop"), newApp(t, "tablet")
			site := addSite(t, a)
			take(t, a, site, files(t, map[string]string{"schedule.csv": schedule})+"/schedule.csv")
			e, err := a.AddEntry(t.Context(), site, Note{Point: "1.1.001", Body: sootline.Read{Samples: []float64{25}}})
			if err != nil {
				t.Fatal(err)
			}
			mustImport(t, b, exported(t, a, site))
			read := func(a *App) float64 { return register(t, a, site).Points()[0].Readings[0].Samples[0] }
			for i, each := range []*App{a, b} {
				each.Now = func() time.Time { return today.Add(clocks[i]) }
				if err := correctTo(each, t, site, e.ID, sootline.Read{Samples: []float64{31 + float64(i)}}); err != nil {
					t.Fatal(err)
				}
				mustImport(t, b, exported(t, a, site))
			}
			mustImport(t, a, exported(t, b, site))
			if read(a) != 32 || read(b) != 32 {
				t.Errorf("the second correction is 32, and the books hold %v and %v", read(a), read(b))
			}
			for _, f := range findings(register(t, a, site), sootline.NewLog(nil), today, today) {
				if f.Code == "corrected-twice" {
					t.Error("it knew of the first: ", f.Reason)
				}
			}
			s, err := a.Survey(t.Context(), site, a.Now())
			if err != nil {
				t.Fatal(err)
			}
			line, err := s.LogEntry(e.ID)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := a.Withdraw(t.Context(), site, Amendment{Entry: line.Amended.ID}); err != nil {
				t.Fatal(err)
			}
			if read(a) != 31 {
				t.Errorf("the second taken back, %v holds", read(a))
			}
		})
	}
}

// forgedLines are lines that are sealed as they should be, and that no station wrote.
func forgedLines(t *testing.T, station string, after sootline.Chain, entries ...sootline.Entry) *bytes.Buffer {
	t.Helper()
	var out bytes.Buffer
	for _, e := range entries {
		e.Station = station
		line, err := after.Seal(nil, &e)
		if err != nil {
			t.Fatal(err)
		}
		out.Write(append(line, '\n'))
	}
	return &out
}

// What seals well may still be nobody's word: in the name of this book's station,
// under the id of another entry, or about an entry that is nowhere.
func TestForgedImports(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	e, err := a.AddEntry(t.Context(), site, Note{Body: sootline.Note{Text: "theirs"}})
	if err != nil {
		t.Fatal(err)
	}
	heads, err := a.Book.Heads(t.Context(), site)
	if err != nil {
		t.Fatal(err)
	}
	entry := func(id sootline.ID, body sootline.Body) sootline.Entry {
		return sootline.Entry{ID: id, Site: site, At: today, Noted: today, By: "Nobody", Body: body}
	}
	fresh := func() sootline.ID { return sootline.NewID(today, a.Random()) }
	for name, file := range map[string]*bytes.Buffer{
		"own name, next line":     forgedLines(t, "laptop", heads["laptop"], entry(fresh(), sootline.Note{Text: "forged"})),
		"own name, a later line":  forgedLines(t, "laptop", sootline.Chain{Seq: 900}, entry(fresh(), sootline.Note{Text: "forged"})),
		"the id of another entry": forgedLines(t, "tablet", sootline.Chain{}, entry(e.ID, sootline.Note{Text: "something else"})),
		"takes back what is not":  forgedLines(t, "tablet", sootline.Chain{}, entry(fresh(), sootline.Withdrawn{Entry: fresh()})),
		"two of one id":           forgedLines(t, "tablet", sootline.Chain{}, entry(site, sootline.Note{Text: "a"}), entry(site, sootline.Note{Text: "b"})),
	} {
		if in, err := a.Import(t.Context(), file); sootline.ErrorCode(err) != sootline.Conflict {
			t.Errorf("%s: %+v, %v", name, in, err)
		}
	}
	altered := bytes.Replace(bytes.Join(exported(t, a, site), []byte("\n")), []byte("theirs"), []byte("Theirs"), 1)
	if in, err := a.Import(t.Context(), bytes.NewReader(altered)); sootline.ErrorCode(err) != sootline.Damaged {
		t.Errorf("a line that the book holds, altered: %+v, %v", in, err)
	}
	same := forgedLines(t, "tablet", sootline.Chain{}, entry(e.ID, e.Body), entry(fresh(), sootline.Withdrawn{Entry: e.ID}))
	if _, err := a.Import(t.Context(), same); err != nil {
		t.Error("what two stations noted alike: ", err)
	}
}

// A log that nothing signs, in the name of this machine's own station, is asked about in
// a book that knows nothing of it: it may be all that is left of a book that was lost.
func TestOwnLogWithoutItsBook(t *testing.T) {
	a, b := newApp(t, "laptop"), newApp(t, "laptop")
	site := addSite(t, a)
	note(t, a, site, "all that is left")
	lines := exported(t, a, site)
	unsigned := bytes.Join(slices.DeleteFunc(lines, func(line []byte) bool { return sootline.IsHeadLine(line) }), []byte("\n"))
	if _, err := b.Import(t.Context(), bytes.NewReader(unsigned)); sootline.ErrorCode(err) != sootline.Doubtful {
		t.Error("it is not asked about: ", err)
	}
	if in, err := b.ImportOwn(t.Context(), bytes.NewReader(unsigned)); err != nil || in.Added != 2 {
		t.Errorf("%+v, %v", in, err)
	}
	note(t, b, site, "and it goes on")
	if v := verified(t, b, site); len(v.Faults) > 0 {
		t.Error(v.Faults)
	}
	if _, err := a.ImportOwn(t.Context(), forgedLines(t, "laptop", sootline.Chain{Seq: 900}, sootline.Entry{ID: sootline.NewID(today, a.Random()), Site: site, At: today, Noted: today, Body: sootline.Note{Text: "forged"}})); sootline.ErrorCode(err) != sootline.Conflict {
		t.Error("lines of a station that signs here are taken on somebody's word: ", err)
	}
}

// Two books on one machine write as one station: they exchange their logs, and
// neither gives a number to a line that the other gave to another.
func TestTwoBooksOfOneMachine(t *testing.T) {
	a, b := newApp(t, "laptop"), newApp(t, "laptop")
	site := addSite(t, a)
	note(t, a, site, "first")
	for i := range 3 {
		mustImport(t, b, exported(t, a, site))
		note(t, a, site, "in one")
		note(t, b, site, "in the other")
		mustImport(t, a, exported(t, b, site))
		note(t, a, site, "again in one")
		for _, each := range []*App{a, b} {
			if v := verified(t, each, site); len(v.Faults) > 0 || v.Stations != 2 {
				t.Errorf("turn %d: %+v", i, v)
			}
		}
	}
	mustImport(t, b, exported(t, a, site))
	mustImport(t, a, exported(t, b, site))
	if n, m := register(t, a, site).Entries, register(t, b, site).Entries; n != m || n < 11 {
		t.Errorf("%d and %d entries", n, m)
	}
}
