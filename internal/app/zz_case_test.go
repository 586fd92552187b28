package app

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/worlds/listings"
)

func TestZZCase(t *testing.T) {
	cases, _ := listings.Cases()
	for _, cs := range cases {
		if os.Getenv("CASE") == "" || !strings.Contains(","+os.Getenv("CASE")+",", ","+cs.Name+",") {
			continue
		}
		l := cs.Listing
		a := &App{Who: sootline.Actor{Name: "A. Clerk", Role: sootline.Manager, Station: "desk"}, Now: func() time.Time { return time.Date(2026, 11, 30, 12, 0, 0, 0, time.UTC) }}
		log := sootline.NewLog(append([]sootline.Entry{}, l.Site...))
		in := &Intake{known: knownOf(log.Fold(Always))}
		if err := in.open(l.Name, bytes.NewReader(l.Data), int64(len(l.Data)), nil); err != nil {
			fmt.Println("ERR", err)
		}
		for _, tb := range in.Tables {
			for row, err := range tb.Table.Rows() {
				fmt.Printf("%d: %q %v\n", row.Line, row.Cells, err)
			}
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
		out, _ := tk.takeAll(in)
		for _, o := range out.Tables {
			fmt.Println("   added", o.Added, "same", o.Same, "repeated", o.Repeated, "left", o.Left)
			for _, r := range append(o.Troubles, o.Remarks...) {
				fmt.Println("    -", r.Line, r.Text)
			}
		}
	}
}
