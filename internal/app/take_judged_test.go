package app

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"errors"
	"fmt"
	"os"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"sootline"
	"sootline/internal/listing"
	"sootline/internal/worlds/listings"
)

// takeJudged takes a made listing in as the command does with --yes, without a book.
func takeJudged(site []sootline.Entry, name string, data []byte) (out listings.Outcome, err error) {
	var drawn uint64
	a := &App{
		Who: sootline.Actor{Name: "A. Clerk", Role: sootline.Manager, Station: "desk"},
		Now: func() time.Time { return time.Date(2026, 11, 30, 12, 0, 0, 0, time.UTC) },
		Random: func() (tail [10]byte) {
			drawn++
			binary.BigEndian.PutUint64(tail[2:], drawn)
			return tail
		},
	}
	log := sootline.NewLog(slices.Clone(site))
	r := log.Fold(Always)
	in := &Intake{known: knownOf(r)}
	if err := in.open(name, bytes.NewReader(data), int64(len(data)), nil); err != nil {
		return listings.Outcome{Exit: 3, Refused: []string{err.Error()}}, nil
	}
	if err := in.knowSchedules(r); err != nil {
		return out, err
	}
	in.leaveCovers()
	t := a.newTaker(site[0].Site, log, TakeOptions{})
	t.emit = func(e sootline.Entry) error {
		out.Written = append(out.Written, e)
		return nil
	}
	took, err := t.takeAll(in)
	if err != nil {
		return out, err
	}
	out.Written = meant(out.Written)
	return judgedOutcome(in, took, out), nil
}

// meant gives entries with each type as the aliases among them say that it is meant, since the truth speaks of devices and
// not of spellings.
func meant(written []sootline.Entry) (all []sootline.Entry) {
	means := map[string]string{}
	for i := range written {
		if a, ok := written[i].Body.(sootline.Alias); ok && a.Of == sootline.AliasType {
			means[sootline.TypeKey(a.Said)] = a.Means
		}
	}
	for _, e := range written {
		switch body := e.Body.(type) {
		case sootline.Alias:
			continue
		case sootline.Fitted:
			body.Type = cmp.Or(means[sootline.TypeKey(body.Type)], body.Type)
			e.Body = body
		}
		all = append(all, e)
	}
	return all
}

func judgedOutcome(in *Intake, took *Outcome, out listings.Outcome) listings.Outcome {
	for _, table := range in.Tables {
		for _, q := range table.Questions {
			out.Questions = append(out.Questions, q.Text)
		}
		for _, c := range table.Columns {
			if c.Field == listing.Unused && c.Filled > 0 {
				out.Told = append(out.Told, fmt.Sprintf("column %s %q: %s", c.Letter(), c.Heading, c.Why))
			}
		}
		for _, s := range table.Skipped {
			out.Told = append(out.Told, fmt.Sprintf("%d x %s, first in row %d", s.Count, s.Why, s.First))
		}
	}
	for _, o := range took.Tables {
		out.RowsRefused += o.Left
		for _, r := range o.Remarks {
			out.Told = append(out.Told, o.Table.Place(r.Line)+": "+r.Text)
		}
	}
	for _, note := range took.Notes {
		out.Told = append(out.Told, note.Text)
	}
	for _, table := range took.Skipped {
		if table.Refused {
			out.Refused = append(out.Refused, table.KindWhy)
		}
		out.Told = append(out.Told, table.KindWhy)
	}
	for _, e := range Effects() { // each is asked at every face, and --yes is no answer
		if n := took.Undone(e).Held; n > 0 {
			out.Questions = append(out.Questions, e.Ask(n))
		}
	}
	switch {
	case len(out.Questions) > 0:
		out.Exit = 1
	case out.RowsRefused+len(out.Refused) > 0 && len(out.Written) == 0:
		out.Exit = 3
	}
	return out
}

// judgeMany has made listings taken in, on all processors.
func judgeMany(t testing.TB, first uint64, n int) []listings.Verdict {
	t.Helper()
	workers := runtime.GOMAXPROCS(0)
	parts, errs := make([][]listings.Verdict, workers), make([]error, workers)
	var wait sync.WaitGroup
	for w := range workers {
		wait.Go(func() {
			from, to := n*w/workers, n*(w+1)/workers
			parts[w], errs[w] = listings.Run(takeJudged, first+uint64(from), to-from)
		})
	}
	wait.Wait()
	if err := errors.Join(errs...); err != nil {
		t.Fatal(err)
	}
	return slices.Concat(parts...)
}

// judgedPage is what -update publishes, of as many listings as SOOTLINE_LISTINGS says.
const judgedPage = "../../docs/methods/score-intake.md"

const judgedHead = `# How made listings are taken in

Written by ` + "`SOOTLINE_LISTINGS=%[1]d go test ./internal/app -run TestJudged -update`" + `: %[1]d listings of internal/worlds/listings,
by their seeds from 1 on, each taken in with --yes and held against the truth that it was made from. The maker was
written by another mind than the readers, from what people hand over. *Right*: all that is true was written, and nothing asked. *Must ask*:
something is open in it that nobody could know, so that asking or refusing is all that can be right. *Lost*: something
true was neither written nor spoken of by its place. *Misread*: something was written that the listing does not say.

`

// askedFor gives a whole number of the environment.
func askedFor(t *testing.T, name string, otherwise int) int {
	t.Helper()
	text := os.Getenv(name)
	if text == "" {
		return otherwise
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 {
		t.Fatalf("%s=%s is not a number from 1 on", name, text)
	}
	return n
}

// TestJudged takes made listings in, as many as SOOTLINE_LISTINGS says from the seed SOOTLINE_LISTINGS_FROM on, or a sample:
// none is misread.
func TestJudged(t *testing.T) {
	sums(t)
	n, first := askedFor(t, "SOOTLINE_LISTINGS", 400), askedFor(t, "SOOTLINE_LISTINGS_FROM", 1)
	if *update && first != 1 {
		t.Fatal("the page says that its seeds are from 1 on")
	}
	verdicts := judgeMany(t, uint64(first), n)
	counts := map[listings.Class]int{}
	for _, v := range verdicts {
		counts[v.Class]++
		if v.Class == listings.Misread || v.Class == listings.Lost {
			t.Logf("seed %d, %s in %s as %s, %v: %s", v.Seed, v.Layout, v.Language, v.Format, v.Spoilings, v)
		}
	}
	share := func(c listings.Class) float64 { return 100 * float64(counts[c]) / float64(n) }
	t.Logf("of %d: %v", n, counts)
	if counts[listings.Misread] > 0 || share(listings.Lost) > 0.5 || share(listings.Right) < 85 || share(listings.Asked) > 12 || share(listings.Refused) > 3 {
		t.Errorf("of %d: %v", n, counts)
	}
	if *update {
		page := fmt.Sprintf(judgedHead, n) + strings.TrimSpace(listings.Report(verdicts)) + "\n"
		if err := os.WriteFile(judgedPage, []byte(page), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// Each case that was written by hand is taken as is right.
func TestJudgedCases(t *testing.T) {
	sums(t)
	cases, err := listings.Cases()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range cases {
		out, err := takeJudged(c.Listing.Site, c.Listing.Name, c.Listing.Data)
		if err != nil {
			t.Fatal(err)
		}
		if v := listings.Score(c.Listing, out); !slices.Contains(c.Wants, v.Class) {
			t.Errorf("%s: %s, expected %v: %s", c.Name, v, c.Wants, c.Says)
		}
	}
}
