package app

import (
	"bytes"
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/listing"
	"sootline/internal/worlds/listings"
)

func TestZZShow(t *testing.T) {
	for _, s := range strings.Split(os.Getenv("SEEDS"), ",") {
		seed, err := strconv.ParseUint(s, 10, 64)
		if err != nil {
			t.Skip()
		}
		l := listings.Make(seed)
		fmt.Printf("=== %d %s %s %s %v\n", seed, l.Layout, l.Language, l.Format, l.Spoilings)
		f, err := listing.Open(l.Name, bytes.NewReader(l.Data), int64(len(l.Data)), listing.Limits{})
		if err != nil {
			fmt.Println("OPEN", err)
			continue
		}
		for _, tb := range f.Tables() {
			fmt.Printf("--- table %q\n", tb.Name)
			n := 0
			for row, err := range tb.Rows() {
				if n++; n > 9 {
					break
				}
				if err != nil {
					fmt.Println(err)
				}
				fmt.Printf("%d: %q\n", row.Line, row.Cells)
			}
		}
		a := &App{Who: sootline.Actor{Name: "A. Clerk", Role: sootline.Manager, Station: "desk"}, Now: func() time.Time { return time.Date(2026, 11, 30, 12, 0, 0, 0, time.UTC) }}
		log := sootline.NewLog(append([]sootline.Entry{}, l.Site...))
		in := &Intake{known: knownOf(log.Fold(Always))}
		if err := in.open(l.Name, bytes.NewReader(l.Data), int64(len(l.Data)), nil); err != nil {
			fmt.Println("ERR", err)
		}
		for _, tb := range in.Tables {
			fmt.Printf("+++ %q %s kind %s (%s) head %d skipped %v\n", tb.Table.Name, tb.Where(), tb.Kind, tb.KindWhy, tb.HeaderLine, tb.Skipped)
			for _, c := range tb.Columns {
				fmt.Printf("   %s %q -> %s: %s\n", c.Letter(), c.Heading, c.Field, c.Why)
			}
			for _, q := range tb.Questions {
				fmt.Println("   ?", q.Text, q.Choices)
			}
		}
		tk := a.newTaker(l.Site[0].Site, log, TakeOptions{})
		tk.emit = func(e sootline.Entry) error { return nil }
		out, err := tk.takeAll(in)
		if err != nil {
			fmt.Println(err)
			continue
		}
		for _, o := range out.Tables {
			fmt.Println("   added", o.Added, "same", o.Same, "repeated", o.Repeated, "left", o.Left)
			for i, r := range append(o.Troubles, o.Remarks...) {
				if i < 6 {
					fmt.Println("    -", r.Line, r.Text)
				}
			}
		}
		c, _ := takeJudged(l.Site, l.Name, l.Data)
		fmt.Println(listings.Score(l, c))
	}
}
